"""The race run many times over with given draws: every finish time, and who waited."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from balewright.plan.pace.chance_kernel import (
    GATHERED,
    IDLE,
    WAITS,
    Drawn,
    buffered_kernel,
    race_kernel,
)
from balewright.plan.pace.variation import Factors, Floats
from balewright.plan.pace.work import Stands, Work
from balewright.quantities.checks import require_between
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.si import M2_PER_HA

GRID_PER_S: Final = 2.0**20
"""Times are kept on a grid of a millionth of a second, so that their sums are exact in any order
and a result is the same to the last digit on every machine (up to 270 years of work).
"""


@dataclass(frozen=True)
class Times:
    """Seconds of every bale of every run, on the grid.

    fill_s to tip_s and lost_s (stops by chance): (runs, bales); chamber_stop_s (turns and stops of
    the chamber), machine_stop_s, wrapper_stop_s: (bales,), the same in every run.
    """

    fill_s: Floats
    bind_s: Floats
    gate_s: Floats
    wrap_s: Floats
    tip_s: Floats
    lost_s: Floats
    turning_s: Floats
    chamber_stop_s: Floats
    machine_stop_s: Floats
    wrapper_stop_s: Floats

    @property
    def drawn(self) -> Drawn:
        """What differs from run to run, as the kernels take it."""
        return (self.fill_s, self.bind_s, self.gate_s, self.wrap_s, self.tip_s, self.lost_s)


@dataclass(frozen=True)
class Runs:
    """What the runs gave.

    finish_s: (runs, bales), when each bale was tipped; wrapper_idle_s, driver_waits_s, gathered_s:
    (runs,), over the whole run; the driver's wait holds the wrapping of the last bale.
    """

    times: Times
    finish_s: Floats
    wrapper_idle_s: Floats
    driver_waits_s: Floats
    gathered_s: Floats

    @property
    def whole_s(self) -> Floats:
        """(runs,): from the first crop until the last bale is tipped."""
        return self.finish_s[:, -1]


def times_of(work: Work, factors: Factors) -> Times:
    """Every time of every bale: means of the work times the factors, stops where they fall.

    Turns fall where the row ends, the first after a whole run of the field; stops by count after
    every so many bales, rolls being new at the first; a stop by chance where luck is low enough.
    Raises BadInput where the chances of all stops by chance exceed 1 together.
    """
    phases = work.phases
    turning_s = _falls(work.headland.per_bale, factors.bales) * work.headland.turn_s
    stopped = {
        stands: sum(
            (
                _falls(1.0 / stop.every_bales, factors.bales) * stop.lasts_s
                for stop in work.stops
                if stop.stands is stands and not stop.by_chance
            ),
            start=np.zeros(factors.bales),
        )
        for stands in Stands
    }
    return Times(
        fill_s=_grid(factors.fill * phases.fill_s),
        bind_s=_grid(factors.bind * phases.bind_s),
        gate_s=_grid(factors.gate * phases.gate_s),
        wrap_s=_grid(factors.wrap * (phases.take_over_s + phases.wrap_s)),
        tip_s=_grid(factors.tip * phases.tip_s),
        lost_s=_grid(_lost_s(work, factors.luck)),
        turning_s=_grid(turning_s),
        chamber_stop_s=_grid(turning_s) + _grid(stopped[Stands.CHAMBER]),
        machine_stop_s=_grid(stopped[Stands.MACHINE]),
        wrapper_stop_s=_grid(stopped[Stands.WRAPPER]),
    )


def race(work: Work, factors: Factors) -> Runs:
    """Run the work once for every row of the factors.

    Gives every finish time. Valid for one driver who stops for every roll and break; the field is
    never short of crop. Model: docs/models/pace-chance.md. Source key: `grisso-2020`.
    """
    return race_times(times_of(work, factors), work.phases.buffer_s)


def race_times(times: Times, buffer_s: float = 0.0) -> Runs:
    """The race of given times; buffer_s: seconds of crop a machine gathers meanwhile, 0..3600."""
    require_between("buffer_s", buffer_s, 0.0, 3600.0)
    buffer_s = round(buffer_s * GRID_PER_S) / GRID_PER_S
    finish_s = np.empty_like(times.fill_s)
    sums_s = np.empty((len(finish_s), 3))
    stops = (times.chamber_stop_s, times.machine_stop_s, times.wrapper_stop_s)
    if buffer_s > 0.0:
        buffered_kernel(times.drawn, stops, buffer_s, finish_s, sums_s)
    else:
        race_kernel(times.drawn, stops, finish_s, sums_s)
    return Runs(times, finish_s, sums_s[:, IDLE], sums_s[:, WAITS], sums_s[:, GATHERED])


def bales_of_field(work: Work, area_ha: float) -> int:
    """Bales that a field of `area_ha` (0.01..10,000) makes, the last one perhaps not full.

    Raises BadInput where the work does not say what field one bale clears.
    """
    require_between("area_ha", area_ha, 0.01, 10_000.0)
    if work.bale_m2 is None:
        cure = "Give the width gathered into the row."
        raise BadInput(Fault("bale_m2", "the field that one bale clears", "None", cure))
    return max(1, math.ceil(area_ha * M2_PER_HA / work.bale_m2))


def _grid(seconds: Floats) -> Floats:
    return np.ascontiguousarray(np.rint(seconds * GRID_PER_S) / GRID_PER_S)


def _falls(per_bale: float, bales: int) -> Floats:
    """How often something that comes `per_bale` times a bale falls on each bale."""
    done = np.floor(np.arange(bales + 1) * per_bale + 1e-9)
    return np.diff(done)


def _lost_s(work: Work, luck: Floats) -> Floats:
    lost_s, below = np.zeros(luck.shape), 0.0
    for stop in work.stops:
        if stop.by_chance:
            above = below + 1.0 / stop.every_bales
            lost_s[(luck >= below) & (luck < above)] = stop.lasts_s
            below = above
    if below > 1.0 + 1e-12:
        need = "chances of at most 1 together"
        raise BadInput(Fault("stops", need, f"{below:g}", "Put frequent stops into a phase."))
    return lost_s
