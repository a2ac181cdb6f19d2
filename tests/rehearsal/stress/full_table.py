"""A plain table with every column a machine could write, made without the simulator."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np

from balewright.records.bales import BaleTable, bale_table
from balewright.records.events import Event, EventKind

START_US = 1_900_022_400_000_000
BALES = 17 * 96
LEVELS = {
    "binding_turns": (2.5, 0.1), "binding_m": (10.0, 0.3), "gate_opening_mm": (60.0, 5.0),
    "chamber_bar": (100.0, 8.0), "knife_bar": (80.0, 8.0), "wrap_bale_turns": (2.0, 0.1),
    "wrap_rpm": (30.0, 0.6), "film1_m": (35.0, 0.5), "film2_m": (35.0, 0.5),
    "diameter_m": (1.25, 0.03), "diameter_left_m": (1.25, 0.03), "diameter_right_m": (1.25, 0.03),
    "mass_kg": (650.0, 20.0), "moisture_frac": (0.55, 0.02), "additive_l": (2.0, 0.3),
    "speed_m_s": (2.5, 0.1), "pto_rpm": (540.0, 8.0), "pto_torque_nm": (700.0, 30.0),
    "supply_min_v": (12.6, 0.4), "oil_c": (52.0, 4.0), "air_c": (19.0, 3.0),
    "pitch_frac": (0.0, 0.02), "roll_frac": (0.0, 0.02),
    "said_overlap_frac": (0.52, 0.04), "said_stretch_frac": (0.7, 0.04),
}  # fmt: skip
"""Column -> level and scatter from bale to bale, both coarse enough for the sensor's step."""


@cache
def plain(bales: int = BALES, serial: str = "M1") -> tuple[BaleTable, tuple[Event, ...]]:
    """Records of one machine: days of 96 bales of 75 s in two jobs, after each fourth day rain."""
    chance = np.random.default_rng(20)
    columns: dict[str, Any] = {
        name: np.round(chance.normal(level, spread, bales), 3)
        for name, (level, spread) in LEVELS.items()
    }
    columns["film_m"] = np.round(columns["film1_m"] + columns["film2_m"], 3)
    columns["moisture_max_frac"] = np.round(columns["moisture_frac"] + 0.03, 3)
    whole = np.arange(bales)
    day = whole // 96
    begun_s = (day + 3 * (day // 4)) * 86_400.0 + 32_400.0 + (whole % 96) * 75.0
    at_s = begun_s.copy()
    took = {"closed_at": 0.0, "full_at": 40.0, "bind_start_at": 3.0, "bind_end_at": 7.0,
            "gate_open_at": 9.0, "on_wrapper_at": 4.0, "wrap_start_at": 2.0, "wrap_end_at": 26.0,
            "tipped_at": 3.0}  # fmt: skip
    for name, seconds in took.items():
        at_s = at_s + seconds * np.clip(chance.normal(1.0, 0.08, bales), 0.7, 1.2)
        columns[name] = START_US + np.round(at_s * 10).astype(np.int64) * 100_000
    columns |= {
        "machine": [serial] * bales, "bale_no": 501 + whole, "crop": ["hay"] * bales,
        "job": [f"J{number}" for number in whole // 48], "mass_how": ["sensed"] * bales,
        "moisture_how": ["sensed"] * bales, "diameter_how": ["sensed"] * bales,
        "wrap_turns": [12.0] * bales, "film_width_m": [0.75] * bales, "overloads": [0] * bales,
        "film_breaks": chance.poisson(0.01, bales), "lat": [8.0] * bales, "lon": [-38.0] * bales,
        "rolls_on": [2] * bales,
    }  # fmt: skip
    # a few honest holes, so that unknown has to stay unknown
    mass = columns["mass_kg"].copy()
    mass[::37] = np.nan
    columns["mass_kg"] = mass
    events = tuple(
        Event(serial, EventKind.FILM_ROLL_CHANGED, 501 + row, int(columns["closed_at"][row]),
              f"dispenser {1 + row // 21 % 2}", 1500.0)
        for row in range(10, bales, 21)
    )  # fmt: skip
    return bale_table(bales, columns), events
