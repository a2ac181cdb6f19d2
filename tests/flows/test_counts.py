"""Counts, swaps and rolls through the doors: taken in, told, taken back, asked over machines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from balewright.findings.finding import FindingKind
from balewright.flows.account_counts import account_counts
from balewright.flows.read_book import BookQuery, read_book
from balewright.flows.read_rolls import find_batch, read_rolls
from balewright.flows.review_machine import review_machine
from balewright.flows.take_in_file import take_in_file
from balewright.flows.tell_swap import SwapAsked, take_swap_back, tell_swap
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput
from balewright.records.events import EventKind
from balewright.records.number_runs import NumberRun
from balewright.settings import load_settings, open_workplace
from balewright.store.entries import JobEntry, MachineEntry

START = datetime(2031, 6, 14, 9, tzinfo=UTC)


@pytest.fixture
def workplace(tmp_path: Path) -> Iterator[Workplace]:
    """An empty workplace."""
    made = open_workplace(load_settings({"BALEWRIGHT_HOME": str(tmp_path / "home")}))
    yield made
    made.register.close()


def _at(minute: int) -> str:
    return f"{START + timedelta(minutes=minute):%Y-%m-%dT%H:%M:%SZ}"


def take_bales(
    workplace: Workplace, folder: Path, name: str, rows: Sequence[tuple[str, int, int, str]]
) -> None:
    """Take a bale CSV in: rows of machine, number, minute, job."""
    lines = [f"{m},{no},{_at(minute)},{job}\n" for m, no, minute, job in rows]
    (folder / name).write_text("machine,bale_no,tipped_at,job\n" + "".join(lines))
    assert take_in_file(workplace, folder / name).refused == 0


def _take_events(workplace: Workplace, folder: Path, *rows: str) -> None:
    path = folder / "events.csv"
    path.write_text("machine,bale,at,kind,item,value,batch\n" + "".join(row + "\n" for row in rows))
    assert take_in_file(workplace, path).refused == 0


OLD = [("HAZE-1", 5230 + n, n, "A") for n in range(1, 5)]
NEW = [("HAZE-1", n, 10 + n, "A") for n in range(1, 5)]


@pytest.mark.derived
def test_a_swap_is_told_and_taken_back_and_the_book_follows(
    workplace: Workplace, tmp_path: Path
) -> None:
    """At least 5234; told between 5234 and 1: 5238 in the account and the book, the event in the
    ledger as a file; taken back: as before; told again: 5238 again."""
    take_bales(workplace, tmp_path, "june.csv", OLD + NEW)
    asked = SwapAsked("HAZE-1", 5234, 1, note="  new\n control ", by="tove")
    told = tell_swap(workplace, asked)
    assert (told.before.bales, told.before.at_least) == (5234, True)
    assert (told.after.bales, told.after.at_least) == (5238, False)
    assert told.event.note == "told by tove: new control"
    in_book = read_book(workplace).lifetimes[0]
    assert (in_book.lifetime_bales, in_book.at_least) == (5238, False)
    assert workplace.register.load_intakes(1)[0].events == 1
    assert told.event.at_us is not None
    back = take_swap_back(workplace, "HAZE-1", told.event.at_us, "tove")
    assert back.after == told.before
    in_book = read_book(workplace).lifetimes[0]
    assert (in_book.lifetime_bales, in_book.at_least) == (5234, True)
    assert tell_swap(workplace, asked).after == told.after
    assert read_book(workplace, BookQuery(job="A")).lifetimes[0].counted == 8


@pytest.mark.own
def test_a_swap_that_was_told_is_no_finding(workplace: Workplace, tmp_path: Path) -> None:
    """The change of the counter is found, told and found no more; taken back it is found again. A
    second change that nobody told stays a finding."""
    workplace.register.save_machine(MachineEntry("HAZE-1", "Haze", "mossgrinder-m2"))
    take_bales(workplace, tmp_path, "june.csv", OLD + NEW)

    def changes() -> list[float]:
        found = review_machine(workplace, "HAZE-1").findings
        kind = FindingKind.COUNTER_CHANGED
        return [one.seen.best for one in found if one.kind is kind and one.seen is not None]

    assert changes() == [1.0]
    told = tell_swap(workplace, SwapAsked("HAZE-1", 5234, 1))
    assert changes() == []
    assert told.event.at_us is not None
    take_swap_back(workplace, "HAZE-1", told.event.at_us)
    assert changes() == [1.0]
    tell_swap(workplace, SwapAsked("HAZE-1", 5234, 1))
    later = [("HAZE-1", 900 + n, 20 + n, "A") for n in range(1, 5)]
    take_bales(workplace, tmp_path, "july.csv", later)
    assert len(changes()) == 1


@pytest.mark.derived
def test_a_swap_must_lie_between_two_bales_that_follow_each_other(
    workplace: Workplace, tmp_path: Path
) -> None:
    """Numbers that do not follow each other, a swap nobody told, a machine nobody knows."""
    take_bales(workplace, tmp_path, "june.csv", OLD + NEW)
    for last_no, first_no in ((5234, 2), (5233, 1), (9, 9)):
        with pytest.raises(BadInput) as caught:
            tell_swap(workplace, SwapAsked("HAZE-1", last_no, first_no))
        assert "follow each other" in caught.value.faults[0].need
    with pytest.raises(BadInput):
        take_swap_back(workplace, "HAZE-1", 1)
    with pytest.raises(BadInput):
        account_counts(workplace, "HAZE-9")


@pytest.mark.derived
def test_repeats_name_their_files(workplace: Workplace, tmp_path: Path) -> None:
    """Number 3 stands in two files at two times: both are named; 2 stands in both at one time and
    is one bale."""
    rows = [("HAZE-1", n, n, "A") for n in range(1, 5)]
    take_bales(workplace, tmp_path, "june.csv", rows)
    take_bales(workplace, tmp_path, "july.csv", [("HAZE-1", 2, 2, "A"), ("HAZE-1", 3, 9, "A")])
    told = account_counts(workplace, "HAZE-1")
    (counter,) = told.account.counters
    assert [(one.number, one.bales) for one in counter.repeats] == [(3, 2)]
    assert told.files == {3: ("july.csv", "june.csv")}
    assert (told.account.recorded, told.entry.zone) == (5, "UTC")


@pytest.mark.practice
def test_a_batch_is_asked_over_all_machines(workplace: Workplace, tmp_path: Path) -> None:
    """A pair of rolls lasts its bales: batch K 7 is on one dispenser of one machine for bales 3 to
    6 of two jobs, and bound as net on another; spelled in another way it is the same."""
    rows = [("HAZE-1", n, n, "A" if n < 5 else "B") for n in range(1, 9)]
    take_bales(
        workplace, tmp_path, "june.csv", [*rows, ("HAZE-2", 1, 1, "C"), ("HAZE-2", 2, 2, "C")]
    )
    workplace.register.save_job(JobEntry("B", "Umberfell Dairy", None, "Round field"))
    _take_events(
        workplace,
        tmp_path,
        "HAZE-1,3,,film roll changed,dispenser 1,1500,K 7",
        "HAZE-1,7,,film roll changed,dispenser 1,1500,K 8",
        "HAZE-1,1,,film roll changed,dispenser 2,1500,",
        "HAZE-2,2,,net roll changed,net,3000,k  7",
    )
    told = find_batch(workplace, " K 7")
    lines = told.lines
    assert (told.bales, told.machines) == (5, 2)
    assert [(one.machine, one.job, one.bales, one.numbers) for one in lines] == [
        ("HAZE-1", "A", 2, (NumberRun(3, 4),)),
        ("HAZE-1", "B", 2, (NumberRun(5, 6),)),
        ("HAZE-2", "C", 1, (NumberRun(2, 2),)),
    ]
    assert (lines[1].customer, lines[1].field) == ("Umberfell Dairy", "Round field")
    assert [one.kind for one in lines[1:]] == [
        EventKind.FILM_ROLL_CHANGED,
        EventKind.NET_ROLL_CHANGED,
    ]
    assert find_batch(workplace, "K 7", EventKind.NET_ROLL_CHANGED).bales == 1
    assert find_batch(workplace, "K 9").lines == ()
    ranges = read_rolls(workplace, "HAZE-1").ranges
    assert [(one.range.batch, one.bales) for one in ranges] == [
        (None, 2), ("K 7", 4), ("K 8", 2), (None, 8),
    ]  # fmt: skip
