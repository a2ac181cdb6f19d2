"""Bales, events and whole files made up by hypothesis or by hand, for the tests of the store."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from hypothesis import strategies as st

from balewright.records.bales import BaleTable, bale_table
from balewright.records.columns import COLUMNS, Column, Kind
from balewright.records.events import Event, EventKind
from balewright.records.intake import Batch
from balewright.store.entries import Dataset, IntakeEntry, IntakeState
from balewright.store.journal import Journal
from balewright.store.register import open_register

JUNE_US = int(datetime(2031, 6, 1, 8, tzinfo=UTC).timestamp()) * 1_000_000
MINUTE_US = 60_000_000
DAY_US = 86_400_000_000


def _values(column: Column) -> st.SearchStrategy[Any]:
    if column.kind is Kind.TEXT:
        return st.sampled_from(column.choices) if column.choices else st.text(max_size=6)
    if column.kind is Kind.TIME:
        return st.integers(0, 4_000_000_000_000_000)
    if column.kind is Kind.INT:
        return st.integers(int(column.low or 0), int(column.high or 0))
    return st.floats(column.low, column.high, allow_nan=False)


@st.composite
def any_bales(draw: st.DrawFn, max_rows: int = 8) -> BaleTable:
    """Any table: some columns, each cell a value of its range or unknown."""
    rows = draw(st.integers(0, max_rows))
    chosen = draw(st.lists(st.sampled_from(COLUMNS), unique_by=lambda column: column.name))
    columns = {
        column.name: draw(st.lists(st.none() | _values(column), min_size=rows, max_size=rows))
        for column in chosen
    }
    return bale_table(rows, columns)


def any_events() -> st.SearchStrategy[tuple[Event, ...]]:
    """Any few events."""
    one = st.builds(
        Event,
        machine=st.sampled_from(["HAZE-1", "HAZE-2", ""]),
        kind=st.sampled_from(EventKind),
        bale_no=st.none() | st.integers(0, 10_000_000),
        at_us=st.none() | st.integers(0, 4_000_000_000_000_000),
        item=st.text(max_size=4),
        value=st.none() | st.floats(allow_nan=False, allow_infinity=False),
        note=st.text(max_size=4),
        batch=st.text(max_size=4),
    )
    return st.lists(one, max_size=5).map(tuple)


_MINUTES = st.integers(0, 12).map(lambda n: n * 7) | st.integers(0, 3).map(lambda n: n * 2000)


@st.composite
def muddled_bales(draw: st.DrawFn, max_rows: int = 7) -> BaleTable:
    """Few machines, numbers and times, so that rows meet: repeats, resets, passes, unknowns."""
    rows = draw(st.integers(1, max_rows))

    def column(values: st.SearchStrategy[Any]) -> list[Any]:
        return draw(st.lists(st.none() | values, min_size=rows, max_size=rows))

    machines = [f"HAZE-{number}" for number in range(1, 1 + (rows + 3) // 4)]
    times = st.builds(lambda minute: JUNE_US + minute * MINUTE_US, _MINUTES)
    return bale_table(
        rows,
        {
            "machine": column(st.sampled_from(machines)),
            "bale_no": column(st.integers(1, 3)),
            "counter_epoch": column(st.integers(0, 1)),
            "gate_open_at": column(times),
            "tipped_at": column(times),
            "status": column(st.sampled_from(["ok", "burst", "re-wrapped", "test"])),
            "job": column(st.sampled_from(["J1", "J2"])),
            "mass_kg": column(st.sampled_from([600.0, 712.345])),
            "mass_how": column(st.sampled_from(["sensed", "weighbridge"])),
        },
    )


def season(machine: str, bales: int, first_no: int = 1, start_us: int = JUNE_US) -> BaleTable:
    """A plain run: numbered, a bale every two minutes, 600 kg each."""
    return bale_table(
        bales,
        {
            "machine": [machine] * bales,
            "bale_no": list(range(first_no, first_no + bales)),
            "gate_open_at": [start_us + place * 2 * MINUTE_US for place in range(bales)],
            "job": ["J1"] * bales,
            "mass_kg": [600.0] * bales,
        },
    )


def batches(*tables: BaleTable) -> Iterator[Batch]:
    """The tables as a reader would hand them over."""
    return iter([Batch(table) for table in tables])


def entry(sha256: str, name: str = "made.csv") -> IntakeEntry:
    """A ledger line that says `taken`."""
    return IntakeEntry(
        sha256, name, "bale csv", IntakeState.TAKEN, datetime(2031, 7, 1, tzinfo=UTC)
    )


def open_journal(home: Path) -> Journal:
    """A journal and its register in a folder; close the register when done."""
    return Journal(home / "journal", open_register(home / "register.sqlite3"))


def take(journal: Journal, sha256: str, *tables: BaleTable) -> bool:
    """Take tables in as one file."""
    with journal.intake(sha256) as intake:
        for table in tables:
            intake.add(table)
        return intake.commit(entry(sha256), {})


def files_on_disk(journal: Journal) -> set[str]:
    """Every column file below the root, finished or not."""
    return {
        str(path.relative_to(journal.root))
        for dataset in Dataset
        for path in (journal.root / dataset.value).rglob("*.parquet*")
    }


def same(one: BaleTable, other: BaleTable) -> bool:
    """Whether two tables say the same of every column, unknown cells included."""

    def rows(table: BaleTable) -> list[list[Any]]:
        return [[table.cell(row, c.name) for c in COLUMNS] for row in range(table.rows)]

    return rows(one) == rows(other)
