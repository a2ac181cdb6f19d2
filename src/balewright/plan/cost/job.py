"""From settings to the bale that costs money: dry matter, pace, metres off the rolls, diesel."""

from __future__ import annotations

import math
from dataclasses import dataclass

from balewright.plan.cost.outlay import Made
from balewright.plan.film.strip import roll_metres_m
from balewright.plan.pace.settings import Settings, work_of
from balewright.plan.pace.steady import WorkPace, work_pace
from balewright.plan.power.fuel import fuel_l_h
from balewright.plan.power.need import (
    Chamber,
    Ground,
    baling_kw,
    chopping_kw,
    oil_kw,
    pulling_kw,
    rolling_force_n,
)
from balewright.quantities.checks import require_between, require_count
from balewright.quantities.si import KG_PER_T, S_PER_H


@dataclass(frozen=True)
class Draw:
    """What the machine asks of the tractor, for diesel.

    chamber; knives_in: 0..60; machine_kg: with bales in it, 0..60 000; rated_pto_kw: of the
    tractor, 5..1000; oil_l_min, oil_bar: what a wrapper takes of the tractor while it wraps, 0
    where it drives its own pump.
    """

    chamber: Chamber
    knives_in: int
    machine_kg: float
    rated_pto_kw: float
    oil_l_min: float = 0.0
    oil_bar: float = 0.0

    def __post_init__(self) -> None:
        require_count("knives_in", self.knives_in, 0, 60)
        require_between("machine_kg", self.machine_kg, 0.0, 60_000.0)
        require_between("rated_pto_kw", self.rated_pto_kw, 5.0, 1000.0)
        require_between("oil_l_min", self.oil_l_min, 0.0, 300.0)
        require_between("oil_bar", self.oil_bar, 0.0, 400.0)


@dataclass(frozen=True)
class Job:
    """Settings, field and machine, as the cost of a bale needs them.

    settings: of `plan/pace`, with all stops that count; draw: for diesel; field_frac: share of
    the paid time that this work takes, 0.2..1 (driving between fields and waiting are the rest);
    additive_l_t: on a tonne of fresh crop, 0..50.
    """

    settings: Settings
    draw: Draw
    field_frac: float = 1.0
    additive_l_t: float = 0.0

    def __post_init__(self) -> None:
        require_between("field_frac", self.field_frac, 0.2, 1.0)
        require_between("additive_l_t", self.additive_l_t, 0.0, 50.0)


def made_of(job: Job) -> Made:
    """The bale as it is made, for `cost_of`.

    The pace is that of `work_pace` times `field_frac`; diesel is the best value of `fuel_l_h` at
    the mean load of an hour in the field, at most the tractor's rated power. About 60 us a call.
    Source keys: `geometry`, `grisso-2020`, `grisso-fuel`.
    """
    bale, wrap = job.settings.bale, job.settings.wrap
    work = work_of(job.settings)
    pace = work_pace(work)
    film_m = 0.0
    if wrap is not None:
        film_m = roll_metres_m(bale.size, wrap.turns * wrap.dispensers, wrap.pre_stretch_frac)
    return Made(
        dm_kg=bale.mass_kg * (1.0 - bale.moisture_frac),
        bales_h=pace.pace_bales_h * job.field_frac,
        film_m=film_m,
        binding_m=job.settings.bind.turns * math.pi * bale.size.diameter_m,
        fuel_l_h=_fuel_l_h(job, pace, work.phases.wrap_s / pace.cycle_s),
        additive_l=job.additive_l_t * bale.mass_kg / KG_PER_T,
    )


def working_kw(job: Job) -> float:
    """Likely power at the PTO while crop flows and the wrapper turns, on level ground."""
    row, draw = job.settings.row, job.draw
    return _kw(draw, row.windrow_kg_m * row.speed_m_s * S_PER_H / KG_PER_T, row.speed_m_s, 1.0)


def _kw(draw: Draw, feed_t_h: float, speed_m_s: float, wrapping_frac: float) -> float:
    return (
        baling_kw(draw.chamber, feed_t_h).best
        + chopping_kw(draw.knives_in, feed_t_h).best
        + pulling_kw(rolling_force_n(draw.machine_kg, Ground.FIRM), speed_m_s).best
        + oil_kw(draw.oil_l_min, draw.oil_bar).best * wrapping_frac
    )


def _fuel_l_h(job: Job, pace: WorkPace, wrapping_frac: float) -> float:
    """Diesel at the mean load: crop, way and wrapping of a mean hour."""
    mean_t_h = pace.throughput_t_h * job.field_frac
    moving_m_s = mean_t_h * KG_PER_T / S_PER_H / job.settings.row.windrow_kg_m
    need_kw = _kw(job.draw, mean_t_h, moving_m_s, wrapping_frac * job.field_frac)
    rated_kw = job.draw.rated_pto_kw
    return fuel_l_h(min(need_kw, rated_kw), rated_kw).best
