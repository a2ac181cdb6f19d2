"""Cautions that come first, and what a sheet does not know."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from balewright.plan import cautions
from balewright.plan.crop import Crop, agreeing_sources, moisture_windows, widest
from balewright.plan.film.strip import NECK_IN_SPREAD, Film, strip_width_m
from balewright.plan.keeping.additive import LEAST_MOISTURE_FRAC
from balewright.plan.machine import BindingKind
from balewright.plan.sheet.additive import additive_cautions
from balewright.plan.sheet.bale import HEATING_FRAC
from balewright.plan.sheet.film_plan import FilmPlan
from balewright.plan.sheet.ground import TOO_STEEP_FRAC
from balewright.plan.sheet.layers import thin_film
from balewright.plan.sheet.setting import Job
from balewright.plan.sheet.sheet import Conditions, Ground
from balewright.quantities.reason import Reason, because
from balewright.quantities.si import M_PER_MM

ONE_HIGH_FRAC: Final = 0.75
"""Above this wrapped bales are stacked one high only (Penn State)."""
WET_FRAC: Final = 0.67
DRY_WRAPPED_FRAC: Final = 0.40
"""Outside of these a wrapped bale may not ferment (Kentucky; Ohio, Georgia, West Virginia)."""


def cautions_for(job: Job) -> Iterator[Reason]:
    """What comes before any setting, gravest first."""
    conditions = job.conditions
    yield because("caution.manual_first")
    yield because("caution.stop_and_lock")
    if conditions.ground is not Ground.FLAT:
        if conditions.slope_frac > TOO_STEEP_FRAC:
            yield because("caution.too_steep", slope_frac=conditions.slope_frac)
        yield because("caution.steep_ground", slope_frac=conditions.slope_frac)
    yield because("caution.rolling_bale")
    if job.machine.wrapper is not None:
        yield because("caution.wrapper_moves")
    moisture_frac = conditions.moisture_frac
    if not conditions.crop.is_wrapped and moisture_frac > HEATING_FRAC:
        yield because("caution.hot_hay", moisture_frac=moisture_frac)
    if conditions.dusty and not conditions.crop.is_wrapped:
        yield because("caution.dust_fire")
    if job.binding.kind is BindingKind.FILM:
        yield because("caution.unbound_bale")
    if conditions.crop.is_wrapped and moisture_frac > ONE_HIGH_FRAC:
        yield because("caution.one_high", moisture_frac=moisture_frac)
    if conditions.crop.is_wrapped and not DRY_WRAPPED_FRAC <= moisture_frac <= WET_FRAC:
        yield because("caution.spoiled_feed", moisture_frac=moisture_frac)
    yield from additive_cautions(job)
    yield because(cautions.OIL_PRESSURE)


def unknowns_for(job: Job, plan: FilmPlan | None) -> Iterator[Reason]:
    """What the sheet cannot tell, and where its sources disagree."""
    conditions, machine = job.conditions, job.machine
    yield _moisture(job)
    if conditions.crop is Crop.HAY and conditions.moisture_frac >= LEAST_MOISTURE_FRAC:
        yield because("sheet.unknown.damp_hay", moisture_frac=conditions.moisture_frac)
    if conditions.crop.is_wrapped:
        if machine.wrapper is None:
            yield because("sheet.unknown.wrapped_elsewhere")
        else:
            if conditions.climate is None:
                yield because("sheet.unknown.climate")
            if job.film is None:
                yield because("sheet.unknown.film")
            else:
                yield from _film(job.conditions, job.film)
                if plan is not None and plan.assumed_frac is not None:
                    yield _turns_share(job, plan.assumed_frac)
    kind = job.binding.kind
    if kind is BindingKind.FILM:
        yield because("sheet.unknown.binding_film")
    elif kind is BindingKind.NET and conditions.net_roll_m is None:
        yield because("sheet.unknown.net_roll")
    low_kg, high_kg = round(job.mass_kg.low, -1), round(job.mass_kg.high, -1)
    key = "sheet.unknown.mass_weighed" if machine.senses("mass_kg") else "sheet.unknown.mass"
    yield Reason(key, (("low_kg", low_kg), ("high_kg", high_kg)))
    if conditions.ground is not Ground.FLAT:
        yield because("sheet.unknown.slope")


def _moisture(job: Job) -> Reason:
    crop, moisture_frac = job.conditions.crop, job.conditions.moisture_frac
    windows = moisture_windows(crop)
    low_frac, high_frac = widest(windows)
    return because(
        "sheet.unknown.moisture",
        crop=str(crop),
        moisture_frac=moisture_frac,
        agree=len(agreeing_sources(crop, moisture_frac)),
        sources=len(windows),
        low_frac=low_frac,
        high_frac=high_frac,
    )


def _film(conditions: Conditions, film: Film) -> Iterator[Reason]:
    thin = thin_film(conditions)
    if thin is not None:
        yield thin
    yield _neck_in(film.width_m, film.pre_stretch_frac)


def _turns_share(job: Job, share_frac: float) -> Reason:
    # its counting loads a compiler: only where it was asked already
    from balewright.plan.sheet.chance import TURNING_FRAC, assumed_spread_m  # noqa: PLC0415

    return because(
        "sheet.unknown.turns_share",
        spread_mm=assumed_spread_m(job) / M_PER_MM,
        turning_frac=TURNING_FRAC,
        share_frac=share_frac,
    )


def _neck_in(width_m: float, pre_stretch_frac: float) -> Reason:
    return because(
        "sheet.unknown.neck_in",
        narrow_m=strip_width_m(width_m, pre_stretch_frac, NECK_IN_SPREAD.high),
        wide_m=strip_width_m(width_m, pre_stretch_frac, NECK_IN_SPREAD.low),
    )
