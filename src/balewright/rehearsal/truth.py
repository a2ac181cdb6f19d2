"""What nobody in the field knows: what was made, what was wrong and since when."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from balewright.plan.machine import Machine
from balewright.records.events import Event, Setting
from balewright.rehearsal.cycle import Made, Times
from balewright.rehearsal.faults import Confuser, FaultKind, Planted
from balewright.rehearsal.task import Floats, Task
from balewright.rehearsal.upkeep import GREASE, service_rounds


@dataclass(frozen=True)
class Present:
    """One planted fault as it came out.

    first_bale: the first bale (0-based) at which it really was there, None: never in this season;
    last_bale: the last one; level: how bad at each bale, in the unit of its note, shape (bales,);
    0 where it was not there.
    """

    planted: Planted
    first_bale: int | None
    last_bale: int | None
    level: Floats


@dataclass(frozen=True)
class Truth:
    """What nobody in the field knows: per bale of one machine, shape (bales,).

    machine, silent: what it is, and which of its columns it does not record; numbers, closed_us:
    the record of each bale; layers_thinnest and short_frac: as walked;
    stretch_frac: (bales, dispensers); dry_kg_m3, binding_turns, diameter_m as made.
    faults: what was planted, as it came out; confusers: planted and drawn by the season's habit;
    events, settings: what was told beside the bales; made: every quantity by name before any
    sensor; chances: chance a bale of what comes by chance, by name.
    """

    serial: str
    machine: Machine
    silent: frozenset[str]
    planted: tuple[Planted, ...]
    confusers: tuple[Confuser, ...]
    numbers: NDArray[np.int64]
    closed_us: NDArray[np.int64]
    job: NDArray[np.int64]
    day: NDArray[np.int64]
    layers_thinnest: Floats
    short_frac: Floats
    stretch_frac: Floats
    binding_turns: Floats
    gate_opening_mm: Floats
    dry_kg_m3: Floats
    diameter_m: Floats
    moisture_frac: Floats
    faults: tuple[Present, ...]
    events: tuple[Event, ...]
    settings: tuple[Setting, ...]
    made: Mapping[str, Floats]
    chances: Mapping[str, Floats]

    @property
    def weeks(self) -> int:
        """Calendar weeks in which the machine worked."""
        return len(np.unique(self.day // 7))


@dataclass(frozen=True)
class Told:
    """What was written down of one machine beside its bale table."""

    serial: str
    silent: frozenset[str]
    numbers: NDArray[np.int64]
    closed_us: NDArray[np.int64]
    events: tuple[Event, ...]
    settings: tuple[Setting, ...]


def tell_truth(task: Task, made: Made, times: Times, told: Told) -> Truth:
    """Gather the truth of one machine's season."""
    crop, wrap, binding = made.crop, made.cover.wrap, made.cover.binding
    return Truth(
        told.serial, task.machine, told.silent, task.planted, task.confusers, told.numbers,
        told.closed_us,
        task.schedule.job, task.schedule.day, wrap.layers_thinnest, wrap.short_frac,
        wrap.stretch_frac, binding.turns, crop.gate_opening_mm, crop.dry_kg_m3,
        crop.diameter_m, crop.moisture_frac,
        tuple(_present(task, made, place) for place in range(len(task.planted))),
        told.events, told.settings, _quantities(made, times), _chances(made),
    )  # fmt: skip


def _present(task: Task, made: Made, place: int) -> Present:
    fault = task.planted[place]
    level: Floats = np.asarray(fault.severity * task.progress[place])
    if fault.kind is FaultKind.ROLL_BATCH:
        level = np.where(made.cover.wrap.batch_on.any(axis=1), fault.severity, 0.0)
    if fault.kind is FaultKind.GREASE_STUCK and not service_rounds(task).get(GREASE):
        level = np.zeros(task.bales)
    there = np.flatnonzero(level != 0)
    first, last = (int(there[0]), int(there[-1])) if len(there) else (None, None)
    return Present(fault, first, last, level)


def _quantities(made: Made, times: Times) -> dict[str, Floats]:
    crop, loads, wrap = made.crop, made.loads, made.cover.wrap
    stretched = wrap.roll_m * (1.0 + wrap.stretch_frac)
    of_film = {f"stretched{at + 1}_m": stretched[:, at] for at in range(stretched.shape[1])}
    return of_film | {
        "windrow_kg_m": crop.windrow_kg_m, "speed_m_s": crop.speed_m_s, "left_m": crop.left_m,
        "feed_ratio": crop.feed_ratio, "pressure_bar": crop.pressure_bar, "mass_kg": crop.mass_kg,
        "air_c": made.weather.air_c, "oil_c": loads.oil_c, "pto_rpm": loads.pto_rpm,
        "torque_nm": loads.torque_nm, "supply_v": loads.supply_v, "knife_bar": loads.knife_bar,
        "knives_in": loads.knives_in, "additive_l": loads.additive_l,
        "wrap_rpm": wrap.rpm, "wrap_turns": wrap.turns,
        "binding_m": made.cover.binding.metres_m, "fill_s": times.full_s - times.closed_s,
        "driver": crop.driver.astype(np.float64),
    }  # fmt: skip


def _chances(made: Made) -> dict[str, Floats]:
    wrap, loads = made.cover.wrap, made.loads
    chances = {
        "binding missed": made.cover.binding.p_missed, "film starts": wrap.p_again,
        "overloads": loads.p_overloads, "by hand": loads.p_by_hand, "codes": loads.p_codes,
    }  # fmt: skip
    for place in range(wrap.p_breaks.shape[1]):
        chances[f"film breaks {place + 1}"] = wrap.p_breaks[:, place]
    return chances
