"""Lines of the wrapper: layers wanted, turns that give them, stretch, overlap, speed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from balewright.plan.crop import Crop
from balewright.plan.film.layers import Wrapping, bale_turn_from_advance, count_round
from balewright.plan.film.strip import Bale, Film, film_use, lay_strip
from balewright.plan.film.turns import turns_after_loss, turns_everywhere
from balewright.plan.machine import Span, Wrapper
from balewright.plan.sheet import Conditions, Ground, HowSure, SheetLine
from balewright.plan.sheet_bale import stretched
from balewright.plan.sheet_setting import Job, Wanted, Why, name_word, part_way, settle
from balewright.quantities.reason import because

FEWEST_LAYERS: Final = 4
MOST_LAYERS: Final = 8
NOT_USED: Final = "not used"
_CLIFF_M: Final = 0.10
"""How much fatter the bale is with which a sheet shows what a wrong size costs."""
_DRY_FRAC: Final = 0.60
_HALF_DRY_FRAC: Final = 0.45
_LONG_MONTHS: Final = 12.0
_SLOWER: Final = {Ground.FLAT: 0.0, Ground.ROLLING: 0.1, Ground.STEEP: 0.25}


@dataclass(frozen=True)
class FilmPlan:
    """The wrapping of one job, planned so that the fattest bale to expect gets its layers too.

    bale, wrapping: the bale to expect and what it gets; fattest, fattest_wrapping: the same for
    the upper end of its diameter, which turns less under the film.
    """

    wrapper: Wrapper
    film: Film
    bale: Bale
    wrapping: Wrapping
    fattest: Bale
    fattest_wrapping: Wrapping

    @property
    def turns(self) -> int:
        """Wrap turns of every dispenser."""
        return int(self.wrapping.turns[0])


def layers_wanted(conditions: Conditions) -> int:
    """Six layers, eight for a dry, stemmy or long-stored crop.

    Four are enough in a cool wet climate up to 50 % dry matter (Irish and Japanese trials), but
    a sheet does not know the climate. Never rises with moisture, never falls with months.
    """
    dry_frac = 1.0 - conditions.moisture_frac
    half_dry = dry_frac > _HALF_DRY_FRAC
    stemmy = conditions.crop is Crop.LUCERNE and half_dry
    long_kept = conditions.storage_months > _LONG_MONTHS and half_dry
    return MOST_LAYERS if dry_frac > _DRY_FRAC or stemmy or long_kept else 6


def plan_film(job: Job) -> FilmPlan | None:
    """The wrapping with the turns that give the wanted layers everywhere; None without film."""
    wrapper, film = job.machine.wrapper, job.film
    if wrapper is None or film is None:
        return None
    need = layers_wanted(job.conditions)
    fattest = Bale(job.diameter_m.high, job.bale.length_m)
    turns = _turns(wrapper, film, fattest, need)
    return FilmPlan(
        wrapper=wrapper,
        film=film,
        bale=job.bale,
        wrapping=_wrapping(wrapper, film, job.bale, need, turns),
        fattest=fattest,
        fattest_wrapping=_wrapping(wrapper, film, fattest, need, turns),
    )


def _turns(wrapper: Wrapper, film: Film, bale: Bale, need: int) -> int:
    return turns_everywhere(bale, _wrapping(wrapper, film, bale, need, 1))


def _wrapping(wrapper: Wrapper, film: Film, bale: Bale, need: int, turns: int) -> Wrapping:
    one_m = wrapper.advance_one_roll_m
    return Wrapping(
        strip_m=lay_strip(film).width_m,
        bale_turn=bale_turn_from_advance(wrapper.advance_m, bale.diameter_m),
        turns=(float(turns),) * wrapper.dispensers,
        need_layers=need,
        bale_turn_one_roll=one_m and bale_turn_from_advance(one_m, bale.diameter_m),
    )


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
    yield _layers_line(job)
    if plan is None:
        why = Why(because("sheet.no_film"), "given", HowSure.STARTING_POINT)
        yield name_word("wrap_turns", None, why)
        yield name_word("film_width_m", None, why)
    else:
        yield from _turn_lines(job, plan)
    yield _stretch_line(job)
    yield _rolls_line(job, wrapper, plan)
    if wrapper.break_monitor:
        why = Why(because("sheet.monitor.on"), "practice", HowSure.SETTLED)
        yield name_word("break_monitor", "on", why)
    else:
        why = Why(because("sheet.monitor.none"), "profile", HowSure.SETTLED)
        yield name_word("break_monitor", "none", why)
    yield _rpm_line(job, wrapper)
    height = job.bale.diameter_m / 2.0
    why = Why(because("sheet.film_height"), "practice", HowSure.SETTLED)
    yield settle(job.machine, Wanted("film_height_m", height, Span(height, height)), why)


def _layers_line(job: Job) -> SheetLine:
    need, conditions = layers_wanted(job.conditions), job.conditions
    values = {
        "dry_frac": 1.0 - conditions.moisture_frac,
        "storage_months": conditions.storage_months,
    }
    if need > 6:
        why = Why(because("sheet.layers.eight", **values), "penn-state-baleage")
    else:
        why = Why(because("sheet.layers.six", **values), "en-14932")
    return settle(job.machine, Wanted("layers", need, Span(FEWEST_LAYERS, MOST_LAYERS)), why)


def _turn_lines(job: Job, plan: FilmPlan) -> Iterator[SheetLine]:
    wrapper, film, need = plan.wrapper, plan.film, plan.wrapping.need_layers
    fewest = _turns(wrapper, film, plan.fattest, FEWEST_LAYERS)
    most = _turns(wrapper, film, plan.fattest, MOST_LAYERS)
    cliff = Bale(plan.bale.diameter_m + _CLIFF_M, plan.bale.length_m)
    there = count_round(cliff, _wrapping(wrapper, film, cliff, need, plan.turns))
    reason = because(
        "sheet.wrap_turns",
        layers=need,
        fat_m=plan.fattest.diameter_m,
        cliff_m=cliff.diameter_m,
        cliff_layers=there.thinnest(),
        cliff_frac=there.short_frac(need),
    )
    wanted = Wanted("wrap_turns", plan.turns, Span(fewest, max(most, plan.turns)))
    yield settle(job.machine, wanted, Why(reason, "geometry"))
    if wrapper.dispensers == 2:
        yield _one_roll_line(job, plan)
    overlap = 1.0 - wrapper.advance_m / (wrapper.dispensers * plan.wrapping.strip_m)
    why = Why(because("sheet.overlap", strip_m=plan.wrapping.strip_m), "geometry")
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
