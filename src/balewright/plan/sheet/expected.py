"""What the sheet expects: the bale, the pace, film and net for the job."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

from balewright.plan.crop import bale_volume_m3, feed_rate_kg_s
from balewright.plan.film.layers import count_layers
from balewright.plan.film.strip import film_use
from balewright.plan.machine import BindingKind
from balewright.plan.pace.cycle import Cycle, HeldBack, Pace, fill_time_s, pace_of
from balewright.plan.sheet.film_plan import FilmPlan
from balewright.plan.sheet.setting import Job
from balewright.plan.sheet.sheet import Expected, SheetLine
from balewright.quantities.interval import Interval

_SURFACE_M_S: Final = 2.5
"""Speed of the bale's surface in the chamber (assumed)."""
_CUT_S: Final = 2.0
_GATE_MOVES_S: Final = 5.0
_TAKE_OVER_S: Final = 6.0
_CUT_AND_TIP_S: Final = 6.0
"""Times of a machine in order (assumed; docs/models/bale-and-pace.md)."""


@dataclass(frozen=True)
class Stations:
    """standing_s: binding and opening, while no crop flows; wrapping_s: from taking a bale over
    until the wrapper is free again, None where nothing is wrapped.
    """

    standing_s: float
    wrapping_s: float | None


def stations_of(job: Job, plan: FilmPlan | None, lines: Mapping[str, SheetLine]) -> Stations:
    """How long chamber and wrapper take beside the filling. lines: the sheet's, by key."""
    turn_s = math.pi * job.bale.diameter_m / _SURFACE_M_S
    bind_s = _number(lines, "binding_delay_s") + _number(lines, "binding_turns") * turn_s + _CUT_S
    standing_s = bind_s + _GATE_MOVES_S + _number(lines, "open_s")
    if plan is None:
        return Stations(standing_s, None)
    turning_s = plan.turns / _number(lines, "wrap_rpm") * 60.0
    rolling_s = _number(lines, "roll_before_s") + _number(lines, "roll_after_s")
    ends_s = _TAKE_OVER_S + _CUT_AND_TIP_S + _number(lines, "tip_delay_s")
    return Stations(standing_s, turning_s + rolling_s + ends_s)


def turning_speed_m_s(job: Job, stations: Stations) -> float | None:
    """The speed at which filling and standing take as long as the wrapper: faster brings no bale
    more. None where the wrapper never holds back. Source key: `grisso-2020`.
    """
    if stations.wrapping_s is None or stations.wrapping_s <= stations.standing_s:
        return None
    fill_s = stations.wrapping_s - stations.standing_s
    return job.mass_kg.best / fill_s / job.conditions.windrow_kg_m


def expect(job: Job, plan: FilmPlan | None, lines: Mapping[str, SheetLine]) -> Expected:
    """The bale, the pace and the rolls that the settings lead to. lines: the sheet's, by key."""
    pace = _pace(job, stations_of(job, plan, lines))
    volume_m3 = bale_volume_m3(job.bale.diameter_m, job.bale.length_m)
    dry_frac = 1.0 - job.conditions.moisture_frac
    binding_m = _number(lines, "binding_turns") * math.pi * job.bale.diameter_m
    net = job.binding.kind is BindingKind.NET
    net_roll_m = job.conditions.net_roll_m if net else None
    count = None if plan is None else count_layers(plan.bale, plan.wrapping)
    use = None
    if plan is not None:
        use = film_use(plan.film, plan.bale, plan.turns, plan.wrapper.dispensers)
    return Expected(
        diameter_m=job.diameter_m,
        length_m=job.bale.length_m,
        mass_kg=job.mass_kg,
        dry_matter_kg=_scaled(job.mass_kg, dry_frac),
        density_kg_m3=_scaled(job.mass_kg, 1.0 / volume_m3),
        fill_s=_fill_s(job),
        cycle_s=pace.cycle_s,
        pace_bales_h=pace.pace_bales_h,
        held_back_by=str(pace.held_back_by),
        layers_thinnest=None if count is None else min(count.thinnest, count.flat.thinnest),
        short_frac=None if count is None else count.short_frac,
        sliver_m=None if count is None else count.sliver_m,
        film_m_bale=None if use is None else use.m_bale,
        film_g_bale=None if use is None else use.g_bale,
        film_rolls=None if use is None else job.conditions.bales / use.bales_per_roll,
        net_m_bale=binding_m if net else None,
        net_rolls=None if net_roll_m is None else job.conditions.bales * binding_m / net_roll_m,
    )


def _fill_s(job: Job) -> float:
    feed = feed_rate_kg_s(job.conditions.windrow_kg_m, job.speed_m_s)
    return fill_time_s(job.mass_kg.best, feed)


def _pace(job: Job, stations: Stations) -> Pace:
    cycle = Cycle(_fill_s(job), stations.standing_s, stations.wrapping_s)
    pace = pace_of(cycle, job.mass_kg.best)
    turning_m_s = turning_speed_m_s(job, stations)
    if turning_m_s is not None and job.speed_m_s >= turning_m_s:
        return replace(pace, held_back_by=HeldBack.WRAPPER)  # slowed to just that
    return pace


def _number(lines: Mapping[str, SheetLine], key: str) -> float:
    line = lines.get(key)
    return float(line.value) if line is not None and isinstance(line.value, float | int) else 0.0


def _scaled(interval: Interval, factor: float) -> Interval:
    return Interval(interval.low * factor, interval.best * factor, interval.high * factor)
