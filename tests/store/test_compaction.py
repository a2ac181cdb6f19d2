"""Merging the journal's files: no answer changes, nothing is lost, readers are not disturbed."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pyarrow.parquet as pq
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.store.conftest import (
    DAY_US,
    JUNE_US,
    MINUTE_US,
    entry,
    files_on_disk,
    muddled_bales,
    open_journal,
    same,
    season,
    take,
)

from balewright.quantities.errors import BadInput
from balewright.records.bales import BaleTable
from balewright.records.corrections import Correction
from balewright.records.counters import CounterSpan, Remarked
from balewright.records.events import Event, EventKind
from balewright.store.compaction import TAIL_FILES, compact_bucket, list_due
from balewright.store.engine import Engine
from balewright.store.entries import Dataset
from balewright.store.intake_files import bucket_of
from balewright.store.journal import Journal
from balewright.store.questions import ask_book, ask_counts, zone_offsets
from balewright.store.reading_lease import reading

NOW = datetime(2031, 7, 2, tzinfo=UTC)
MACHINES = ("HAZE-1", "HAZE-2")


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    """An empty journal in a folder of its own."""
    made = open_journal(tmp_path)
    yield made
    made.register.close()


@cache
def _empty_register() -> bytes:
    with TemporaryDirectory() as folder:
        open_journal(Path(folder)).register.close()
        return (Path(folder) / "register.sqlite3").read_bytes()


def _open_copy(home: Path) -> Journal:
    """An empty journal whose tables need not be made anew."""
    (home / "register.sqlite3").write_bytes(_empty_register())
    return open_journal(home)


def _compact(journal: Journal) -> int:
    done = [compact_bucket(journal, bucket, NOW) for bucket in list_due(journal, every=True)]
    return sum(one is not None for one in done)


def _answers(journal: Journal) -> list[Any]:
    """Everything somebody may ask of bales, in a form that can be compared."""
    offsets = zone_offsets({}, JUNE_US, JUNE_US + 300 * DAY_US)
    engine = Engine(journal)
    told: list[Any] = [engine.ask(ask).to_pylist() for ask in (ask_book(offsets), ask_counts())]
    for machine in MACHINES:
        told.append(_Rows(journal.read_bales(machine)))
        told.append(_Rows(journal.read_bales(machine, ["mass_how", "job"], 2)))
        keyed = journal.read_keyed_bales(machine, ["machine"])
        told += [keyed.keys, keyed.sources, sorted(map(repr, journal.read_conflicts(machine)))]
        told += [journal.read_bale(machine, key) for key in keyed.keys[:2]]
    buckets = sorted({*map(bucket_of, MACHINES), bucket_of(None)})
    return [*told, *(_Rows(journal.read_bucket(bucket)) for bucket in buckets)]


class _Rows:
    """A table that is compared cell by cell."""

    def __init__(self, table: BaleTable) -> None:
        self.table = table

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Rows) and same(self.table, other.table)

    __hash__ = None  # type: ignore[assignment]


def _corrections(draw: st.DrawFn, journal: Journal) -> list[Correction]:
    """A few corrections of bales that are there, some of what tells bales apart, some withdrawn."""
    values: dict[str, list[Any]] = {
        "mass_kg": [None, 655.0],
        "bale_no": [None, 1, 2, 9],
        "status": ["ok", "re-wrapped", "burst"],
        "job": ["J9"],
        "tipped_at": [JUNE_US + 7 * MINUTE_US],
    }
    made: list[Correction] = []
    for number in range(draw(st.integers(0, 3))):
        machine = draw(st.sampled_from(MACHINES))
        keys = journal.read_keyed_bales(machine, ["machine"]).keys
        if not keys:
            continue
        column = draw(st.sampled_from(sorted(values)))
        value = draw(st.sampled_from(values[column]))
        bales = tuple(draw(st.lists(st.sampled_from(keys), min_size=1, max_size=2)))
        one = Correction(f"c{number}", machine, bales, column, value, "seen", "Ada", number)
        made.append(one)
        if draw(st.booleans()) and draw(st.booleans()):
            gone = (f"w{number}", machine, bales, column, value, "wrong", None, 9, one.key)
            made.append(Correction(*gone))
    return made


@pytest.mark.own
def test_files_are_packed_tightly_once_they_last(journal: Journal) -> None:
    """What an intake writes is packed lightly, as it is merged away; what merging writes, well."""

    def packed() -> set[str]:
        files = [pq.ParquetFile(path).metadata for path in journal.root.rglob("*.parquet")]
        return {one.row_group(0).column(0).compression for one in files if one.num_rows}

    take(journal, "a", season("HAZE-1", 20))
    assert packed() == {"SNAPPY"}
    _compact(journal)
    assert packed() == {"ZSTD"}


@pytest.mark.law
@settings(max_examples=5, deadline=None)
@given(st.data(), st.lists(muddled_bales(8), min_size=1, max_size=3), st.integers(0, 3))
def test_merging_changes_no_answer(data: Any, files: list[BaleTable], merged_after: int) -> None:
    """Files with doubles, resets, passes and corrections: book, counts, bales, keys, traces and
    conflicts are the same before and after, and the same as with the files the other way round.
    """
    with TemporaryDirectory() as one, TemporaryDirectory() as two:
        journal, other = _open_copy(Path(one)), _open_copy(Path(two))
        try:
            for number, bales in enumerate(files):
                take(journal, f"{number}" * 64, bales)
                if number == merged_after:
                    _compact(journal)
            for number, bales in reversed(list(enumerate(files))):
                take(other, f"{number}" * 64, bales)
            for correction in _corrections(data.draw, journal):
                assert journal.register.save_correction(correction)
                assert other.register.save_correction(correction)
            before = _answers(journal)
            raw = _raw(journal)
            _compact(journal)
            assert _compact(journal) == 0, "what is merged is not merged again"
            assert _answers(journal) == before
            assert _answers(other) == before
            assert _raw(journal) == raw, "a row as taken in was lost or changed"
        finally:
            journal.register.close()
            other.register.close()


def _raw(journal: Journal) -> list[Any]:
    views = [journal.read_sources(machine) for machine in MACHINES]
    return [(view.source, view.source_row.tolist(), _Rows(view.bales)) for view in views]


@pytest.mark.law
def test_many_files_become_few_and_the_old_ones_go(journal: Journal) -> None:
    """Nine small files of one machine are four after merging at the most, and all are listed."""
    for number in range(TAIL_FILES + 1):
        start = JUNE_US + number * DAY_US
        take(journal, f"{number}" * 64, season("HAZE-1", 10, 1 + number * 8, start))
    assert list_due(journal) == (bucket_of("HAZE-1"),)
    assert list_due(journal, every=True) == (bucket_of("HAZE-1"),)
    _compact(journal)
    assert list_due(journal) == list_due(journal, every=True) == ()
    listed = journal.register.load_part_paths()
    assert files_on_disk(journal) == listed
    assert {path.split("/")[0] for path in listed} == {"bales", "resolved"}
    take(journal, "f" * 64, season("HAZE-2", 3))
    assert list_due(journal) == ()
    assert list_due(journal, every=True) == (bucket_of("HAZE-2"),)


@pytest.mark.law
def test_events_are_merged_with_their_bales(journal: Journal) -> None:
    """Rolls of two files, one told twice: the same events before and after, with their batch."""
    roll = EventKind.FILM_ROLL_CHANGED
    events = [
        Event("HAZE-1", roll, number, JUNE_US + number, batch=f"L{number}") for number in (1, 2, 3)
    ]
    for sha256, told in (("a" * 64, events[:2]), ("b" * 64, events[1:])):
        with journal.intake(sha256) as intake:
            intake.add(season("HAZE-1", 2), tuple(told))
            assert intake.commit(entry(sha256), {})
    before = journal.read_events("HAZE-1")
    assert before == tuple(events)
    assert _compact(journal) == 1
    assert journal.read_events("HAZE-1") == before
    assert len(journal.register.load_parts(Dataset.EVENTS)) == 1


@pytest.mark.law
def test_files_stay_while_somebody_reads(journal: Journal) -> None:
    """What a reader may be about to open goes only once it has ended, with the next sweep."""
    take(journal, "a" * 64, season("HAZE-1", 10))
    before = files_on_disk(journal)
    with reading(journal.root):
        assert _compact(journal) == 1
        assert before <= files_on_disk(journal)
        assert journal.sweep() == ()
    assert set(journal.sweep()) == before
    assert files_on_disk(journal) == journal.register.load_part_paths()


@pytest.mark.law
def test_a_file_merged_away_between_listing_and_opening_is_no_fault(
    journal: Journal, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where no lock can be had the reader lists anew; a file that is still listed is missing."""
    take(journal, "a" * 64, season("HAZE-1", 10))
    load, stale = journal.register.load_every_part, []

    def lag(bucket: int | None = None) -> Any:
        found = load(bucket)
        if not stale:
            stale.append(found)
            _compact(journal)
        return found

    monkeypatch.setattr(journal.register, "load_every_part", lag)
    monkeypatch.setattr(journal.register, "load_compacted", lambda _=None: {})
    monkeypatch.setattr("balewright.store.reading_lease._open", lambda _: None)
    monkeypatch.setattr("balewright.store.reading_lease._take_alone", lambda _: True)
    assert journal.read_bales("HAZE-1").rows == 10
    (journal.root / journal.register.load_parts(Dataset.BALES)[0].path).unlink()
    with pytest.raises(BadInput, match="every column file that the manifest lists"):
        journal.read_sources("HAZE-1")


@pytest.mark.law
def test_of_two_merges_at_once_one_counts(journal: Journal) -> None:
    """A merge whose files were merged meanwhile, or that missed a correction, changes nothing."""
    take(journal, "a" * 64, season("HAZE-1", 10))
    swap = journal.register.swap_parts

    def late(*given: Any) -> bool:
        journal.register.swap_parts = swap  # type: ignore[method-assign]
        fixed = Correction("c", "HAZE-1", ("3-20310601T080400Z",), "mass_kg", 7.0, "", None, 1)
        assert journal.register.save_correction(fixed)
        assert _compact(journal) == 1
        return swap(*given)

    journal.register.swap_parts = late  # type: ignore[method-assign]
    assert compact_bucket(journal, bucket_of("HAZE-1"), NOW) is None
    journal.sweep()
    assert files_on_disk(journal) == journal.register.load_part_paths()
    masses = journal.read_bales("HAZE-1", ["mass_kg"]).column("mass_kg").tolist()
    assert masses == [600.0, 600.0, 7.0] + [600.0] * 7
    (line,) = journal.register.load_compacted().values()
    assert (line.generation, line.rows, line.bales) == (1, 10, 10)


@pytest.mark.law
def test_a_mark_widened_meanwhile_is_never_lost(journal: Journal) -> None:
    """An intake that raises a mark between reading and striking keeps it: 900, not 6."""
    take(journal, "a" * 64, season("HAZE-1", 6))
    for highest in (99_999, 900):
        span = {"HAZE-1": (CounterSpan(None, 1, highest),)}
        with journal.intake(f"{highest:064d}") as intake:
            assert intake.commit(entry(f"{highest:064d}"), span)
        if highest == 99_999:
            journal.register.save_marks("HAZE-1", Remarked((CounterSpan(None, 1, 99_999),), ()))
            assert journal.register.load_lifetime("HAZE-1") is None
            stale = Remarked((CounterSpan(None, 1, 6),), (CounterSpan(None, 1, 6),))
    journal.register.save_marks("HAZE-1", stale)
    assert journal.register.load_lifetime("HAZE-1") == 900
