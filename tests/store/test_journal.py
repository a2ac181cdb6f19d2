"""The journal: what was committed counts, once; nothing else does."""

from __future__ import annotations

import resource
import signal
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import example, given, settings
from tests.store.conftest import (
    JUNE_US,
    any_bales,
    any_events,
    entry,
    files_on_disk,
    open_journal,
    same,
    season,
    take,
)

from balewright.quantities.errors import BadInput
from balewright.records.bales import BaleTable, bale_table
from balewright.records.events import Event, EventKind
from balewright.store.entries import Dataset
from balewright.store.intake_files import bucket_of
from balewright.store.journal import Journal


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    """An empty journal in a folder of its own."""
    made = open_journal(tmp_path)
    yield made
    made.register.close()


ROLL = Event("HAZE-2", EventKind.FILM_ROLL_CHANGED, 0, 0)


@pytest.mark.law
@settings(max_examples=15, deadline=None)
@given(any_bales(), any_events())
@example(bale_table(0, {}), (ROLL, replace(ROLL, batch="HF-1")))
def test_any_table_written_is_read_back_equal(bales: BaleTable, events: tuple[Event, ...]) -> None:
    """Every row and event taken in is there afterwards, cell by cell, at its machine; an event that
    another tells with its batch is that one."""
    with TemporaryDirectory() as folder:
        journal = open_journal(Path(folder))
        with journal.intake("a" * 64) as intake:
            intake.add(bales, events)
            assert intake.commit(entry("a" * 64), {})
        named = bales.mask("machine")
        for machine in {bales.cell(row, "machine") for row in range(bales.rows)} - {None}:
            rows = [
                named[row] and bales.cell(row, "machine") == machine for row in range(bales.rows)
            ]
            kept = journal.read_sources(machine)
            assert same(kept.bales, bales.take(_mask(rows)))
        for machine in {event.machine for event in events}:
            given = {event for event in events if event.machine == machine}
            batched = {replace(event, batch="") for event in given if event.batch}
            assert set(journal.read_events(machine)) == given - batched
        assert sum(part.rows for part in journal.register.load_parts(Dataset.BALES)) == bales.rows
        journal.register.close()


def _mask(rows: list[bool]):  # type: ignore[no-untyped-def]
    import numpy as np

    return np.array(rows, dtype=np.bool_)


@pytest.mark.law
def test_the_same_content_twice_changes_nothing(journal: Journal) -> None:
    """The second intake of one content is told so, and leaves bales, files and ledger alone."""
    assert take(journal, "a" * 64, season("HAZE-1", 30))
    before = files_on_disk(journal)
    assert not take(journal, "a" * 64, season("HAZE-1", 30))
    assert files_on_disk(journal) == before
    assert journal.read_bales("HAZE-1").rows == 30
    assert len(journal.register.load_intakes()) == 1


@pytest.mark.law
def test_what_is_not_committed_leaves_nothing(journal: Journal) -> None:
    """An intake that is left half-way has written files, and takes every one away again."""
    with journal.intake("a" * 64) as intake:
        for start in range(0, 200_000, 50_000):
            intake.add(season("HAZE-1", 50_000, start))
        assert files_on_disk(journal)
    assert files_on_disk(journal) == set()
    assert journal.read_bales("HAZE-1").rows == 0


@pytest.mark.law
def test_a_file_that_is_not_listed_does_not_count_and_is_swept(journal: Journal) -> None:
    """A copy of a listed file under another name is neither read nor left lying."""
    take(journal, "a" * 64, season("HAZE-1", 5))
    (listed,) = files_on_disk(journal)
    orphan = (journal.root / listed).with_name("ffff.parquet")
    orphan.write_bytes((journal.root / listed).read_bytes())
    assert journal.read_bales("HAZE-1").rows == 5
    assert journal.sweep() == (str(orphan.relative_to(journal.root)),)
    assert files_on_disk(journal) == {listed}


@pytest.mark.law
def test_a_sweep_leaves_a_running_intake_alone(journal: Journal) -> None:
    """Files of an intake that still runs are not orphans, however long it takes."""
    with journal.intake("a" * 64) as intake:
        intake.add(season("HAZE-1", 140_000))
        assert len(files_on_disk(journal)) == 1
        assert journal.sweep() == ()
        assert intake.commit(entry("a" * 64), {})
    assert journal.sweep() == ()
    assert journal.read_bales("HAZE-1", ["bale_no"]).rows == 140_000


@pytest.mark.law
def test_two_intakes_of_one_content_at_once_take_it_once(journal: Journal) -> None:
    """Of many that start together exactly one is told that it took the content."""

    def one(_: int) -> bool:
        try:
            return take(journal, "a" * 64, season("HAZE-1", 500))
        finally:
            journal.register.close()

    with ThreadPoolExecutor(4) as pool:
        assert sorted(pool.map(one, range(4))) == [False, False, False, True]
    assert journal.read_bales("HAZE-1").rows == 500
    assert len(files_on_disk(journal)) == 1


@pytest.mark.own
def test_a_listed_file_that_is_missing_is_told(journal: Journal) -> None:
    """The error names the file and how to mend it; no shorter answer is given."""
    take(journal, "a" * 64, season("HAZE-1", 5))
    (listed,) = files_on_disk(journal)
    (journal.root / listed).unlink()
    with pytest.raises(BadInput, match="needs every column file that the manifest lists") as told:
        journal.read_bales("HAZE-1")
    assert listed in str(told.value)


@pytest.mark.own
def test_a_full_disk_takes_nothing(journal: Journal) -> None:
    """Writing past the limit gives an error with a cure, and no file stays."""
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    ignored = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    bales = season("HAZE-1", 200_000)
    try:
        resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, before[1]))
        with pytest.raises(BadInput, match="needs a folder that can be written"):
            take(journal, "a" * 64, bales)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
        signal.signal(signal.SIGXFSZ, ignored)
    assert files_on_disk(journal) == set()
    assert journal.read_bales("HAZE-1").rows == 0


@pytest.mark.own
def test_a_folder_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    """Where the journal's folder cannot be made, the error says so and names it."""
    journal = open_journal(tmp_path)
    (tmp_path / "journal").write_text("a file stands in the way")
    with pytest.raises(BadInput, match="journal/running: needs a folder that can be written"):
        take(journal, "a" * 64, season("HAZE-1", 5))
    journal.register.close()


@pytest.mark.law
def test_one_bale_in_two_files_is_one_row_that_knows_what_both_know(journal: Journal) -> None:
    """The file that knows more counts, gaps are filled from the other; order is no matter."""
    same_bale = {"machine": ["HAZE-1"], "bale_no": [7], "counter_epoch": [0]}
    rich = {**same_bale, "gate_open_at": [JUNE_US], "wrap_turns": [16.0]}
    poor = {**same_bale, "gate_open_at": [JUNE_US + 5], "job": ["J1"]}
    take(journal, "b" * 64, bale_table(1, {**rich, "film_m": [70.0]}))
    take(journal, "a" * 64, bale_table(1, poor))
    bales = journal.read_bales("HAZE-1")
    assert bales.rows == 1
    assert bales.cell(0, "gate_open_at") == JUNE_US
    assert (bales.cell(0, "wrap_turns"), bales.cell(0, "job")) == (16.0, "J1")
    traced = journal.read_sources("HAZE-1")
    assert traced.source == ("a" * 64, "b" * 64)


@pytest.mark.law
def test_bales_come_in_the_order_they_were_made(journal: Journal) -> None:
    """A file taken in late stands before a newer one; `last` gives the newest."""
    take(journal, "b" * 64, season("HAZE-1", 10, 101, JUNE_US + 10**12))
    take(journal, "a" * 64, season("HAZE-1", 10, 1))
    numbers = journal.read_bales("HAZE-1", ["bale_no"]).column("bale_no").tolist()
    assert numbers == [*range(1, 11), *range(101, 111)]
    assert journal.read_bales("HAZE-1", ["bale_no"], 3).column("bale_no").tolist() == [
        108,
        109,
        110,
    ]


@pytest.mark.law
def test_an_event_in_two_files_is_one(journal: Journal) -> None:
    """The same event of two files is read once, by time, with its batch where one tells it."""
    late = Event("HAZE-1", EventKind.SERVICED, 20, JUNE_US + 9, "chain", None, "")
    early = Event("HAZE-1", EventKind.NET_ROLL_CHANGED, 3, JUNE_US, batch="LOT 7")
    plain = replace(early, batch="")
    for sha256, events in (("a" * 64, (late, plain)), ("b" * 64, (late, early))):
        with journal.intake(sha256) as intake:
            intake.add(bale_table(0, {}), events)
            assert intake.commit(entry(sha256), {})
    assert journal.read_events("HAZE-1") == (early, late)


@pytest.mark.reference
def test_a_machines_bucket_is_the_same_everywhere() -> None:
    """`printf HAZE-1 | sha256sum` (GNU coreutils) begins with the byte given here."""
    assert bucket_of("HAZE-1") == 0x3C
    assert 0 <= bucket_of(None) < 128
