"""What the machine writes down of it: its sensors, their noise and rounding, its bale numbers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from balewright.plan.machine import Machine
from balewright.records.bales import BaleTable, masked_table
from balewright.rehearsal.cycle import Times
from balewright.rehearsal.days import Site
from balewright.rehearsal.faults import FaultKind
from balewright.rehearsal.making import Cover, Crop, RollLoss, Task
from balewright.rehearsal.targets import WrapTargets

_TIMES: Final = {
    "closed_at": "closed_s",
    "full_at": "full_s",
    "bind_start_at": "bind_start_s",
    "bind_end_at": "bind_end_s",
    "gate_open_at": "gate_open_s",
    "on_wrapper_at": "on_wrapper_s",
    "wrap_start_at": "wrap_start_s",
    "wrap_end_at": "wrap_end_s",
    "tipped_at": "tipped_s",
}
ALWAYS: Final = frozenset({*_TIMES, "lat", "lon", "binding_tries"})
"""Numbers that every control writes down; all others need a sensor in the profile."""
_WITH_MONITOR: Final = frozenset(
    {"film1_breaks", "film2_breaks", "film_breaks", "roll_lost", "roll_lost_turn", "rolls_on"}
)


def writes(machine: Machine, column: str) -> bool:
    """Whether a rehearsed machine of this profile writes a numeric column at all."""
    monitored = machine.wrapper is not None and machine.wrapper.break_monitor
    return column in ALWAYS or machine.senses(column) or (monitored and column in _WITH_MONITOR)


@dataclass(frozen=True)
class Season:
    """Everything that happened on one machine, before it is written down.

    rows: the bale behind each record (0-based), in the order of writing; numbers: bale_no of
    each record; silent: columns whose sensor this one machine lacks.
    """

    task: Task
    crop: Crop
    cover: Cover
    times: Times
    rows: NDArray[np.int64]
    numbers: NDArray[np.int64]
    silent: frozenset[str]


def number_bales(task: Task, first: int) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Which bales get a record and under which number: (rows, numbers)."""
    rows = np.arange(task.bales)
    numbers = first + rows
    for fault in task.planted:
        if fault.kind is not FaultKind.COUNTER:
            continue
        after = rows >= fault.start
        if fault.severity == 1:
            numbers = np.where(after, rows - fault.start + 1, numbers)
        elif fault.severity == 2:
            numbers = np.where(after, numbers + 7, numbers)
        else:
            numbers = np.where(after, numbers - 2, numbers)
    return rows, numbers


def write_table(
    season: Season,
    who: tuple[str, str | None],
    sites: tuple[Site, ...],
    start_us: int,
    chance: np.random.Generator,
) -> BaleTable:
    """The bale table of one machine's season: columns its profile does not sense stay out.

    who: serial and the key of the sheet in force (None: no sheet).
    """
    serial, sheet = who
    rows = season.rows
    columns: dict[str, NDArray[Any]] = {}
    for name, field in _TIMES.items():
        seconds = getattr(season.times, field)
        whole_us = np.round(np.nan_to_num(seconds) * 10) * 100_000
        columns[name] = np.where(np.isnan(seconds), np.nan, start_us + whole_us)
    columns |= _readings(season, chance)
    where = [sites[job % len(sites)] for job in season.task.schedule.job]
    spread = chance.normal(0.0, 6e-4, (2, len(where)))
    columns["lat"] = np.round(np.array([site.lat for site in where]) + spread[0], 6)
    columns["lon"] = np.round(np.array([site.lon for site in where]) + spread[1], 6)
    text = {
        "machine": np.full(len(rows), serial, dtype=object),
        "job": np.array([site.job for site in where], dtype=object)[rows],
        "binding": np.full(len(rows), season.task.targets.binding, dtype=object),
        "status": np.full(len(rows), "ok", dtype=object),
        "crop": np.full(len(rows), season.task.targets.crop, dtype=object),
    }
    if sheet is not None:
        text["sheet"] = np.full(len(rows), sheet, dtype=object)
    for name, nominal in (("diameter_how", "diameter_m"), ("mass_how", "mass_kg"),
                          ("moisture_how", "moisture_frac")):  # fmt: skip
        if season.task.machine.senses(nominal) and nominal not in season.silent:
            text[name] = np.full(len(rows), "sensed", dtype=object)
    machine = season.task.machine
    kept = {
        name: values[rows]
        for name, values in columns.items()
        if writes(machine, name) and name not in season.silent
    }
    return _table(len(rows), text, kept, season.numbers)


def _table(
    count: int,
    text: Mapping[str, NDArray[Any]],
    floats: Mapping[str, NDArray[np.float64]],
    numbers: NDArray[np.int64],
) -> BaleTable:
    values: dict[str, NDArray[Any]] = dict(text)
    known = {name: np.ones(count, dtype=np.bool_) for name in text}
    values["bale_no"], known["bale_no"] = numbers.astype(np.int64), np.ones(count, dtype=np.bool_)
    for name, column in floats.items():
        mask = np.isfinite(column)
        whole = name.endswith(("_at", "_breaks", "_tries")) or name in WHOLE
        kind = np.int64 if whole else np.float64
        values[name] = np.where(mask, column, 0.0).astype(kind)
        known[name] = mask
    return masked_table(count, values, known)


WHOLE: Final = frozenset({"rolls_on", "roll_lost", "knives_in", "overloads", "film_breaks"})


def _noisy(true: NDArray[np.float64], spread: float, step: float,
           chance: np.random.Generator) -> NDArray[np.float64]:  # fmt: skip
    read = true + chance.normal(0.0, spread, true.shape)
    return np.asarray(np.maximum(np.round(np.round(read / step) * step, 6), 0.0))


def _readings(season: Season, chance: np.random.Generator) -> dict[str, NDArray[np.float64]]:
    """Every numeric column as a sensor would show it, shape (bales,) each."""
    task, crop, cover = season.task, season.crop, season.cover
    bales, targets = task.bales, task.targets
    flat = np.full(bales, 1.0)
    scale = 1.0 + chance.normal(0.0, 0.01)
    read = {
        "binding_turns": np.round(cover.binding_turns, 1),
        "binding_m": np.round(cover.binding_m, 1),
        "gate_opening_mm": np.round(crop.gate_opening_mm),
        "diameter_m": _noisy(crop.diameter_m, 0.006, 0.01, chance),
        "mass_kg": np.round(crop.mass_kg * scale * (1.0 + chance.normal(0.0, 0.015, bales))),
        "moisture_frac": _noisy(crop.moisture_frac, 0.012, 0.001, chance),
        "binding_tries": flat + (chance.random(bales) < 0.004),
        "overloads": (chance.random(bales) < 0.003).astype(np.float64),
        "speed_m_s": _noisy(targets.speed_m_s * flat, 0.1, 0.01, chance),
        "pto_rpm": _noisy(540.0 * flat, 6.0, 1.0, chance),
        "air_c": _noisy(19.0 * flat, 3.0, 0.1, chance),
        "oil_c": _noisy(52.0 * flat, 4.0, 0.1, chance),
        "supply_min_v": _noisy(12.6 * flat, 0.15, 0.1, chance),
    }
    for side in ("left", "right"):
        read[f"diameter_{side}_m"] = _noisy(crop.diameter_m, 0.01, 0.01, chance)
    read["moisture_max_frac"] = np.minimum(read["moisture_frac"] + 0.03, 1.0)
    if targets.chamber_bar is not None:
        read["chamber_bar"] = _noisy(targets.chamber_bar * flat, 3.0, 1.0, chance)
    if targets.wrap is not None and cover.counted_m.shape[1]:
        read |= _film_readings(season, targets.wrap, chance)
    return read


def _film_readings(
    season: Season, wrap: WrapTargets, chance: np.random.Generator
) -> dict[str, NDArray[np.float64]]:
    cover = season.cover
    bales, dispensers = cover.counted_m.shape
    counted = cover.counted_m * (1.0 + chance.normal(0.0, 0.004, dispensers))
    counted = counted * (1.0 + chance.normal(0.0, 0.004, counted.shape))
    breaks = (chance.random((bales, dispensers)) < 0.004).astype(np.float64)
    read = {
        "wrap_turns": cover.wrap_turns,
        "wrap_bale_turns": np.round(
            cover.wrap_turns * cover.advance_m / (np.pi * season.crop.diameter_m), 2
        ),
        "wrap_rpm": _noisy(np.full(bales, wrap.rpm), 0.3, 0.1, chance),
        "film_width_m": np.full(bales, wrap.film_width_m),
        "film1_m": np.round(counted[:, 0], 1),
        "film_m": np.round(counted.sum(axis=1), 1),
        "film1_breaks": breaks[:, 0],
        "film_breaks": breaks.sum(axis=1),
        "film_start_tries": np.ones(bales),
        "rolls_on": np.full(bales, float(dispensers)),
        "roll_lost": np.full(bales, np.nan),
        "roll_lost_turn": np.full(bales, np.nan),
    }
    if dispensers > 1:
        read["film2_m"], read["film2_breaks"] = np.round(counted[:, 1], 1), breaks[:, 1]
    for loss in season.task.lost:
        if _senses_loss(season.task.machine, loss, bales):
            read["roll_lost"][loss.bale] = loss.dispenser
            read["roll_lost_turn"][loss.bale] = round(loss.turn)
    return read


def _senses_loss(machine: Machine, loss: RollLoss, bales: int) -> bool:
    wrapper = machine.wrapper
    return wrapper is not None and wrapper.break_monitor and loss.bale < bales
