"""Tables as Arrow: nothing is lost, unknown is null, versions are minded."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.store.conftest import any_bales, any_events, same, season

from balewright.quantities.errors import BadInput
from balewright.records.bales import BaleTable, bale_table, masked_table
from balewright.records.columns import COLUMNS
from balewright.records.events import Event, EventKind
from balewright.store.arrow import (
    BALE_SCHEMA,
    FILE_SCHEMAS,
    JOURNAL_VERSION,
    bales_from_arrow,
    bales_to_arrow,
    events_from_arrow,
    events_to_arrow,
    how_to_write,
    read_part,
    take_rows,
    upgrade,
    versioned,
)
from balewright.store.entries import Dataset


@pytest.mark.law
@settings(max_examples=60, deadline=None)
@given(any_bales())
def test_any_table_comes_back_equal(bales: BaleTable) -> None:
    """To Arrow and back: same values, same unknowns, every column of the schema present."""
    there = bales_to_arrow(bales)
    assert there.schema.equals(BALE_SCHEMA)
    assert same(bales_from_arrow(there), bales)


@pytest.mark.law
@settings(max_examples=40, deadline=None)
@given(any_events())
def test_any_events_come_back_equal(events: tuple[Event, ...]) -> None:
    """Events to Arrow and back are the same events in the same order."""
    assert events_from_arrow(events_to_arrow(events)) == events


@pytest.mark.law
@settings(max_examples=60, deadline=None)
@given(any_bales(), st.randoms(use_true_random=False))
def test_rows_that_stand_in_order_are_as_rows_that_are_moved(bales: BaleTable, chance: Any) -> None:
    """Rows taken by number are Arrow's own, table or column, in any order and in their own, which
    moves nothing; fewer rows in their own order are fewer rows.
    """
    table = bales_to_arrow(bales)
    order = list(range(bales.rows))
    shuffled = chance.sample(order, len(order))
    for rows in (order, shuffled, order[: len(order) // 2], [*order, *order]):
        wanted = np.array(rows, dtype=np.int64)
        assert take_rows(table, wanted).equals(table.take(pa.array(wanted)))
        column = table.column("tipped_at")
        assert take_rows(column, wanted).equals(column.take(pa.array(wanted)))
    assert take_rows(table, np.arange(bales.rows)) is table


@pytest.mark.derived
def test_times_are_utc_microseconds_and_unknown_is_null() -> None:
    """1 906 531 200 s after 1970 is 2030-06-01T08:00Z (22066 days and 8 h); unknown is null."""
    us = (22_066 * 86_400 + 8 * 3600) * 1_000_000 + 1
    table = bales_to_arrow(bale_table(2, {"tipped_at": [us, None], "mass_kg": [None, 0.0]}))
    assert table.schema.field("tipped_at").type == pa.timestamp("us", "UTC")
    first, second = table.column("tipped_at").to_pylist()
    assert first.isoformat() == "2030-06-01T08:00:00.000001+00:00"
    assert second is None
    assert table.column("mass_kg").to_pylist() == [None, 0.0]
    assert table.column("film_m").null_count == 2


@pytest.mark.own
def test_a_known_nan_is_refused() -> None:
    """NaN never reaches a file: a reader that marks it known is at fault."""
    bales = masked_table(1, {"mass_kg": np.array([np.nan])}, {"mass_kg": np.array([True])})
    with pytest.raises(ValueError, match="mass_kg: NaN marked as known"):
        bales_to_arrow(bales)


def _write(path: Path, version: int, table: pa.Table | None = None) -> None:
    schema = FILE_SCHEMAS[Dataset.BALES]
    rows = bales_to_arrow(season("HAZE-1", 2))
    for name, column in _PROVENANCE.items():
        rows = rows.append_column(name, column)
    pq.write_table(rows.cast(versioned(schema, version)), path)


_PROVENANCE = {
    "bale_us": pa.array([1, 2]),
    "known_cells": pa.array([5, 5]),
    "source": pa.array(["a", "a"]),
    "source_row": pa.array([0, 1]),
    "source_file": pa.array([None, "TLG00001.bin"]),
    "source_at": pa.array([12, None]),
    "source_unit": pa.array(["line", None]),
}
FIRST_VERSION = pa.schema(
    [
        *BALE_SCHEMA,
        pa.field("bale_us", pa.int64()),
        pa.field("known_cells", pa.int64()),
        pa.field("source", pa.string(), nullable=False),
        pa.field("source_row", pa.int64(), nullable=False),
    ]
)
FIRST_EVENTS = pa.schema(
    [
        pa.field("machine", pa.string()),
        pa.field("kind", pa.string(), nullable=False),
        pa.field("bale_no", pa.int64()),
        pa.field("at", pa.timestamp("us", "UTC")),
        pa.field("item", pa.string(), nullable=False),
        pa.field("value", pa.float64()),
        pa.field("note", pa.string(), nullable=False),
        pa.field("source", pa.string(), nullable=False),
        pa.field("source_row", pa.int64(), nullable=False),
    ]
)


@pytest.mark.own
def test_files_of_the_first_version_are_read(tmp_path: Path) -> None:
    """Columns as version 1 wrote them: every value stays, places and batches are unknown."""
    old = bales_to_arrow(season("HAZE-1", 2))
    for name in ("bale_us", "known_cells", "source", "source_row"):
        old = old.append_column(name, _PROVENANCE[name])
    pq.write_table(old.cast(versioned(FIRST_VERSION, 1)), tmp_path / "bales.parquet")
    read = read_part(tmp_path / "bales.parquet", Dataset.BALES, "HAZE-1")
    assert read.schema.equals(FILE_SCHEMAS[Dataset.BALES])
    assert same(bales_from_arrow(read), season("HAZE-1", 2))
    assert read.column("source_row").to_pylist() == [0, 1]
    for name in ("source_file", "source_at", "source_unit"):
        assert read.column(name).null_count == 2

    at = pa.array([5_000_000, None], pa.int64()).cast(pa.timestamp("us", "UTC"))
    told = {
        "machine": ["HAZE-1", "HAZE-2"],
        "kind": ["film roll changed"] * 2,
        "bale_no": [7, None],
        "at": at,
        "item": ["1", ""],
        "value": [1500.0, None],
        "note": ["n", ""],
        "source": ["a", "a"],
        "source_row": [0, 1],
    }
    events = pa.table(told, schema=FIRST_EVENTS)
    pq.write_table(events.cast(versioned(FIRST_EVENTS, 1)), tmp_path / "events.parquet")
    first, second = events_from_arrow(read_part(tmp_path / "events.parquet", Dataset.EVENTS))
    roll = EventKind.FILM_ROLL_CHANGED
    assert first == Event("HAZE-1", roll, 7, 5_000_000, "1", 1500.0, "n")
    assert (second, second.batch) == (Event("HAZE-2", roll), "")


@pytest.mark.own
def test_what_rows_are_asked_by_has_its_lowest_and_highest_noted(tmp_path: Path) -> None:
    """Machine, job, numbers and times let a reader step over rows; nobody looks for a pressure."""
    table = bales_to_arrow(
        bale_table(2, {"machine": ["M", "N"], "job": ["J", "K"], "bale_no": [7, 9],
                       "tipped_at": [1, 2], "crop": ["hay", "straw"], "chamber_bar": [1.0, 2.0]})
    )  # fmt: skip
    pq.write_table(table, tmp_path / "a.parquet", **how_to_write(table.schema))
    group = pq.ParquetFile(tmp_path / "a.parquet").metadata.row_group(0)
    columns = [group.column(place) for place in range(group.num_columns)]
    noted = {
        one.path_in_schema: (one.statistics.min, one.statistics.max)
        for one in columns
        if one.is_stats_set and one.statistics.has_min_max
    }
    first, last = noted.pop("tipped_at")
    assert (first.microsecond, last.microsecond) == (1, 2)
    assert noted == {"machine": ("M", "N"), "job": ("J", "K"), "bale_no": (7, 9)}


@pytest.mark.own
def test_a_file_of_a_newer_version_is_refused(tmp_path: Path) -> None:
    """The error says which version and what to install."""
    _write(tmp_path / "far.parquet", JOURNAL_VERSION + 1)
    with pytest.raises(BadInput, match=f"given version {JOURNAL_VERSION + 1}. Install the newer"):
        read_part(tmp_path / "far.parquet", Dataset.BALES)


@pytest.mark.own
def test_a_damaged_file_is_refused(tmp_path: Path) -> None:
    """A column file cut short gives an error with a cure."""
    path = tmp_path / "cut.parquet"
    _write(path, JOURNAL_VERSION)
    path.write_bytes(path.read_bytes()[:200])
    with pytest.raises(BadInput, match="needs a whole column file"):
        read_part(path, Dataset.BALES)


@pytest.mark.derived
def test_an_older_table_is_upgraded_step_by_step() -> None:
    """Two steps run in their order: (2 + 1) x 10 is 30; a step nobody wrote is refused."""

    def scaled(table: pa.Table, by: int, plus: int) -> pa.Table:
        values = [(value + plus) * by for value in table.column("n").to_pylist()]
        return pa.table({"n": values})

    steps = {7: lambda t: scaled(t, 1, 1), 8: lambda t: scaled(t, 10, 0)}
    assert upgrade(pa.table({"n": [2]}), 7, steps, 9).column("n").to_pylist() == [30]
    with pytest.raises(BadInput, match="a way from schema version 6 to 7"):
        upgrade(pa.table({"n": [2]}), 6, steps, 9)


@pytest.mark.own
def test_the_files_schema_is_the_declared_one() -> None:
    """The file holds every column of the bale table, then where each row comes from."""
    names = FILE_SCHEMAS[Dataset.BALES].names
    assert names[: len(COLUMNS)] == [column.name for column in COLUMNS]
    assert names[len(COLUMNS) :] == list(_PROVENANCE)
    assert FILE_SCHEMAS[Dataset.RESOLVED].names[: len(COLUMNS)] == names[: len(COLUMNS)]
