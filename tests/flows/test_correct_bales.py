"""Corrections: new facts that count everywhere, can be taken back, and are refused when wrong."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from balewright.flows.compact_journal import compact_journal
from balewright.flows.correct_bales import Asked, correct_bales, withdraw_correction
from balewright.flows.find_bale import find_bale
from balewright.flows.list_bales import BaleQuery, list_bales
from balewright.flows.read_book import read_book
from balewright.flows.review_machine import review_machine
from balewright.flows.take_in_file import take_in_file
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput
from balewright.records.traced import TracedValue, Why
from balewright.settings import load_settings, open_workplace
from balewright.store.compaction import TAIL_ROWS
from balewright.store.entries import MachineEntry

HEAD = "machine,bale_no,counter_epoch,tipped_at,job,mass_kg,mass_how,crop,status\n"


def _row(number: int, *more: str) -> str:
    return f"HAZE-1,{number},0,2031-06-14T09:{number % 60:02d}:00Z,{','.join(more)}\n"


@pytest.fixture
def workplace(tmp_path: Path) -> Iterator[Workplace]:
    """An empty workplace."""
    made = open_workplace(load_settings({"BALEWRIGHT_HOME": str(tmp_path / "home")}))
    yield made
    made.register.close()


def _take(workplace: Workplace, folder: Path, name: str, *rows: str) -> str:
    path = folder / name
    path.write_text(HEAD + "".join(rows))
    return take_in_file(workplace, path).sha256


def _book(workplace: Workplace) -> dict[str, tuple[int, int, float | None]]:
    rows = read_book(workplace).rows
    return {row.job or "-": (row.bales, row.burst, row.mass_kg) for row in rows}


def _mass(workplace: Workplace, named: str) -> TracedValue:
    values = find_bale(workplace, "HAZE-1", named).values
    return next(one for one in values if one.column == "mass_kg")


def _correct(workplace: Workplace, *bales: str, **said: str) -> str:
    return correct_bales(workplace, Asked("HAZE-1", bales, why="seen", **said)).key


@pytest.mark.derived
def test_a_bale_in_two_files_is_traced_to_both(workplace: Workplace, tmp_path: Path) -> None:
    """The file that knows more counts, the other's line and value stand beside it, and each line
    number is that of the text file itself; a correction says what stood before.
    """
    scale = _take(
        workplace, tmp_path, "scale.csv", *(_row(n, "", "640", "", "", "") for n in (7, 8))
    )
    day = _take(workplace, tmp_path, "day.csv", _row(8, "J1", "600", "sensed", "hay", "ok"))
    bale = find_bale(workplace, "HAZE-1", "8")
    assert (bale.key, bale.counts, bale.is_pass, bale.repeated) == ("8-e0", True, False, False)
    told = [(one.sha256, one.name, one.at, one.unit) for one in bale.sources]
    assert told == [(day, "day.csv", 2, "line"), (scale, "scale.csv", 3, "line")]
    mass = _mass(workplace, "8")
    assert (mass.value, mass.why, mass.differs) == (600.0, Why.MORE_KNOWN, True)
    assert mass.by is not None
    assert [mass.by.source, mass.others[0].source] == [0, 1]
    assert mass.others[0].value == 640.0
    (conflict,) = workplace.journal.read_conflicts("HAZE-1")
    assert (conflict.key, conflict.column, conflict.source, conflict.other_source) == (
        "8-e0", "mass_kg", day, scale,
    )  # fmt: skip
    crop = next(one for one in bale.values if one.column == "crop")
    assert (crop.why, crop.others) == (Why.ONLY, ())

    _correct(workplace, "8", column="mass_kg", value="655")
    mass = next(
        one for one in find_bale(workplace, "HAZE-1", "8").values if one.column == "mass_kg"
    )
    assert (mass.value, mass.by, mass.why) == (655.0, None, Why.CORRECTED)
    assert [one.value for one in mass.others] == [600.0, 640.0]
    assert mass.corrections[0].why == "seen"
    how = find_bale(workplace, "HAZE-1", "8").value("mass_how")
    assert how == "entered", "a person said the mass, no scale"
    assert workplace.journal.read_conflicts("HAZE-1") == ()


@pytest.mark.derived
def test_a_correction_counts_in_book_and_findings_and_can_be_taken_back(
    workplace: Workplace, tmp_path: Path
) -> None:
    """One of three bales of job J1 was burst and another was of job J2: the book says so at once,
    after merging too, and for a copy of the bale that comes later; taken back, all is as before.
    """
    entry = MachineEntry("HAZE-1", "Haze", next(iter(workplace.profiles)), "Europe/Dublin")
    workplace.register.save_machine(entry)
    rows = [_row(number, "J1", "600", "sensed", "hay", "") for number in (1, 2, 3)]
    _take(workplace, tmp_path, "day.csv", *rows)
    before, found = _book(workplace), review_machine(workplace, "HAZE-1").findings
    burst = _correct(workplace, "1", column="status", value="burst")
    moved = _correct(workplace, "2-e0", column="job", value="J2")
    after = {"J1": (2, 1, 1200.0), "J2": (1, 0, 600.0)}
    assert _book(workplace) == after
    assert review_machine(workplace, "HAZE-1").bales.cell(0, "status") == "burst"
    assert review_machine(workplace, "HAZE-1").findings != found
    compact_journal(workplace)
    assert _book(workplace) == after
    _take(workplace, tmp_path, "again.csv", _row(2, "J1", "600", "sensed", "hay", "ok"))
    assert _book(workplace) == after
    for key in (burst, moved):
        withdraw_correction(workplace, key, "it was not")
    assert _book(workplace) == before
    compact_journal(workplace)
    assert _book(workplace) == before
    assert len(find_bale(workplace, "HAZE-1", "1").corrections) == 2
    with pytest.raises(BadInput, match="taken back already"):
        withdraw_correction(workplace, burst, "again")


@pytest.mark.derived
def test_a_junk_number_put_right_leaves_the_lifetime_mark(
    workplace: Workplace, tmp_path: Path
) -> None:
    """9,999,999 between 4 and 6 is struck: the mark falls to 6 as a recorded fact, the bale meets
    its row of another file, stays struck when a copy of the file comes, and rises when it is
    taken back.
    """

    def lifetime() -> int | None:
        return workplace.register.load_lifetime("HAZE-1")

    rows = [_row(n, "J1", "600", "", "", "") for n in (4, 9_999_999, 6)]
    _take(workplace, tmp_path, "day.csv", *rows)
    assert (lifetime(), read_book(workplace).bales) == (9_999_999, 3)
    key = _correct(workplace, "9999999", column="bale_no", value="5")
    assert (lifetime(), read_book(workplace).bales) == (6, 3)
    _take(workplace, tmp_path, "other.csv", _row(5, "J1", "600", "", "", ""))
    assert read_book(workplace).bales == 3, "one bale 5, not two"
    _take(workplace, tmp_path, "copy.csv", *rows, _row(7, "J1", "600", "", "", ""))
    assert (lifetime(), read_book(workplace).bales) == (7, 4)
    bale = find_bale(workplace, "HAZE-1", "5")
    assert (bale.key, "9999999-e0" in bale.answers_to) == ("5-e0", True)
    assert find_bale(workplace, "HAZE-1", "9999999-e0") == bale
    withdraw_correction(workplace, key, "it was right")
    assert (lifetime(), read_book(workplace).bales) == (9_999_999, 5)


@pytest.mark.derived
@pytest.mark.parametrize(
    ("bales", "said", "message"),
    [
        (("9",), {}, "HAZE-1: needs a bale's number or key, was given '9'"),
        ((), {}, "bales: needs one to 5000 bales, was given 0"),
        (("1",), {"column": "machine"}, "needs a column of the bale table other than machine"),
        (("1",), {"column": "weight"}, "needs a column of the bale table other than machine"),
        (("1",), {"value": "3001"}, "mass_kg: needs a number from 20 to 3000, was given '3001'"),
        (("1",), {"column": "status", "value": "brust"}, "Did you mean burst?"),
        (("1",), {"column": "tipped_at", "value": "2031-06-14 09:00"}, "tipped_at: needs a time"),
        (("1",), {"why": "  "}, "why: needs a reason"),
        (("1",), {"machine": "HAZE-2"}, "needs a machine with bales in the journal"),
        (("3",), {}, "was given 2 bales of number 3. Give one of the keys: 3-2031"),
    ],
)
def test_what_cannot_be_is_refused(
    workplace: Workplace, tmp_path: Path, bales: tuple[str, ...], said: dict[str, str], message: str
) -> None:
    """Each fault is named with its cure, and nothing is kept."""
    same = [f"HAZE-1,3,,2031-06-14T0{hour}:00:00Z,J1,,,,\n" for hour in (6, 7)]
    _take(workplace, tmp_path, "day.csv", _row(1, "J1", "600", "", "", ""), *same)
    asked = {"machine": "HAZE-1", "column": "mass_kg", "value": "600", "why": "seen", **said}
    with pytest.raises(BadInput) as error:
        correct_bales(workplace, Asked(bales=bales, **asked))
    assert message in str(error.value)
    assert workplace.register.load_corrections() == ()


@pytest.mark.law
def test_asked_twice_is_one_and_the_later_of_two_counts(
    workplace: Workplace, tmp_path: Path
) -> None:
    """A form sent twice keeps one correction; a later one lies over it; unknown is a value too."""
    _take(workplace, tmp_path, "day.csv", _row(1, "J1", "600", "", "", ""))
    for _ in range(2):
        _correct(workplace, "1", column="mass_kg", value="610", mark="m1")
    assert len(workplace.register.load_corrections()) == 1
    _correct(workplace, "1", column="mass_kg", value="")
    assert _book(workplace) == {"J1": (1, 0, None)}


@pytest.mark.derived
def test_bales_are_listed_newest_first_and_by_day_number_and_job(
    workplace: Workplace, tmp_path: Path
) -> None:
    """23:30 UTC is the next day in Dublin in June; two files that differ are told."""
    entry = MachineEntry("HAZE-1", "Haze", next(iter(workplace.profiles)), "Europe/Dublin")
    workplace.register.save_machine(entry)
    late = "HAZE-1,2,0,2031-06-14T23:30:00Z,J2,,,,\n"
    _take(workplace, tmp_path, "day.csv", _row(1, "J1", "600", "", "", ""), late)
    _take(workplace, tmp_path, "scale.csv", _row(1, "", "640", "", "", ""))
    every = list_bales(workplace, "HAZE-1", BaleQuery())
    assert [(one.key, one.files, one.differs) for one in every.lines] == [
        ("2-e0", 1, False), ("1-e0", 2, True),
    ]  # fmt: skip
    assert every.jobs == ("J1", "J2")
    for query in (BaleQuery(day=datetime(2031, 6, 15, tzinfo=UTC).date()), BaleQuery(number=2)):
        assert [one.key for one in list_bales(workplace, "HAZE-1", query).lines] == ["2-e0"]
    found = list_bales(workplace, "HAZE-1", BaleQuery(job="J1"), 0, 1)
    assert ([one.key for one in found.lines], found.total) == (["1-e0"], 1)


@pytest.mark.law
def test_a_file_is_in_though_merging_fails(
    workplace: Workplace, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A register that gives way while files are merged after an intake takes nothing back; what
    was written for it is swept, and the next merge does what was left.
    """
    from django.db import OperationalError

    def full(_: int) -> None:
        raise OperationalError("database or disk is full")

    rows = [f"HAZE-1,{n},0,2031-06-14T09:00:00Z,J1,600,,,\n" for n in range(TAIL_ROWS)]
    with monkeypatch.context() as failing:
        failing.setattr(workplace.register, "_lock_generation", full)
        _take(workplace, tmp_path, "day.csv", *rows)
        with pytest.raises(BadInput, match="a register that can be written"):
            compact_journal(workplace)
    assert read_book(workplace).bales == TAIL_ROWS
    assert workplace.journal.sweep()
    assert compact_journal(workplace).bales == TAIL_ROWS
