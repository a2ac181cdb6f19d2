"""The bale a job can expect: how dense to press, how big, how heavy."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from balewright.plan.crop import Crop, bale_mass_kg, bale_volume_m3, dry_matter_densities, widest
from balewright.plan.film.strip import Bale, Film
from balewright.plan.machine import Binding, BindingKind, ChamberKind, FullSign, Machine, Span
from balewright.plan.sheet.setting import Job
from balewright.plan.sheet.sheet import Conditions, Ground
from balewright.quantities.interval import Interval
from balewright.quantities.si import KG_PER_T, KM_H_PER_M_S, S_PER_H

SPEED_M_S: Final = Span(1.0 / KM_H_PER_M_S, 13.0 / KM_H_PER_M_S)
"""Top of what D497 gives for large round balers, from memory; slower is always allowed."""

MOST_FEED_T_H: Final = 60.0
"""More fresh crop than this an hour makes a loose bale on any machine (assumed; that a thick row
taken fast makes a looser bale: `hancock-row-density`)."""

HEATING_FRAC: Final = 0.16
"""Lowest moisture a source gives as the most for a large round bale of hay."""

WET_CROP_FRAC: Final = 0.60
"""From this moisture on crop counts as wet for the size of a bale (common practice, no source)."""
WET_BALE_M: Final = Span(1.07, 1.22)
"""42 to 48 in."""

_LIGHTER: Final = {Ground.FLAT: 0.0, Ground.ROLLING: 0.10, Ground.STEEP: 0.30}
"""By how much of the range a slope wants the bale lighter; common practice, no source."""

_ROUND_AT_FULL_M: Final = 0.03
"""A full fixed chamber stands open: by so much the bale can come out bigger (assumed)."""
_SIZE_M: Final = 0.02
"""How well a variable chamber keeps its diameter (assumed)."""
_STRETCH_IN_STANDARD: Final = 0.65
"""Middle of what EN 14932 gives for round bales."""


def crop_density_share(conditions: Conditions) -> float:
    """How dense the crop wants to be pressed, 0 to 1 of the machine's range.

    Drier crop is pressed harder: wet crop is heavy anyway and runs. Hay damp enough to heat is
    pressed looser. Shares are common practice, no source; only their order is sure.
    """
    if conditions.crop is Crop.STRAW:
        return 0.85
    if conditions.crop is Crop.HAY:
        return 0.75 if conditions.moisture_frac <= HEATING_FRAC else 0.55
    return min(max(1.05 - 0.8 * conditions.moisture_frac, 0.35), 0.90)


def density_share(conditions: Conditions) -> float:
    """The share that is set: what the crop wants, less what the slope takes. Safety first."""
    return max(0.0, crop_density_share(conditions) - _LIGHTER[conditions.ground])


def choose_binding(machine: Machine, conditions: Conditions) -> Binding:
    """What was asked for; else film where the crop is wrapped, the machine can and no net was
    named; else net, else any.
    """
    asked = None if conditions.binding is None else machine.binding(conditions.binding)
    if asked is not None:
        return asked
    film = machine.binding(BindingKind.FILM)
    if film is not None and conditions.crop.is_wrapped and conditions.net_roll_m is None:
        return film
    return machine.binding(BindingKind.NET) or machine.bindings[0]


def is_wet(conditions: Conditions) -> bool:
    """Whether a wrapped crop is so wet that its bales are made smaller."""
    return conditions.crop.is_wrapped and conditions.moisture_frac >= WET_CROP_FRAC


def diameter_span(machine: Machine) -> Span:
    """The diameters that can be set; a fixed chamber has one."""
    chamber = machine.chamber
    return chamber.full_at if chamber.full_sign is FullSign.DIAMETER else chamber.diameter_m


def wanted_diameter_m(machine: Machine, conditions: Conditions) -> float:
    """Diameter to set: 1.25 m to wrap, 1.20 m from 60 % moisture on, 1.50 m dry, 0.10 m less on
    a steep slope (practice; wet crop: 42 to 48 in, `progressive-silage-balers`).
    """
    wanted = 1.25 if conditions.crop.is_wrapped else 1.50
    if is_wet(conditions):
        wanted = 1.20
    if conditions.ground is Ground.STEEP:
        wanted -= 0.10
    return round(diameter_span(machine).clamp(wanted), 2)


def dense_speed_m_s(conditions: Conditions) -> float:
    """The speed from which on the row feeds more than MOST_FEED_T_H."""
    feed_kg_s = MOST_FEED_T_H * KG_PER_T / S_PER_H
    return SPEED_M_S.clamp(feed_kg_s / conditions.windrow_kg_m)


def stretched(machine: Machine, conditions: Conditions) -> float:
    """The pre-stretch on offer to use: the most that the film's label allows, else the least.

    Without a film the one nearest to the middle of EN 14932.
    """
    wrapper = machine.wrapper
    offered = wrapper.pre_stretch_frac if wrapper is not None else (_STRETCH_IN_STANDARD,)
    if conditions.film is None:
        return min(offered, key=lambda ratio: abs(ratio - _STRETCH_IN_STANDARD))
    allowed = [ratio for ratio in offered if ratio <= conditions.film.pre_stretch_frac + 1e-9]
    return allowed[-1] if allowed else offered[0]


def look_at_job(machine: Machine, conditions: Conditions) -> Job:
    """What is known about the bale before any other line is set.

    The range of the mass is that of the sources' dry matter densities; the best value moves in it
    with the density that is set (0.2 of the way up at the loosest to 0.8 at the densest; assumed).
    """
    share = density_share(conditions)
    bale = Bale(wanted_diameter_m(machine, conditions), machine.chamber.width_m)
    low, high = widest(dry_matter_densities(conditions.crop))
    volume_m3 = bale_volume_m3(bale.diameter_m, bale.length_m)

    def mass_kg(dry_matter_kg_m3: float) -> float:
        return bale_mass_kg(dry_matter_kg_m3, volume_m3, conditions.moisture_frac)

    best = low + (0.2 + 0.6 * share) * (high - low)
    return Job(
        machine=machine,
        conditions=conditions,
        binding=choose_binding(machine, conditions),
        density_share=share,
        bale=bale,
        diameter_m=_diameter_m(machine, bale.diameter_m, conditions.diameter_spread_m),
        mass_kg=Interval(mass_kg(low), mass_kg(best), mass_kg(high)),
        film=_film(machine, conditions),
        speed_m_s=min(SPEED_M_S.clamp(conditions.speed_m_s), dense_speed_m_s(conditions)),
    )


def _diameter_m(machine: Machine, best_m: float, spread_m: float | None) -> Interval:
    if spread_m is not None:
        return Interval(best_m - 2.0 * spread_m, best_m, best_m + 2.0 * spread_m)
    if machine.chamber.kind is ChamberKind.FIXED:
        return Interval(best_m, best_m, best_m + _ROUND_AT_FULL_M)
    return Interval(best_m - _SIZE_M, best_m, best_m + _SIZE_M)


def _film(machine: Machine, conditions: Conditions) -> Film | None:
    if machine.wrapper is None or conditions.film is None or not conditions.crop.is_wrapped:
        return None
    return replace(conditions.film, pre_stretch_frac=stretched(machine, conditions))
