"""A sheet written by hand and bales that keep it: what every findings test starts from."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import pytest

from balewright.plan.crop import Crop
from balewright.plan.film.strip import Film
from balewright.plan.machine import Machine
from balewright.plan.sheet.sheet import Conditions, Expected, HowSure, Sheet, SheetLine
from balewright.quantities.interval import Interval
from balewright.quantities.reason import because
from balewright.readers.profile import shipped_profiles
from balewright.records.bales import BaleTable, bale_table

START_US = 1_900_000_000_000_000


def line(key: str, value: float | str, low: float | None = None, high: float | None = None):
    """One line of a sheet."""
    return SheetLine(key, value, None, low, high, because("x"), "practice", HowSure.SETTLED)


def hand_sheet(machine: Machine, **lines: float | str) -> Sheet:
    """A sheet with these lines: six layers of 0.75 m film at 70 %, bales of 1.25 m x 1.23 m.

    Its strip is 0.60 m wide: the neck-in exponent that makes 0.75 m into 0.60 m at 70 %.
    """
    film = Film(0.75, 25e-6, 1500.0, 0.70, 0.42052)
    conditions = Conditions(
        Crop.GRASS_SILAGE, 0.55, 4.0, 2.5, 0.0, False, False, film, 3000.0, 6.0, 500
    )
    length_m = machine.chamber.width_m
    volume_m3 = 3.141592653589793 / 4 * 1.25**2 * length_m
    expected = Expected(
        diameter_m=Interval(1.23, 1.25, 1.27),
        length_m=length_m,
        mass_kg=Interval(330 * volume_m3, 400 * volume_m3, 470 * volume_m3),
        dry_matter_kg=Interval(150 * volume_m3, 180 * volume_m3, 210 * volume_m3),
        density_kg_m3=Interval(330, 400, 470),
        fill_s=40.0, cycle_s=60.0, pace_bales_h=60.0, held_back_by="chamber",
        layers_thinnest=6, short_frac=0.0, sliver_m=0.0, film_m_bale=70.0, film_g_bale=1100.0,
        film_rolls=1.0, net_m_bale=9.8, net_rolls=1.0,
    )  # fmt: skip
    return Sheet(
        None, machine.key, machine.version, "0", conditions, (),
        tuple(line(key, value) for key, value in lines.items()), expected, (),
    )  # fmt: skip


RING_LINES: Mapping[str, float | str] = {
    "layers": 6, "wrap_turns": 14, "pre_stretch_frac": 0.70, "film_width_m": 0.75,
    "binding": "net", "binding_turns": 2.5, "binding_delay_s": 3.0, "gate_opening_mm": 20.0,
    "wrap_rpm": 30.0, "diameter_m": 1.25,
}  # fmt: skip


@pytest.fixture(scope="session")
def ring() -> Machine:
    """The shipped make with a ring and two dispensers, metres counted before the stretch."""
    return next(
        machine
        for machine in shipped_profiles().values()
        if machine.wrapper is not None and machine.wrapper.dispensers == 2
    )


@pytest.fixture(scope="session")
def sheets(ring: Machine) -> dict[str, Sheet]:
    """One sheet in force, under the key `s1`."""
    return {"s1": hand_sheet(ring, **RING_LINES)}


def good_bale(row: int) -> dict[str, Any]:
    """A bale that keeps the sheet to the letter, one a minute."""
    at = START_US + row * 60_000_000
    second = 1_000_000
    metres = round(14 * 2 * (1.25 + 1.23) / 1.70, 1)
    return {
        "machine": "RING-1", "bale_no": 100 + row, "sheet": "s1", "status": "ok", "job": "j1",
        "binding": "net", "closed_at": at, "full_at": at + 40 * second,
        "bind_start_at": at + 43 * second, "bind_end_at": at + 50 * second,
        "gate_open_at": at + 51 * second, "on_wrapper_at": at + 55 * second,
        "wrap_start_at": at + 57 * second, "wrap_end_at": at + 86 * second,
        "tipped_at": at + 89 * second, "binding_turns": 2.5, "binding_m": 9.8,
        "gate_opening_mm": 20.0, "wrap_turns": 14.0, "film1_m": metres, "film2_m": metres,
        "diameter_m": 1.25, "diameter_how": "sensed", "mass_kg": 604.0, "mass_how": "sensed",
        "moisture_frac": 0.55, "moisture_how": "sensed", "rolls_on": 2,
    }  # fmt: skip


MakeBales = Callable[..., BaleTable]


@pytest.fixture(scope="session")
def make_bales() -> MakeBales:
    """`make_bales(60, {(from, to): {column: value or function of the row}})`."""

    def make(count: int, changed: Mapping[tuple[int, int], Mapping[str, Any]] = {}) -> BaleTable:
        rows = [good_bale(row) for row in range(count)]
        for (first, last), columns in changed.items():
            for row in range(first, last):
                for name, value in columns.items():
                    rows[row][name] = value(rows[row]) if callable(value) else value
        names = list(dict.fromkeys(name for row in rows for name in row))
        return bale_table(count, {name: [row.get(name) for row in rows] for name in names})

    return make
