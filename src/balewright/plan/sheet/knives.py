"""Lines of the knives: how many are in, and how hard they are held."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import Final

from balewright.plan.machine import Knives, Span
from balewright.plan.sheet.setting import Job, Wanted, Why, settle
from balewright.plan.sheet.sheet import HowSure, SheetLine
from balewright.quantities.reason import because

_DRY_CROP_FRAC: Final = 0.45
"""Drier than this, crop pushes the knives less (common practice, no source)."""


def knife_sets(knives: Knives) -> tuple[int, ...]:
    """Every number of knives that whole banks can make, none included, rising."""
    counts = range(len(knives.banks) + 1)
    sets = {sum(banks) for size in counts for banks in combinations(knives.banks, size)}
    return tuple(sorted(sets))


def most_bar(knives: Knives, count: int) -> float:
    """The most pressure that so many knives take, on a step of the machine.

    By the profile where it says so; else as far up the steps as knives are in (assumed).
    """
    steps = knives.pressure_bar
    for up_to, bar in zip(knives.up_to_knives, knives.most_bar, strict=True):
        if count <= up_to:
            return max((step for step in steps if step <= bar + 1e-9), default=steps[0])
    share = count / sum(knives.banks)
    return steps[round(share * (len(steps) - 1))]


def knife_lines(job: Job) -> Iterator[SheetLine]:
    """Knives in work and, where it can be set, the pressure that holds them."""
    conditions, knives = job.conditions, job.machine.knives
    if knives is None:
        return
    sets = knife_sets(knives)
    if not conditions.crop.is_wrapped:
        count, why = 0, Why(because("sheet.knives.out", crop=str(conditions.crop)), "practice")
    elif conditions.stony:
        one_bank = len(knives.banks) == 1
        reason = because("sheet.knives.one_bank_out" if one_bank else "sheet.knives.stones")
        count, why = sets[0 if one_bank else 1], Why(reason, "practice")
    else:
        count, why = sets[-1], Why(because("sheet.knives.all"), "chopping-spread")
    yield settle(job.machine, Wanted("knives_in", count, Span(sets[0], sets[-1])), why)
    if knives.pressure_bar:
        yield _pressure_line(job, knives, count)


def _pressure_line(job: Job, knives: Knives, count: int) -> SheetLine:
    steps, most = knives.pressure_bar, most_bar(knives, count)
    below = max((step for step in steps if step < most), default=steps[0])
    if count == 0:
        bar, reason = steps[0], because("sheet.knife_bar.none")
    elif job.conditions.stony:
        bar, reason = steps[0], because("sheet.knife_bar.stones")
    elif job.conditions.moisture_frac < _DRY_CROP_FRAC:
        bar, reason = below, because("sheet.knife_bar.dry", knives_in=count, most_bar=most)
    else:
        bar, reason = most, because("sheet.knife_bar", knives_in=count)
    wanted = Wanted("knife_bar", bar, Span(steps[0], steps[-1]))
    source = "profile" if knives.most_bar else "practice"
    return settle(job.machine, wanted, Why(reason, source, HowSure.STARTING_POINT))
