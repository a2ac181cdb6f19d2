"""One word for the jobs of several customers: never merged, and told."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.readers.task_data.making import MadeSet, counting, task

from balewright.flows.read_book import BookQuery, BookRow, read_book
from balewright.flows.take_in_file import IntakeReport, take_in_file
from balewright.flows.workplace import Workplace
from balewright.records.quality import Mark
from balewright.settings import load_settings, open_workplace
from balewright.store.entries import JobEntry

WORD = "North meadow"
BIRCHWELL = {"Aldermoor": "Birchwell", "RB-7": "RB-8"}


@pytest.fixture
def workplace(tmp_path: Path) -> Iterator[Workplace]:
    """An empty workplace."""
    made = open_workplace(load_settings({"BALEWRIGHT_HOME": str(tmp_path / "home")}))
    yield made
    made.register.close()


def _task_data(folder: Path, bales: int, **renamed: str) -> Path:
    """A set with one task of WORD for Aldermoor, Low Farm, Long Strip, or what those become."""
    folder.mkdir(parents=True)
    made = MadeSet(folder)
    made.log("TLG1", counting([(30 * n, n, 400 * n) for n in range(1, bales + 1)]))
    made.tasks.append(task(["TLG1"], name=WORD))
    text = (made.write() / "TASKDATA.XML").read_text()
    for old, new in renamed.items():
        text = text.replace(old, new)
    (folder / "TASKDATA.XML").write_text(text)
    return folder


def _csv(path: Path, machine: str, bales: int) -> Path:
    rows = [f"{machine},{n},0,2031-06-20T09:{n:02d}:00Z,{WORD}\n" for n in range(1, bales + 1)]
    path.write_text("machine,bale_no,counter_epoch,tipped_at,job\n" + "".join(rows))
    return path


def _by_customer(workplace: Workplace) -> dict[str | None, int]:
    booked: dict[str | None, int] = {}
    for row in read_book(workplace).rows:
        booked[row.customer] = booked.get(row.customer, 0) + row.bales
    return booked


def _shared(report: IntakeReport) -> list[str]:
    return [doubt.text for doubt in report.doubts if doubt.kind == Mark.JOB_SHARED]


@pytest.mark.derived
@pytest.mark.parametrize("order", [(0, 1, 2, 3), (3, 2, 1, 0), (2, 1, 0, 3)])
def test_one_word_in_four_files_bills_each_customer_for_his_own(
    workplace: Workplace, tmp_path: Path, order: tuple[int, ...]
) -> None:
    """3 bales of Aldermoor, 5 of Birchwell and 2 + 4 of nobody known, in whatever order."""
    paths = [
        _task_data(tmp_path / "a", 3),
        _task_data(tmp_path / "b", 5, **BIRCHWELL),
        _csv(tmp_path / "c.csv", "HAZE-1", 2),
        _csv(tmp_path / "d.csv", "HAZE-2", 4),
    ]
    for place in order:
        take_in_file(workplace, paths[place])
    assert _by_customer(workplace) == {"Aldermoor": 3, "Birchwell": 5, None: 6}
    assert read_book(workplace, BookQuery(customer="Birchwell", job=WORD)).bales == 5
    assert read_book(workplace, BookQuery(job=WORD)).bales == 14


@pytest.mark.own
def test_a_shared_word_is_told_in_the_report(workplace: Workplace, tmp_path: Path) -> None:
    """The second customer's file says whose word it shares; a CSV that it cannot say whose."""
    first = take_in_file(workplace, _task_data(tmp_path / "a", 3))
    second = take_in_file(workplace, _task_data(tmp_path / "b", 5, **BIRCHWELL))
    third = take_in_file(workplace, _csv(tmp_path / "c.csv", "HAZE-1", 2))
    assert _shared(first) == []
    (said,) = _shared(second)
    assert "an order of Aldermoor, Low Farm, Long Strip" in said
    assert "stand under Birchwell" in said
    (said,) = _shared(third)
    assert "does not say whose" in said
    kept = workplace.register.load_intake(second.sha256)
    assert kept is not None
    assert kept.doubtful == second.doubtful == first.doubtful + 1


@pytest.mark.own
def test_another_field_of_the_same_customer_is_another_line(
    workplace: Workplace, tmp_path: Path
) -> None:
    """Same word and customer, two fields: two lines, told; the same order again: one line."""
    take_in_file(workplace, _task_data(tmp_path / "a", 3))
    other = _task_data(tmp_path / "b", 5, **{"Long Strip": "Pond Piece", "RB-7": "RB-8"})
    report = take_in_file(workplace, other)
    again = _task_data(tmp_path / "c", 2, **{"RB-7": "RB-9"})
    assert _shared(report)
    take_in_file(workplace, again)

    def line(row: BookRow) -> tuple[object, ...]:
        return (row.customer, row.farm, row.field)

    lines = {line(row) for row in read_book(workplace).rows}
    assert lines == {
        ("Aldermoor", "Low Farm", "Long Strip"),
        ("Aldermoor", "Low Farm", "Pond Piece"),
    }


@pytest.mark.own
def test_two_tasks_of_one_file_may_share_a_name(workplace: Workplace, tmp_path: Path) -> None:
    """Their identifiers tell them apart, and each customer has his own bales."""
    folder = tmp_path / "set"
    folder.mkdir()
    made = MadeSet(folder)
    made.log("TLG1", counting([(30, 1, 400), (60, 2, 800)]))
    made.log("TLG2", counting([(30, 1, 400)], begin_s=50_000))
    made.tasks.append(task(["TLG1"], name=WORD))
    made.tasks.append(task(["TLG2"], "TSK2", WORD).replace('C="CTR1"', 'C="CTR2"'))
    take_in_file(workplace, made.write('<CTR A="CTR2" B="Birchwell"/>'))
    assert _by_customer(workplace) == {"Aldermoor": 2, "Birchwell": 1}


@pytest.mark.own
def test_what_somebody_entered_fills_gaps_and_overrules_no_file(
    workplace: Workplace, tmp_path: Path
) -> None:
    """An entered order names the customer of a CSV's word; task data of another keeps its own."""
    workplace.register.save_job(JobEntry(WORD, "Cobnut"))
    report = take_in_file(workplace, _csv(tmp_path / "c.csv", "HAZE-1", 2))
    assert _shared(report) == []
    assert _shared(take_in_file(workplace, _task_data(tmp_path / "a", 3)))
    assert _by_customer(workplace) == {"Cobnut": 2, "Aldermoor": 3}
    assert workplace.register.load_job(WORD) == JobEntry(WORD, "Cobnut")
