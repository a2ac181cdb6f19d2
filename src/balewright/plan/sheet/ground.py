"""Lines of the ground: tip, rolling, open time, oil."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from balewright.plan.machine import Span, TipSide
from balewright.plan.sheet.setting import Job, Wanted, Why, name_word, part_way, settle
from balewright.plan.sheet.sheet import Ground, HowSure, SheetLine
from balewright.quantities.reason import because

TOO_STEEP_FRAC: Final = 0.25
"""Steeper than this a sheet does not help any more (assumed: no source gives an angle)."""
_STEEPNESS: Final = {Ground.FLAT: 0.0, Ground.ROLLING: 0.35, Ground.STEEP: 0.7}
_DRY_CROP_FRAC: Final = 0.30


def tip_lines(job: Job) -> Iterator[SheetLine]:
    """Open time, rolling, tipping, chain oil."""
    tip, conditions, machine = job.machine.tip, job.conditions, job.machine
    steep = _STEEPNESS[conditions.ground]
    reason = because("sheet.open.slope" if steep else "sheet.open.flat")
    yield _by_share(job, "open_s", (tip.open_s, steep), Why(reason, "practice"))
    if tip.roll_before_s is not None:
        if steep:
            before_s, reason = 2.5, because("sheet.roll_before.slope")
        else:
            before_s, reason = tip.roll_before_s.low, because("sheet.roll_before.flat")
        wanted = Wanted("roll_before_s", before_s, tip.roll_before_s)
        yield settle(machine, wanted, Why(reason, "practice"))
    if tip.roll_after_s is not None:
        dust = 0.6 if conditions.dusty and not steep else 0.0
        word = "clean" if not conditions.dusty else "dust_slope" if steep else "dust"
        reason = because(f"sheet.roll_after.{word}")
        yield _by_share(job, "roll_after_s", (tip.roll_after_s, dust), Why(reason, "practice"))
    yield _side_line(job)
    heavy = min(max((job.mass_kg.best - 400.0) / 600.0, 0.0), 1.0)
    speed_share = 0.8 - 0.3 * heavy - 0.5 * steep
    reason = because(
        "sheet.tip_speed", mass_kg=round(job.mass_kg.best, -1), slope_frac=conditions.slope_frac
    )
    why = Why(reason, "practice", HowSure.STARTING_POINT)
    yield _by_share(job, "tip_speed_frac", (tip.speed_frac, speed_share), why)
    reason = because("sheet.tip_delay.slope" if steep else "sheet.tip_delay.flat")
    why = Why(reason, "practice", HowSure.STARTING_POINT)
    yield _by_share(job, "tip_delay_s", (tip.delay_s, 0.1 + steep), why)
    if machine.oil_ml_bale is not None:
        harder = 0.3 + 0.3 * conditions.dusty + 0.15 * conditions.stony
        harder += 0.2 * (conditions.moisture_frac < _DRY_CROP_FRAC)
        why = Why(because("sheet.oil.hard" if harder > 0.3 else "sheet.oil.easy"), "practice")
        yield _by_share(job, "oil_ml_bale", (machine.oil_ml_bale, harder), why)


def _by_share(job: Job, key: str, place: tuple[Span, float], why: Why) -> SheetLine:
    """The line a share of the way up its range; one that cannot be set says so."""
    span, share = place
    if span.low == span.high:
        why = Why(because("sheet.fixed"), "profile", HowSure.SETTLED)
    return settle(job.machine, Wanted(key, part_way(span, share), span), why)


def _side_line(job: Job) -> SheetLine:
    sides = job.machine.tip.sides
    if len(sides) == 1:
        reason = because("sheet.tip_side.only", side=str(sides[0]))
        return name_word("tip_side", str(sides[0]), Why(reason, "profile", HowSure.SETTLED))
    if job.conditions.ground is Ground.FLAT:
        return name_word("tip_side", TipSide.ROUND, Why(because("sheet.tip_side.flat"), "practice"))
    word = "steep" if job.conditions.slope_frac > TOO_STEEP_FRAC else "slope"
    why = Why(because(f"sheet.tip_side.{word}"), "practice")
    return name_word("tip_side", TipSide.END, why)
