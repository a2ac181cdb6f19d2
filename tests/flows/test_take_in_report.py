"""The intake report: reasons in groups, machine by machine, what is new; and stopping half way."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from balewright.flows.read_book import read_book
from balewright.flows.reading_of import reading_of
from balewright.flows.take_in_file import Handed, take_in_file, take_in_handed
from balewright.flows.take_in_groups import FIRST_SPOTS, MAX_GROUPS, Groups
from balewright.flows.take_in_report import report_of
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import Stopped
from balewright.records.intake import Doubt, Refusal
from balewright.records.quality import Mark
from balewright.settings import load_settings, open_workplace
from balewright.store.entries import MachineEntry
from balewright.store.noted import NumberSpan
from balewright.words.marks import say_mark, say_mark_cure

HEAD = "machine,bale_no,counter_epoch,tipped_at,job,mass_kg\n"
ROWS = [f"HAZE-1,{n},0,2031-06-14T09:{n:02d}:00Z,Low field,{600 + n}\n" for n in range(1, 11)]


@pytest.fixture
def workplace(tmp_path: Path) -> Iterator[Workplace]:
    """An empty workplace."""
    made = open_workplace(load_settings({"BALEWRIGHT_HOME": str(tmp_path / "home")}))
    yield made
    made.register.close()


def _csv(folder: Path, name: str, *rows: str, head: str = HEAD) -> Path:
    path = folder / name
    path.write_text(head + "".join(rows))
    return path


@pytest.mark.derived
def test_refusals_alike_are_one_group_with_their_number(
    workplace: Workplace, tmp_path: Path
) -> None:
    """500 numbers that are words and 300 masses in pounds: two groups, each with its first places;
    the ledger gives them back as they were.
    """
    words = [f"HAZE-1,no {n},0,2031-06-14T10:00:00Z,,600\n" for n in range(500)]
    heavy = [f"HAZE-1,{n},0,2031-06-14T10:00:00Z,,{9000 + n}\n" for n in range(300)]
    report = take_in_file(workplace, _csv(tmp_path, "june.csv", *ROWS, *words, *heavy))
    found = [(group.column, group.count, len(group.first)) for group in report.notes.refusals]
    assert found == [("bale_no", 500, FIRST_SPOTS), ("mass_kg", 300, FIRST_SPOTS)]
    assert report.notes.refusals[0].first[0].place == "line 12, column bale_no"
    assert report.notes.refusals[0].first[0].text == "no 0"
    assert report.refused == 800
    again = workplace.register.load_intake(report.sha256)
    assert again is not None
    assert report_of(workplace, again) == report


@pytest.mark.law
def test_groups_are_bounded_and_add_up() -> None:
    """However many kinds there are, all are counted and few are held."""
    groups = Groups()
    kinds = [f"reason {chr(97 + n % 26)}{chr(97 + n // 26)}" for n in range(300)]
    groups.add_refusals(Refusal("a.csv", f"line {n}", "", kind) for n, kind in enumerate(kinds))
    groups.add_doubts(Doubt("a.csv", f"line {n}", "file cut", "") for n in range(7))
    told = groups.largest_first()
    assert sum(group.count for group in told) == 307
    assert len(told) == MAX_GROUPS + 1
    assert told[-1].reason == ""


@pytest.mark.derived
def test_each_machine_is_told_with_numbers_days_and_jobs(
    workplace: Workplace, tmp_path: Path
) -> None:
    """Half past ten and half past eleven at night in London in June (UTC+1) are two days there."""
    workplace.register.save_machine(
        MachineEntry("HAZE-2", "Haze", "mossgrinder-m2", "Europe/London")
    )
    rows = [
        "HAZE-2,40,0,2031-06-14T21:30:00Z,High field,\n",
        "HAZE-2,41,0,2031-06-14T23:30:00Z,High field,\n",
        "HAZE-1,7,1,2031-06-14T21:30:00Z,,\n",
        "HAZE-1,2,2,2031-06-14T23:30:00Z,,\n",
    ]
    one, two = take_in_file(workplace, _csv(tmp_path, "a.csv", *rows)).notes.machines
    assert (one.serial, one.bales, one.days, one.jobs) == ("HAZE-1", 2, 1, ())
    assert one.numbers == (NumberSpan(1, 7, 7), NumberSpan(2, 2, 2))
    assert (two.serial, two.days, two.jobs) == ("HAZE-2", 2, ("High field",))
    assert two.numbers == (NumberSpan(0, 40, 41),)


@pytest.mark.derived
def test_the_day_of_a_clock_change_is_one_day(workplace: Workplace, tmp_path: Path) -> None:
    """On 2031-10-26 London puts its clocks back: 23:30 UTC before and 23:30 UTC on the day are
    00:30 and 23:30 there, one day of 25 hours.
    """
    workplace.register.save_machine(
        MachineEntry("HAZE-2", "Haze", "mossgrinder-m2", "Europe/London")
    )
    rows = [
        "HAZE-2,40,0,2031-10-25T23:30:00Z,,\n",
        "HAZE-2,41,0,2031-10-26T23:30:00Z,,\n",
    ]
    (machine,) = take_in_file(workplace, _csv(tmp_path, "a.csv", *rows)).notes.machines
    assert machine.days == 1


@pytest.mark.law
def test_new_known_and_repeated_rows_add_up_to_the_book(
    workplace: Workplace, tmp_path: Path
) -> None:
    """Rows 1 to 7, then 4 to 10 with 10 twice: three new, four there already, one given again;
    and what is new in every file together is what the book counts.
    """
    first = take_in_file(workplace, _csv(tmp_path, "a.csv", *ROWS[:7])).notes.machines[0]
    second = take_in_file(workplace, _csv(tmp_path, "b.csv", *ROWS[3:], ROWS[9])).notes.machines[0]
    assert (first.new, first.known, first.again) == (7, 0, 0)
    assert (second.new, second.known, second.again) == (3, 4, 1)
    assert read_book(workplace).bales == 10


@pytest.mark.own
def test_rows_without_machine_are_of_the_machine_that_was_said(
    workplace: Workplace, tmp_path: Path
) -> None:
    """A file without the column, taken in for HAZE-9: its bales, without a doubt of identity."""
    path = _csv(tmp_path, "a.csv", "3,2031-06-14T21:30:00Z\n", head="bale_no,tipped_at\n")
    report = take_in_file(workplace, path, reading=reading_of(workplace, "HAZE-9"))
    assert report.machines == ("HAZE-9",)
    assert report.doubts == ()
    assert workplace.journal.read_bales("HAZE-9").rows == 1


@pytest.mark.law
@pytest.mark.parametrize("stage", ["copying", "reading", "writing"])
def test_stopped_at_any_stage_nothing_is_kept(
    workplace: Workplace, tmp_path: Path, stage: str
) -> None:
    """Whoever listens may stop it: no bale, no copy, no ledger line; and it may come again."""

    def stop(at: str, done: int, total: int | None) -> None:
        if at == stage and (at != "writing" or done == total):
            raise Stopped("asked to")

    path = _csv(tmp_path, "a.csv", *ROWS)
    with pytest.raises(Stopped):
        take_in_file(replace(workplace, progress=stop), path)
    assert workplace.journal.read_bales("HAZE-1").rows == 0
    assert list((workplace.home / "originals").iterdir()) == []
    assert list(workplace.journal.root.rglob("*.parquet*")) == []
    assert workplace.register.load_intakes() == ()
    assert take_in_file(workplace, path).state == "taken"


@pytest.mark.own
def test_progress_tells_bytes_of_bytes(workplace: Workplace, tmp_path: Path) -> None:
    """While a CSV is read the listener hears how much of the file was read, up to all of it."""
    heard: list[tuple[str, int, int | None]] = []

    def hear(stage: str, done: int, total: int | None) -> None:
        heard.append((stage, done, total))

    path = _csv(tmp_path, "a.csv", *ROWS)
    take_in_file(replace(workplace, progress=hear), path)
    size = path.stat().st_size
    assert ("reading", size, size) in heard
    assert [stage for stage, _, _ in heard if stage != "copying"][-1] == "writing"


@pytest.mark.law
def test_a_sender_speaks_of_its_own_machine_alone(workplace: Workplace, tmp_path: Path) -> None:
    """Rows of another machine are refused by line; the whole file is still taken in afterwards by
    somebody who may, and no bale stands twice.
    """
    other = [row.replace("HAZE-1", "MIST-4") for row in ROWS[:2]]
    path = _csv(tmp_path, "a.csv", *ROWS, *other)
    own = take_in_handed(workplace, Handed(path, only_machine="HAZE-1"))
    assert (own.state, own.kept, own.refused, own.machines) == ("taken", 10, 2, ("HAZE-1",))
    assert [spot.place for spot in own.notes.refusals[0].first] == ["line 12", "line 13"]
    assert own.notes.only_machine == "HAZE-1"
    assert take_in_handed(workplace, Handed(path, only_machine="HAZE-1")).state == "already taken"
    whole = take_in_file(workplace, path)
    assert (whole.state, whole.kept) == ("taken", 12)
    assert [(one.new, one.known) for one in whole.notes.machines] == [(0, 10), (2, 0)]
    assert workplace.journal.read_bales("HAZE-1").rows == 10
    assert workplace.journal.read_bales("MIST-4").rows == 2


@pytest.mark.law
@pytest.mark.parametrize("mark", Mark)
def test_every_mark_says_what_it_means_and_what_to_do(mark: Mark) -> None:
    """No technician meets a bare mark in a report."""
    assert say_mark(mark) != mark.capitalize()
    assert say_mark(mark).endswith(".")
    assert say_mark_cure(mark)
