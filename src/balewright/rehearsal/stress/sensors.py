"""Sensors that are honest but not what they were: replaced, worn, sticky."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from balewright.records.events import Event, EventKind
from balewright.rehearsal.stress.stressed import READINGS, US, Stressed, scatter

_DERIVED: Final = frozenset({"film_m", "moisture_max_frac"})
_RAIN_US: Final = 36 * 3600 * US
_STICKS_BALES: Final = 80
_COMES_BACK_BALES: Final = 40.0
_FOLLOWS: Final = 0.15


def sensor_replaced(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """One sensor of three reads `severity` sigma elsewhere from a bale in mid-season on."""
    count = one.bales.rows
    done, events = one, list(one.events)
    drawn = chance.random((len(READINGS), 3))
    for name, (whether, where, way) in zip(READINGS, drawn, strict=True):
        read = one.bales.floats(name)
        size = severity * scatter(read)
        if whether >= 1.0 / 3.0 or size == 0.0 or name in _DERIVED:
            continue
        row = int(count * (0.3 + 0.4 * where))
        rows = np.arange(count) >= row
        sign = 1.0 if way < 0.5 else -1.0
        done = done.written({name: read + sign * size * rows}).told("sensor replaced", rows)
        events.append(
            Event(
                str(one.bales.column("machine")[row]), EventKind.PART_REPLACED,
                one.bales.cell(row, "bale_no"), one.bales.cell(row, "closed_at"),
                f"{name} sensor", None, "of another make",
            )
        )  # fmt: skip
    return replace(done, events=tuple(sorted(events, key=lambda event: event.at_us or 0)))


def gain_drift(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """Every gain creeps in a straight line, by `severity` sigma at the last bale."""
    gone = np.linspace(0.0, 1.0, one.bales.rows)
    signs = chance.choice([-1.0, 1.0], len(READINGS))
    changes = {}
    for name, sign in zip(READINGS, signs, strict=True):
        read = one.bales.floats(name)
        size = severity * scatter(read)
        if size == 0.0:
            continue
        level = float(np.nanmedian(np.abs(read)))
        part = read / level if level > 0.0 else 1.0
        changes[name] = read + sign * size * gone * part
    rows = np.ones(one.bales.rows, dtype=np.bool_)
    return one.written(changes).told("gain drift", rows)


def sticky_moisture(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """After a pause of 36 h the reading is slow for 80 bales and high by `severity` at first."""
    del chance
    begun, read = one.bales.floats("closed_at"), one.bales.floats("moisture_frac")
    after = np.flatnonzero(np.diff(begun) > _RAIN_US) + 1
    shown = read.copy()
    rows = np.zeros(len(read), dtype=np.bool_)
    follows = 1.0 - (1.0 - _FOLLOWS) * min(severity / 0.06, 1.0)
    for first in after.tolist():
        stands = read[first]
        for row in range(first, min(first + _STICKS_BALES, len(read))):
            if np.isfinite(read[row]):
                stands += follows * (read[row] - stands) if np.isfinite(stands) else 0.0
                stands = stands if np.isfinite(stands) else read[row]
                high = severity * np.exp(-(row - first) / _COMES_BACK_BALES)
                shown[row], rows[row] = stands + high, True
    return one.written({"moisture_frac": shown}).told("sticky moisture", rows)
