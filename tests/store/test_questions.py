"""Questions: the engine's answers against the kernels', the sums and the calendar."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from zoneinfo import ZoneInfo

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.store.conftest import (
    DAY_US,
    JUNE_US,
    MINUTE_US,
    muddled_bales,
    open_journal,
    season,
    take,
)

from balewright.records.bales import BaleTable, bale_table, concatenate
from balewright.records.identity import Sources, count_known, tell_bales_apart
from balewright.store import arrow
from balewright.store.engine import Engine
from balewright.store.journal import Journal
from balewright.store.questions import ask_book, ask_counts, zone_offsets


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    """An empty journal in a folder of its own."""
    made = open_journal(tmp_path)
    yield made
    made.register.close()


def _book(journal: Journal, zones: dict[str, str], **asked: object) -> list[dict[str, object]]:
    offsets = zone_offsets(zones, JUNE_US, JUNE_US + 300 * DAY_US)
    return Engine(journal).ask(ask_book(offsets, **asked)).to_pylist()  # type: ignore[arg-type]


@pytest.mark.law
@settings(max_examples=10, deadline=None)
@given(st.lists(muddled_bales(24), min_size=1, max_size=3))
def test_engine_and_kernel_count_the_same_bales(files: list[BaleTable]) -> None:
    """DuckDB through ibis and NumPy tell the same bales apart, machine by machine."""
    with TemporaryDirectory() as folder:
        journal = open_journal(Path(folder))
        for number, bales in enumerate(files):
            take(journal, f"{number}" * 64, bales)
        book = _book(journal, {"HAZE-1": "UTC"})
        journal.register.close()
    every = concatenate(files)
    file = np.repeat(np.arange(len(files)), [bales.rows for bales in files])
    row = np.concatenate([np.arange(bales.rows) for bales in files])
    told = tell_bales_apart(every, Sources(file, row, count_known(every)))
    machines: Counter[str | None] = Counter()
    for group in np.flatnonzero(told.counts):
        first = int(np.flatnonzero(told.group == group)[0])
        machines[every.cell(first, "machine")] += 1
    booked: Counter[str | None] = Counter()
    for line in book:
        booked[line["machine"]] += line["bales"]  # type: ignore[index, operator]
    assert +booked == machines
    assert sum(line["rewrapped"] for line in book) == told.passes.sum()  # type: ignore[misc]


@pytest.mark.derived
def test_statuses_keep_the_book_right(journal: Journal) -> None:
    """Six bales made: 3 good, 1 burst, 1 test, 1 wrapped again; the pass weighs nothing more."""
    status = ["ok", None, "ok", "burst", "test", "ok", "re-wrapped"]
    bales = bale_table(
        7,
        {
            "machine": ["HAZE-1"] * 7,
            "bale_no": [1, 2, 3, 4, 5, 6, 6],
            "counter_epoch": [0] * 7,
            "full_at": [JUNE_US + place * MINUTE_US for place in range(6)] + [None],
            "wrap_end_at": [None] * 6 + [JUNE_US + 9 * MINUTE_US],
            "status": status,
            "job": ["J1"] * 7,
            "mass_kg": [600.0, None, 600.0, 600.0, 600.0, 600.5, 600.5],
        },
    )
    take(journal, "a" * 64, bales)
    (line,) = _book(journal, {})
    expected = {"bales": 6, "burst": 1, "tests": 1, "rewrapped": 1, "weighed": 5}
    assert {name: line[name] for name in expected} == expected
    assert line["mass_g"] == 3_000_500


@pytest.mark.law
def test_the_book_counts_distinct_bales_and_unknown_mass_is_no_zero(journal: Journal) -> None:
    """Two files that overlap by ten bales give their union; nobody weighed: mass is unknown."""
    take(journal, "a" * 64, season("HAZE-1", 30))
    take(journal, "b" * 64, season("HAZE-1", 30, 21, JUNE_US + 40 * MINUTE_US))
    plain = bale_table(1, {"machine": ["HAZE-2"], "tipped_at": [JUNE_US]})
    take(journal, "c" * 64, plain)
    lines = _book(journal, {})
    told = [(line["machine"], (line["source"] or "")[:1], line["bales"]) for line in lines]
    assert told == [("HAZE-1", "a", 30), ("HAZE-1", "b", 20), ("HAZE-2", "", 1)]
    assert [line["mass_g"] for line in lines] == [18_000_000, 12_000_000, None]
    assert Engine(journal).ask(ask_counts("HAZE-1")).to_pylist() == [
        {"machine": "HAZE-1", "bales": 50}
    ]
    assert _book(journal, {}, job="J2") == []
    later = (JUNE_US + 40 * MINUTE_US, JUNE_US + 44 * MINUTE_US)
    assert [line["bales"] for line in _book(journal, {}, span_us=later)] == [2]


@pytest.mark.reference
@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(
        ["Europe/Dublin", "Pacific/Chatham", "America/St_Johns", "Australia/Lord_Howe", "UTC"]
    ),
    st.integers(0, 400 * 86_400),
)
def test_offsets_are_those_of_the_zone_database(zone: str, after_s: int) -> None:
    """At any second the piece that holds it is ahead of UTC by what zoneinfo (IANA) says."""
    at_us = JUNE_US + after_s * 1_000_000
    pieces = zone_offsets({"M": zone}, JUNE_US, JUNE_US + 400 * DAY_US).to_pylist()
    (piece,) = [p for p in pieces if p["from_us"] <= at_us < p["until_us"]]
    at = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(microseconds=at_us)
    ahead = at.astimezone(ZoneInfo(zone)).utcoffset() or timedelta(0)
    assert piece["offset_us"] == ahead // timedelta(microseconds=1)


@pytest.mark.derived
def test_a_day_is_the_machines_own(journal: Journal) -> None:
    """23:30 UTC on 25 October 2031 is 00:30 on the 26th in Dublin (summer time until 01:00 UTC),
    23:30 UTC on the 26th is still the 26th there; a machine nobody entered keeps UTC.
    """
    first = int(datetime(2031, 10, 25, 23, 30, tzinfo=UTC).timestamp()) * 1_000_000
    times = [first, first + DAY_US]
    for serial in ("HAZE-1", "HAZE-2"):
        columns = {"machine": [serial] * 2, "bale_no": [1, 2], "tipped_at": times}
        take(journal, serial[-1] * 64, bale_table(2, columns))
    lines = _book(journal, {"HAZE-1": "Europe/Dublin"})
    days = [
        (line["machine"], date(1970, 1, 1) + timedelta(days=int(str(line["day"]))))
        for line in lines
    ]
    assert days == [
        ("HAZE-1", date(2031, 10, 26)),
        ("HAZE-2", date(2031, 10, 25)),
        ("HAZE-2", date(2031, 10, 26)),
    ]
    assert [line["bales"] for line in lines] == [2, 1, 1]


@pytest.mark.own
def test_an_empty_journal_has_an_empty_book(journal: Journal) -> None:
    """No files: an answer with the right columns and no rows."""
    assert _book(journal, {}) == []
    assert Engine(journal).ask(ask_counts()).num_rows == 0
    assert list(Engine(journal).map_buckets(lambda bales: bales.rows)) == []


@pytest.mark.law
def test_map_buckets_gives_every_bale_once(journal: Journal) -> None:
    """Kernels over buckets see what one machine's reading sees, all machines together."""
    for number in range(9):
        take(journal, f"{number}" * 64, season(f"HAZE-{number}", 10 + number))
    take(journal, "a" * 64, season("HAZE-0", 10))
    rows = Engine(journal).map_buckets(lambda bales: bales.rows, ["machine", "bale_no"])
    assert sum(rows) == sum(10 + number for number in range(9))


@pytest.mark.own
def test_files_of_an_older_version_are_upgraded_for_questions(
    journal: Journal, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file listed as version 0 is brought to this version on the way into the question."""
    take(journal, "a" * 64, season("HAZE-1", 5))
    (part,) = journal.register.load_parts(arrow.Dataset.BALES)
    path = journal.root / part.path
    rows = pq.ParquetFile(path).read()
    older = rows.rename_columns(
        ["weight_kg" if name == "mass_kg" else name for name in rows.column_names]
    )
    pq.write_table(older.replace_schema_metadata({arrow.VERSION_KEY: b"0"}), path)
    from balewright.store import models

    models.Part.objects.using(journal.register.alias).update(schema_version=0)

    def renamed(table: pa.Table) -> pa.Table:
        names = ["mass_kg" if name == "weight_kg" else name for name in table.column_names]
        return table.rename_columns(names)

    monkeypatch.setattr(arrow, "UPGRADES", {0: renamed, 1: lambda table: table})
    take(journal, "b" * 64, season("HAZE-1", 5, 6, JUNE_US + 10 * MINUTE_US))
    lines = _book(journal, {})  # one of each file, as its job's word is that file's own
    assert [(line["bales"], line["mass_g"]) for line in lines] == [(5, 3_000_000), (5, 3_000_000)]
    assert journal.read_bales("HAZE-1", ["mass_kg"]).column("mass_kg").tolist() == [600.0] * 10
