"""Lines of the wrapper: layers wanted, turns that give them, stretch, overlap, speed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from balewright.plan.film.layers import count_round
from balewright.plan.film.strip import Bale, film_use
from balewright.plan.film.turns import turns_after_loss
from balewright.plan.machine import Span, Wrapper
from balewright.plan.sheet.bale import stretched
from balewright.plan.sheet.film_plan import SLIVER_M, FilmPlan, wrapping_of
from balewright.plan.sheet.layers import FEWEST_LAYERS, MOST_LAYERS, layers_line
from balewright.plan.sheet.setting import Job, Wanted, Why, name_word, part_way, settle
from balewright.plan.sheet.sheet import Ground, HowSure, LostRoll, SheetLine
from balewright.quantities.reason import ReasonValue, because
from balewright.quantities.si import M_PER_MM

NOT_USED: Final = "not used"
_CLIFF_M: Final = 0.10
"""How much fatter the bale is with which a sheet shows what a wrong size costs."""
_HALF_FRAC: Final = 0.495
"""Half an overlap at least is advised (Penn State, Kentucky); as it is printed, in per cent."""
_MOST_CHANCE: Final = 0.99
"""Nearer to all bales a chance is not told."""
_SLOWER: Final = {Ground.FLAT: 0.0, Ground.ROLLING: 0.1, Ground.STEEP: 0.25}


def film_lines(job: Job, plan: FilmPlan | None) -> Iterator[SheetLine]:
    """Every line of the wrapper; `not used` for a crop that keeps dry."""
    wrapper = job.machine.wrapper
    if wrapper is None:
        return
    if not job.conditions.crop.is_wrapped:
        why = Why(because("sheet.not_wrapped", crop=str(job.conditions.crop)), "practice")
        for key in ("layers", "wrap_turns", "film_width_m", "pre_stretch_frac", "rolls_on",
                    "break_monitor", "wrap_rpm"):  # fmt: skip
            yield name_word(key, NOT_USED, why)
        return
    yield layers_line(job)
    if plan is None:
        why = Why(because("sheet.no_film"), "given", HowSure.STARTING_POINT)
        yield name_word("wrap_turns", None, why)
        yield name_word("film_width_m", None, why)
    else:
        yield from _turn_lines(job, plan)
    yield _stretch_line(job)
    yield _rolls_line(job, wrapper, plan)
    yield _monitor_line(wrapper, plan)
    yield _rpm_line(job, wrapper)
    height = job.bale.diameter_m / 2.0
    why = Why(because("sheet.film_height"), "practice", HowSure.SETTLED)
    yield settle(job.machine, Wanted("film_height_m", height, Span(height, height)), why)


def _turn_lines(job: Job, plan: FilmPlan) -> Iterator[SheetLine]:
    wrapper, film, need = plan.wrapper, plan.film, plan.wrapping.need_layers
    fewest, most = plan.turns_for(FEWEST_LAYERS), plan.turns_for(MOST_LAYERS)
    cliff = Bale(plan.bale.diameter_m + _CLIFF_M, plan.bale.length_m)
    there = count_round(cliff, wrapping_of(wrapper, film, cliff, need, plan.turns))
    values: dict[str, ReasonValue] = {
        "layers": need,
        "cliff_m": cliff.diameter_m,
        "cliff_layers": there.thinnest(),
        "cliff_frac": there.short_frac(need),
        "sliver_mm": SLIVER_M / M_PER_MM,
    }
    if plan.chance_frac is None:
        reason = because("sheet.wrap_turns.sliver", fat_m=plan.fattest.diameter_m, **values)
    else:
        chance_frac = min(plan.chance_frac, _MOST_CHANCE)
        reason = because("sheet.wrap_turns.chance", chance_frac=chance_frac, **values)
    wanted = Wanted("wrap_turns", plan.turns, Span(min(fewest, plan.turns), max(most, plan.turns)))
    sure = HowSure.LIKELY if plan.assumed_frac is None else HowSure.STARTING_POINT
    yield settle(job.machine, wanted, Why(reason, "geometry", sure))
    if wrapper.dispensers == 2:
        yield _one_roll_line(job, plan)
    overlap = plan.overlap_frac
    word = "sheet.overlap.small" if overlap < _HALF_FRAC else "sheet.overlap"
    why = Why(because(word, strip_m=plan.wrapping.strip_m), "geometry")
    overlap = round(overlap, 2)
    wanted = Wanted("overlap_frac", overlap, Span(overlap, overlap))
    yield settle(job.machine, wanted, why)
    why = Why(because("sheet.film_width"), "label", HowSure.SETTLED)
    wanted = Wanted("film_width_m", plan.film.width_m, wrapper.film_width_m)
    yield settle(job.machine, wanted, why)


def _one_roll_line(job: Job, plan: FilmPlan) -> SheetLine:
    half = plan.turns // 2
    turns = turns_after_loss(plan.fattest, plan.fattest_wrapping, half)
    start = turns_after_loss(plan.fattest, plan.fattest_wrapping, 0)
    reason = because("sheet.one_roll", lost_turns=half, start_turns=start)
    span = Span(plan.turns, max(start, turns))
    wanted = Wanted("wrap_turns_one_roll", turns, span)
    return settle(job.machine, wanted, Why(reason, "geometry"))


def lost_rolls(plan: FilmPlan | None) -> tuple[LostRoll, ...]:
    """What the other roll must reach, for a loss at the start and at each quarter of the turns."""
    if plan is None or plan.wrapper.dispensers != 2:
        return ()
    lost = sorted({round(plan.turns * quarter / 4) for quarter in range(4)})
    return tuple(
        LostRoll(at_turn, turns_after_loss(plan.fattest, plan.fattest_wrapping, at_turn))
        for at_turn in lost
    )


def _monitor_line(wrapper: Wrapper, plan: FilmPlan | None) -> SheetLine:
    if not wrapper.break_monitor:
        why = Why(because("sheet.monitor.none"), "profile", HowSure.SETTLED)
        return name_word("break_monitor", "none", why)
    if plan is None or wrapper.dispensers != 2:
        why = Why(because("sheet.monitor.on"), "practice", HowSure.SETTLED)
        return name_word("break_monitor", "on", why)
    one = count_round(plan.bale, replace(plan.wrapping, turns=(float(plan.turns), 0.0)))
    need = plan.wrapping.need_layers
    reason = because("sheet.monitor.on_pair", left_layers=one.thinnest(), layers=need)
    return name_word("break_monitor", "on", Why(reason, "geometry", HowSure.SETTLED))


def _stretch_line(job: Job) -> SheetLine:
    wrapper, film = job.machine.wrapper, job.conditions.film
    assert wrapper is not None
    offered = wrapper.pre_stretch_frac
    ratio = stretched(job.machine, job.conditions)
    if film is None:
        why = Why(because("sheet.stretch.standard"), "en-14932", HowSure.STARTING_POINT)
    elif ratio > film.pre_stretch_frac + 1e-9:
        reason = because("sheet.stretch.too_much", label_frac=film.pre_stretch_frac)
        why = Why(reason, "profile", HowSure.STARTING_POINT)
    else:
        why = Why(because("sheet.stretch.label", label_frac=film.pre_stretch_frac), "label")
    wanted = Wanted("pre_stretch_frac", ratio, Span(offered[0], offered[-1]))
    return settle(job.machine, wanted, why)


def _rolls_line(job: Job, wrapper: Wrapper, plan: FilmPlan | None) -> SheetLine:
    if plan is None:
        reason = because("sheet.rolls.unknown")
    else:
        use = film_use(plan.film, plan.bale, plan.turns, wrapper.dispensers)
        bales = int(use.bales_per_set)
        if wrapper.dispensers == 2:
            reason = because("sheet.rolls.pair", set_bales=bales)
        else:
            reason = because("sheet.rolls.one", set_bales=bales)
    why = Why(reason, "geometry" if plan is not None else "profile")
    wanted = Wanted("rolls_on", wrapper.dispensers, Span(1, wrapper.dispensers))
    return settle(job.machine, wanted, why)


def _rpm_line(job: Job, wrapper: Wrapper) -> SheetLine:
    heavy = min(max((job.mass_kg.best - 500.0) / 500.0, 0.0), 1.0)
    share = 0.85 - 0.35 * heavy - _SLOWER[job.conditions.ground]
    reason = because("sheet.wrap_rpm", mass_kg=round(job.mass_kg.best, -1))
    wanted = Wanted("wrap_rpm", part_way(wrapper.rpm, share), wrapper.rpm)
    return settle(job.machine, wanted, Why(reason, "practice", HowSure.STARTING_POINT))
