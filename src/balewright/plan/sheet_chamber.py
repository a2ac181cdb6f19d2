"""Lines of the chamber: binding, size, density, knives."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import Final

from balewright.plan.crop import Crop
from balewright.plan.film.layers import whole_layers
from balewright.plan.machine import BindingKind, ChamberKind, FullSign, Knives, Span
from balewright.plan.sheet import Conditions, Ground, HowSure, SheetLine
from balewright.plan.sheet_bale import HEATING_FRAC, crop_density_share, diameter_span
from balewright.plan.sheet_setting import Job, Wanted, Why, name_word, part_way, settle
from balewright.quantities.reason import Reason, because

LIGHT_ROW_KG_M: Final = 2.5
HEAVY_ROW_KG_M: Final = 5.0
"""Where a row counts as light or heavy (common practice, no source)."""
_DENSE: Final = 0.60
"""From this share on a crop wants a dense bale, and a slope contradicts it."""


def chamber_lines(job: Job) -> Iterator[SheetLine]:
    """Every line of the chamber that this machine has."""
    yield from binding_lines(job)
    yield from _size_lines(job)
    if _density_span(job) is not None:
        yield _density_line(job)
    if job.machine.knives is not None:
        yield from knife_lines(job, job.machine.knives)


def binding_lines(job: Job) -> Iterator[SheetLine]:
    """Kind, turns, tension and delay of the binding."""
    binding, kind = job.binding, job.binding.kind
    turns, why_turns = _binding_turns(job)
    layers = whole_layers(turns, binding.roll_width_m, job.bale.length_m)
    if kind is BindingKind.FILM:
        reason, source = because("sheet.binding.film", binding_layers=layers), "ifj-film-binding"
    elif job.conditions.crop.is_wrapped and job.machine.binding(BindingKind.FILM) is not None:
        reason, source = because("sheet.binding.net_named"), "given"
    else:
        reason, source = because("sheet.binding.what_it_has"), "profile"
    yield name_word("binding", str(kind), Why(reason, source, HowSure.SETTLED))
    yield settle(job.machine, Wanted("binding_turns", turns, binding.turns), why_turns)
    if binding.tension_frac is not None:
        yield _tension_line(job, binding.tension_frac)
    yield _delay_line(job)


def _delay_line(job: Job) -> SheetLine:
    kind = job.binding.kind
    if kind is BindingKind.NET:
        delay_s, why = 3.0, Why(because("sheet.delay.net"), "practice")
    else:
        delay_s, why = 0.5, Why(because("sheet.delay.short", binding=str(kind)), "practice")
    return settle(job.machine, Wanted("binding_delay_s", delay_s, job.binding.delay_s), why)


def _tension_line(job: Job, span: Span) -> SheetLine:
    if job.binding.kind is BindingKind.FILM:
        why = Why(because("sheet.tension.film"), "label", HowSure.STARTING_POINT)
        return name_word("binding_tension_frac", None, why)
    why = Why(because("sheet.tension.net"), "practice", HowSure.STARTING_POINT)
    wanted = Wanted("binding_tension_frac", part_way(span, 2.0 / 3.0), span)
    return settle(job.machine, wanted, why)


def _binding_turns(job: Job) -> tuple[float, Why]:
    crop = job.conditions.crop
    if job.binding.kind is BindingKind.FILM:
        return 3.3, Why(because("sheet.binding_turns.film"), "practice")
    if job.binding.kind is BindingKind.TWINE:
        return 22.0, Why(because("sheet.binding_turns.twine"), "shinners-net")
    if crop.is_wrapped:
        return 2.5, Why(because("sheet.binding_turns.net_silage"), "ifj-net")
    turns = 2.25 if crop is Crop.STRAW else 2.0
    return turns, Why(because("sheet.binding_turns.net_dry"), "shinners-net")


def _size_lines(job: Job) -> Iterator[SheetLine]:
    chamber, conditions = job.machine.chamber, job.conditions
    if chamber.full_sign is FullSign.GATE_OPENING:
        row = conditions.windrow_kg_m
        share = 0.25 if row > HEAVY_ROW_KG_M else 0.75 if row < LIGHT_ROW_KG_M else 0.5
        opening_mm = part_way(chamber.full_at, share)
        wanted = Wanted("gate_opening_mm", opening_mm, chamber.full_at)
        reason = because("sheet.gate_opening", windrow_kg_m=row)
        yield settle(job.machine, wanted, Why(reason, "practice"))
    if chamber.kind is ChamberKind.VARIABLE:
        steep = conditions.ground is Ground.STEEP
        reason = because("sheet.diameter.steep" if steep else "sheet.diameter")
        wanted = Wanted("diameter_m", job.bale.diameter_m, diameter_span(job.machine))
        yield settle(job.machine, wanted, Why(reason, "practice"))


def _density_span(job: Job) -> Span | None:
    chamber = job.machine.chamber
    return chamber.full_at if chamber.full_sign is FullSign.PRESSURE else chamber.density_bar


def _density_line(job: Job) -> SheetLine:
    span = _density_span(job)
    assert span is not None
    wanted = Wanted("chamber_bar", part_way(span, job.density_share), span)
    why = Why(_density_reason(job.conditions), "practice", HowSure.STARTING_POINT)
    return settle(job.machine, wanted, why)


def _density_reason(conditions: Conditions) -> Reason:
    crop, moisture_frac = str(conditions.crop), conditions.moisture_frac
    if conditions.ground is not Ground.FLAT:
        slope_frac = conditions.slope_frac
        if crop_density_share(conditions) >= _DENSE:
            return because("sheet.density.conflict", crop=crop, slope_frac=slope_frac)
        return because("sheet.density.slope", slope_frac=slope_frac)
    if conditions.crop is Crop.HAY and moisture_frac > HEATING_FRAC:
        return because("sheet.density.damp_hay", moisture_frac=moisture_frac)
    return because("sheet.density.crop", crop=crop, moisture_frac=moisture_frac)


def knife_sets(knives: Knives) -> tuple[int, ...]:
    """Every number of knives that whole banks can make, none included, rising."""
    counts = range(len(knives.banks) + 1)
    sets = {sum(banks) for size in counts for banks in combinations(knives.banks, size)}
    return tuple(sorted(sets))


def knife_lines(job: Job, knives: Knives) -> Iterator[SheetLine]:
    """Knives in work and, where it can be set, the pressure that holds them."""
    conditions, sets = job.conditions, knife_sets(knives)
    if not conditions.crop.is_wrapped:
        count, why = 0, Why(because("sheet.knives.out", crop=str(conditions.crop)), "practice")
    elif conditions.stony:
        one_bank = len(knives.banks) == 1
        reason = because("sheet.knives.one_bank" if one_bank else "sheet.knives.stones")
        count, why = sets[1], Why(reason, "practice")
    else:
        count, why = sets[-1], Why(because("sheet.knives.all"), "chopping-spread")
    yield settle(job.machine, Wanted("knives_in", count, Span(sets[0], sets[-1])), why)
    if not knives.pressure_bar:
        return
    steps = knives.pressure_bar
    share = 0.0 if conditions.stony else count / sets[-1]
    step = steps[round(share * (len(steps) - 1))]
    wanted = Wanted("knife_bar", step, Span(steps[0], steps[-1]))
    if conditions.stony:
        reason = because("sheet.knife_bar.stones")
    else:
        reason = because("sheet.knife_bar", knives_in=count)
    yield settle(job.machine, wanted, Why(reason, "practice", HowSure.STARTING_POINT))
