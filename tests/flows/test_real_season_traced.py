"""A real season in the journal: values lead back to their byte, in whatever order files came."""

from __future__ import annotations

import struct
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from balewright.flows.compact_journal import compact_journal
from balewright.flows.read_book import read_book
from balewright.flows.take_in_file import take_in_file
from balewright.flows.workplace import Workplace
from balewright.readers.bale_csv import write_bale_csv
from balewright.records.bales import BaleTable, masked_table
from balewright.records.columns import COLUMNS
from balewright.records.identity import bale_times
from balewright.settings import load_settings, open_workplace

pytestmark = [pytest.mark.real_data]

SEASON = "10-square-baler-5-tasks-14-logs"
MACHINES = ("SN0001", "SN0002")
DAYS_TO_1980 = 3652
QUARTER_US = 900_000_000


@pytest.fixture
def season(data_dir: Path) -> Path:
    """The real season of a square baler: 233 bales in fourteen logs."""
    return data_dir / "isoxml" / SEASON


def _open(home: Path) -> Workplace:
    return open_workplace(load_settings({"BALEWRIGHT_HOME": str(home)}))


@pytest.fixture
def workplace(tmp_path: Path) -> Iterator[Workplace]:
    """An empty workplace."""
    made = _open(tmp_path / "home")
    yield made
    made.register.close()


@pytest.mark.derived
def test_a_traced_byte_holds_the_bales_record(workplace: Workplace, season: Path) -> None:
    """At the byte that the journal names the original holds a record of the bale's own position
    and of its time but for the quarter hours of the clock: milliseconds of the day, days since
    1980, latitude and longitude in 1e-7 degrees, as ISO 11783-10 lays a log's record out.
    """
    report = take_in_file(workplace, season)
    kept = workplace.home / "originals" / report.sha256
    compact_journal(workplace)
    traced = 0
    for machine in MACHINES:
        bales = workplace.journal.read_keyed_bales(machine)
        times, timed = bale_times(bales.bales)
        assert timed.all()
        for row in range(0, bales.bales.rows, 4):
            found = workplace.journal.read_bale(machine, bales.keys[row])
            assert found is not None
            (source,) = found.sources
            assert (source.sha256, source.unit, source.name) == (report.sha256, "byte", SEASON)
            (log,) = [path for path in kept.rglob("*") if path.name == Path(source.file).name]
            head = log.read_bytes()[source.at or 0 :][:14]
            clock_ms, day, lat, lon = struct.unpack("<IHii", head)
            assert (found.value("lat"), found.value("lon")) == (lat / 1e7, lon / 1e7)
            at_us = (DAYS_TO_1980 + day) * 86_400_000_000 + clock_ms * 1_000
            off_us = int(times[row]) - at_us
            assert off_us % QUARTER_US == 0
            assert abs(off_us) <= 14 * 4 * QUARTER_US
            traced += 1
    assert traced == 40 + 19


class _Cells:
    """A table compared cell by cell."""

    def __init__(self, table: BaleTable) -> None:
        names = [column.name for column in COLUMNS]
        self.cells = [[table.cell(row, name) for name in names] for row in range(table.rows)]

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Cells) and self.cells == other.cells

    __hash__ = None  # type: ignore[assignment]


def _answers(workplace: Workplace) -> list[Any]:
    told: list[Any] = [read_book(workplace).rows]
    for machine in MACHINES:
        kept = workplace.journal.read_keyed_bales(machine)
        told += [_Cells(kept.bales), kept.keys, kept.sources]
        told += [sorted(map(repr, workplace.journal.read_conflicts(machine)))]
        told += [workplace.journal.read_bale(machine, key) for key in kept.keys[:3]]
    return told


@pytest.mark.law
def test_two_files_of_a_season_in_either_order_are_the_same(
    tmp_path: Path, season: Path, workplace: Workplace
) -> None:
    """The season's task data and a table of half of it, weighed again: 233 bales, two sources and
    both masses for that half, and the same answers in either order, merged or not.
    """
    take_in_file(workplace, season)
    half = workplace.journal.read_bales("SN0001")
    half = half.take(half.mask("mass_kg"))
    values, known = dict(half.values), dict(half.known)
    values["mass_kg"] = half.column("mass_kg") + 3.0
    table = tmp_path / "weighed.csv"
    with table.open("w", encoding="utf-8", newline="") as stream:
        write_bale_csv(masked_table(half.rows, values, known), stream)
    take_in_file(workplace, table)
    other = _open(tmp_path / "other")
    for file in (table, season):
        take_in_file(other, file)
    first = _answers(workplace)
    assert _answers(other) == first
    compact_journal(other)
    assert _answers(other) == first
    other.register.close()
    assert sum(row.bales for row in read_book(workplace).rows) == 233
    differ = workplace.journal.read_conflicts("SN0001")
    assert {one.column for one in differ} == {"mass_kg"}
    assert len({one.key for one in differ}) == half.rows
