"""Lines of the chamber: binding, size, density."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from balewright.plan.crop import Crop
from balewright.plan.film.layers import whole_layers
from balewright.plan.machine import BindingKind, ChamberKind, FullSign, Span
from balewright.plan.sheet.bale import (
    HEATING_FRAC,
    WET_BALE_M,
    crop_density_share,
    diameter_span,
    is_wet,
)
from balewright.plan.sheet.gate import gate_line
from balewright.plan.sheet.setting import Job, Wanted, Why, name_word, part_way, settle
from balewright.plan.sheet.sheet import Conditions, Ground, HowSure, SheetLine
from balewright.quantities.reason import Reason, because

DENSE: Final = 0.60
"""From this share on a crop wants a dense bale, and a slope contradicts it."""

FEWEST_FILM_TURNS: Final = 3.2
_FILM_TURNS: Final = 3.3
_MOST_FILM_TURNS: Final = 3.5
"""Film binds with 3.2 to 3.5 turns (common practice, no source)."""
_HEAVY_KG: Final = 800.0


def press_lines(job: Job) -> Iterator[SheetLine]:
    """Size and density, as far as this machine lets them be set."""
    yield from _size_lines(job)
    if _density_span(job) is not None:
        yield _density_line(job)


def binding_lines(job: Job) -> Iterator[SheetLine]:
    """Kind, turns, tension and delay of the binding."""
    binding, kind = job.binding, job.binding.kind
    turns, why_turns = _binding_turns(job)
    layers = whole_layers(turns, binding.roll_width_m, job.bale.length_m)
    if kind is BindingKind.FILM:
        reason, source = because("sheet.binding.film", binding_layers=layers), "ifj-film-binding"
    elif job.conditions.binding is not None:
        reason, source = because("sheet.binding.asked"), "given"
    elif job.conditions.crop.is_wrapped and job.machine.binding(BindingKind.FILM) is not None:
        reason, source = because("sheet.binding.net_named"), "given"
    else:
        reason, source = because("sheet.binding.what_it_has"), "profile"
    yield name_word("binding", str(kind), Why(reason, source, HowSure.SETTLED))
    yield settle(job.machine, Wanted("binding_turns", turns, _turns_span(job)), why_turns)
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


def _turns_span(job: Job) -> Span:
    """What is allowed: of film never under what holds, where the machine can."""
    span = job.binding.turns
    if job.binding.kind is not BindingKind.FILM:
        return span
    return Span(min(max(span.low, FEWEST_FILM_TURNS), span.high), span.high)


def _binding_turns(job: Job) -> tuple[float, Why]:
    crop = job.conditions.crop
    if job.binding.kind is BindingKind.FILM:
        heavy = job.mass_kg.best >= _HEAVY_KG or job.conditions.ground is Ground.STEEP
        turns = _MOST_FILM_TURNS if heavy else _FILM_TURNS
        word = "film_heavy" if heavy else "film"
        return turns, Why(because(f"sheet.binding_turns.{word}"), "practice")
    if job.binding.kind is BindingKind.TWINE:
        return 22.0, Why(because("sheet.binding_turns.twine"), "shinners-net")
    if crop.is_wrapped:
        return 2.5, Why(because("sheet.binding_turns.net_silage"), "ifj-net")
    turns = 2.25 if crop is Crop.STRAW else 2.0
    return turns, Why(because("sheet.binding_turns.net_dry"), "shinners-net")


def _size_lines(job: Job) -> Iterator[SheetLine]:
    chamber, conditions = job.machine.chamber, job.conditions
    if chamber.full_sign is FullSign.GATE_OPENING:
        yield gate_line(job)
    if chamber.kind is ChamberKind.VARIABLE:
        steep = conditions.ground is Ground.STEEP
        why = Why(because("sheet.diameter.steep" if steep else "sheet.diameter"), "practice")
        if is_wet(conditions) and not steep:
            reason = because("sheet.diameter.wet", least_m=WET_BALE_M.low, most_m=WET_BALE_M.high)
            why = Why(reason, "progressive-silage-balers")
        wanted = Wanted("diameter_m", job.bale.diameter_m, diameter_span(job.machine))
        yield settle(job.machine, wanted, why)


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
        if crop_density_share(conditions) >= DENSE:
            return because("sheet.density.conflict", crop=crop, slope_frac=slope_frac)
        return because("sheet.density.slope", slope_frac=slope_frac)
    if conditions.crop is Crop.HAY and moisture_frac > HEATING_FRAC:
        return because("sheet.density.damp_hay", moisture_frac=moisture_frac)
    return because("sheet.density.crop", crop=crop, moisture_frac=moisture_frac)
