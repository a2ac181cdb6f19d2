"""What the machine's sensors read: their offsets, noise and rounding, and what is wrong with them.

Every number here is as it would stand in the record; NaN where nothing is read.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from balewright.rehearsal import sizes
from balewright.rehearsal.cycle import Made
from balewright.rehearsal.faults import ConfuserKind, FaultKind
from balewright.rehearsal.targets import WrapTargets
from balewright.rehearsal.task import Floats, Task

Readings = dict[str, Floats]


def read_sensors(task: Task, made: Made) -> Readings:
    """Every numeric column by name, shape (bales,) each, whether the machine has it or not."""
    read = _read_chamber(task, made) | _read_drive(task, made)
    if task.targets.wrap is not None and made.cover.wrap.counted_m.shape[1]:
        read |= _read_film(task, made, task.targets.wrap)
    return _spoil(task, read)


def _seen(true: Floats, noise: Floats, step: float) -> Floats:
    """A reading in whole steps, never below zero."""
    return np.asarray(np.maximum(np.round(np.round((true + noise) / step) * step, 6), 0.0))


def _noise(task: Task, name: str, usual: tuple[float, float]) -> Floats:
    """Noise and offset of one machine's sensor: usual is (bale to bale, machine to machine)."""
    louder = math.exp(task.streams.one(f"noise of {name}", sizes.NOISE_MACHINE_LOG))
    offset = task.streams.one(f"offset of {name}", usual[1])
    return offset + louder * task.by_bale(f"reading of {name}", usual[0])


def _read_chamber(task: Task, made: Made) -> Readings:
    crop, binding = made.crop, made.cover.binding
    chatter = np.sqrt(np.maximum(task.times(FaultKind.GATE_CHATTERS), 1.0) ** 2 - 1.0)
    loose = task.by_bale("gate chatter", sizes.GATE_BALE_MM) * chatter
    scale = 1.0 + _noise(task, "mass", sizes.MASS_SHARE)
    scale = scale * (1.0 + task.level(FaultKind.SCALE_DRIFTS))
    drift = task.level(FaultKind.MOISTURE_DRIFTS)
    wet = _noise(task, "moisture", sizes.MOISTURE_FRAC)
    read = {
        "binding_turns": np.round(binding.turns, 1),
        "binding_m": np.round(binding.metres_m, 1),
        "binding_tries": 1.0 + binding.missed,
        "gate_opening_mm": _seen(crop.gate_opening_mm, loose, 1.0),
        "diameter_m": _seen(crop.diameter_m, _noise(task, "diameter", sizes.DIAMETER_M), 0.01),
        "mass_kg": np.round(crop.mass_kg * scale),
        "moisture_frac": np.minimum(_seen(crop.moisture_frac + drift, wet, 0.001), 1.0),
        "chamber_bar": np.full(task.bales, np.nan),
        "knife_bar": np.round(made.loads.knife_bar),
        "knives_in": made.loads.knives_in,
        "speed_m_s": _seen(crop.speed_m_s, task.by_bale("reading of speed", 0.03), 0.01),
        "pitch_frac": np.round(crop.along_frac, 3),
        "roll_frac": np.round(crop.across_frac, 3),
        "density_dial": _dial(task),
        "additive_l": np.round(made.loads.additive_l, 2),
    }
    if task.targets.chamber_bar is not None:
        read["chamber_bar"] = _seen(crop.pressure_bar, np.zeros(task.bales), 1.0)
    for side, sign in (("left", 0.5), ("right", -0.5)):
        noise = _noise(task, side, sizes.SIDE_M)
        read[f"diameter_{side}_m"] = _seen(crop.diameter_m + sign * crop.left_m, noise, 0.01)
    above = 0.03 + 0.01 * np.abs(task.by_bale("moisture above", 1.0))
    read["moisture_max_frac"] = np.minimum(read["moisture_frac"] + above, 1.0)
    return read


def _dial(task: Task) -> Floats:
    """Where the density dial stands, as the number of its position from 1; bar without a dial."""
    told = task.targets.chamber_bar
    if told is None:
        return np.full(task.bales, np.nan)
    moved = task.since(ConfuserKind.SETTING_CHANGED) - task.level(FaultKind.DENSITY_DIAL)
    dial = task.machine.dial("chamber_bar")
    if dial is None:
        return np.round(told + moved, 1)
    return np.round(1.0 + np.interp(told + moved, dial.values, np.arange(len(dial.values))), 2)


def _read_drive(task: Task, made: Made) -> Readings:
    loads, still = made.loads, np.zeros(task.bales)
    return {
        "overloads": loads.overloads.astype(np.float64),
        "pto_rpm": _seen(loads.pto_rpm, still, 1.0),
        "pto_torque_nm": _seen(loads.torque_nm, still, 1.0),
        "air_c": np.round(made.weather.air_c, 1),
        "oil_c": np.round(loads.oil_c, 1),
        "supply_min_v": _seen(loads.supply_v, still, 0.1),
    }


def _read_film(task: Task, made: Made, told: WrapTargets) -> Readings:
    wrap = made.cover.wrap
    counted, dispensers = wrap.counted_m, wrap.counted_m.shape[1]
    rolled_m = wrap.turns * wrap.advance_m
    none = np.full(task.bales, np.nan)
    read = {
        "wrap_turns": wrap.turns,
        "wrap_bale_turns": np.round(rolled_m / (np.pi * made.crop.diameter_m), 2),
        "wrap_rpm": _seen(wrap.rpm, np.zeros(task.bales), 0.1),
        "film_width_m": np.full(task.bales, told.film_width_m),
        "film_m": np.round(counted.sum(axis=1), 1),
        "film_breaks": wrap.breaks.sum(axis=1).astype(np.float64),
        "film_start_tries": 1.0 + wrap.again,
        "rolls_on": np.full(task.bales, float(dispensers)),
        "roll_lost": none,
        "roll_lost_turn": none.copy(),
    }
    for place in range(min(dispensers, 2)):
        read[f"film{place + 1}_m"] = np.round(counted[:, place], 1)
        read[f"film{place + 1}_breaks"] = wrap.breaks[:, place].astype(np.float64)
    for loss in task.lost:
        if loss.bale < task.bales:
            read["roll_lost"][loss.bale] = loss.dispenser
            read["roll_lost_turn"][loss.bale] = round(loss.turn)
    return read


def _spoil(task: Task, read: Readings) -> Readings:
    """Readings that stay where they stood."""
    for kind, name in ((FaultKind.DIAMETER_FROZEN, "diameter_m"),
                       (FaultKind.PRESSURE_FROZEN, "chamber_bar")):  # fmt: skip
        read[name] = _hold(read[name], task.level(kind) > 0)
    return read


def _hold(values: Floats, stuck: NDArray[np.bool_]) -> Floats:
    """Each stuck reading repeats the last one that was free, or the first of all."""
    free = np.where(stuck, -1, np.arange(len(values)))
    last = np.maximum(np.maximum.accumulate(free), 0)
    return values[last]
