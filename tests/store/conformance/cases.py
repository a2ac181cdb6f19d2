"""Rows that engines are known to differ on, a case a group of machines. Up to three files."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

import numpy as np

from balewright.records.bales import BaleTable, bale_table
from balewright.records.columns import COLUMNS

Row = Mapping[str, Any]
HOUR_US: Final = 3_600_000_000
DAY_US: Final = 24 * HOUR_US
JUNE_US: Final = 1_938_153_600_000_000  # 2031-06-02T08:00Z
SPRING_US: Final = 1_932_598_800_000_000  # 2031-03-30T01:00Z: 02:00 becomes 03:00 at CLOCK
AUTUMN_US: Final = 1_950_742_800_000_000  # 2031-10-26T01:00Z: 03:00 becomes 02:00 again
LAST_US: Final = 4_102_444_799_999_999  # 2099-12-31T23:59:59.999999Z
CLOCK: Final = "CET"

CASES: Final = ("null", "ties", "overflow", "daylight", "negative", "unicode", "machines")
"""`empty` is a journal of its own; a NaN never reaches one."""

_SEED: Final = 20310602


def files() -> list[list[Row]]:
    """The rows of three files; a machine's serial begins with its case."""
    found: list[list[Row]] = [[], [], []]
    makers = (_null, _ties, _overflow, _daylight, _negative, _unicode, _machines)
    for make in makers:
        for place, rows in enumerate(make()):
            found[place] += rows
    return found


def as_table(rows: Sequence[Row]) -> BaleTable:
    """The rows as a bale table."""
    names = [column.name for column in COLUMNS if any(column.name in row for row in rows)]
    return bale_table(len(rows), {name: [row.get(name) for row in rows] for name in names})


def case_of(machine: str | None) -> str:
    """The case a machine belongs to; rows without machine are of `null`."""
    return "null" if machine is None else machine.partition("-")[0]


def zones() -> dict[str, str]:
    """Where the machines stand; the rest is not in the register and keeps UTC."""
    return {
        "daylight-1": CLOCK, "daylight-2": "EST5EDT", "negative-1": CLOCK, "overflow-1": CLOCK,
        "unicode-ß": CLOCK,
    }  # fmt: skip


def _null() -> list[list[Row]]:
    """Every mix of unknown machine, number, epoch, time, job, mass and status."""
    chance = np.random.default_rng(_SEED)
    rows: list[list[Row]] = [[], [], []]
    for number in range(192):
        full = {
            "machine": f"null-{number % 2}", "bale_no": number % 11, "counter_epoch": number % 2,
            "gate_open_at": JUNE_US + (number % 13) * HOUR_US, "job": f"J{number % 3}",
            "mass_kg": 600.0 + number, "status": ["ok", "burst", "test", "re-wrapped"][number % 4],
        }  # fmt: skip
        told = chance.random(len(full)) < 0.6
        row = {name: value for (name, value), ok in zip(full.items(), told, strict=True) if ok}
        rows[number % 3].append(row)
    return rows


def _ties() -> list[list[Row]]:
    """Files that know equally much of one bale, rows that repeat, clocks that stand still."""

    def one(machine: int, mass_kg: float, **more: Any) -> Row:
        return {"machine": f"ties-{machine}", "tipped_at": JUNE_US, "mass_kg": mass_kg, **more}

    both = {"bale_no": 1, "counter_epoch": 0}
    return [
        [one(1, 600, **both, job="A"), one(2, 1), one(2, 2), one(3, 7, bale_no=1)],
        [one(1, 601, **both, job="B"), one(2, 3), one(3, 8, bale_no=1, job="A")],
        [one(1, 602, **both, job="C"), one(1, 602, **both, job="D"), one(2, 4), one(2, 5)],
    ]


def _overflow() -> list[list[Row]]:
    """Sums and times that need 64 bits, the highest numbers, the last moment of all."""
    heavy = [
        {"machine": "overflow-1", "bale_no": 10_000_000 - place, "counter_epoch": 1000,
         "tipped_at": JUNE_US, "mass_kg": 3000.0, "job": "heavy"}
        for place in range(800)
    ]  # fmt: skip
    last = {"machine": "overflow-1", "bale_no": 1, "tipped_at": LAST_US, "mass_kg": 2999.9995}
    light = {"machine": "overflow-2", "bale_no": 0, "tipped_at": 0, "mass_kg": 20.0004999}
    return [[*heavy, last], [light], []]


def _daylight() -> list[list[Row]]:
    """Bales round both changes of the clock, and round midnights before and after them."""
    steps = (-DAY_US, -3 * HOUR_US - 1, -1, 0, 1, 1_800_000_000, HOUR_US, 21 * HOUR_US - 1)
    steps = (*steps, 21 * HOUR_US, 22 * HOUR_US - 1, 22 * HOUR_US, 23 * HOUR_US)
    rows = [
        {"machine": f"daylight-{machine}", "tipped_at": change + step, "job": "night"}
        for machine in (1, 2)
        for change in (SPRING_US, AUTUMN_US)
        for step in steps
    ]
    return [rows[::2], rows[1::2], []]


def _negative() -> list[list[Row]]:
    """A clock that went mad: moments before 1970, whose days must not be cut towards zero."""
    times = (-1, 0, 1, -DAY_US, -DAY_US - 1, -DAY_US + 1, -400 * DAY_US + 7)
    rows = [
        {"machine": "negative-1", "bale_no": place, "closed_at": at, "mass_kg": 700.5}
        for place, at in enumerate(times)
    ]
    return [rows, [], [{**row, "status": "re-wrapped"} for row in rows[:3]]]


def _unicode() -> list[list[Row]]:
    """Texts that sort or compare differently by letter, by UTF-16 and by byte."""
    names = ["ß", "ss", "SS", "é", "e\u0301", "Ž", "z", "\U0001f69c", "\uffee", "שדה", "%_'\"\\"]
    rows = [
        {"machine": f"unicode-{name}", "bale_no": place % 3, "job": job, "tipped_at": JUNE_US}
        for name in names
        for place, job in enumerate((name, f"{name} ", f" {name}", name.upper(), "i\u0307", "null"))
    ]
    return [rows, [{**row, "job": f"{row['job']}'"} for row in rows[::3]], []]


def _machines() -> list[list[Row]]:
    """Sixty machines, a few bales each, over many buckets."""
    rows = [
        {"machine": f"machines-{number:03d}", "bale_no": bale, "counter_epoch": 0,
         "tipped_at": JUNE_US + bale * DAY_US, "mass_kg": 500.25 + number, "job": f"J{number % 7}"}
        for number in range(60)
        for bale in range(3)
    ]  # fmt: skip
    return [rows, rows[::5], []]
