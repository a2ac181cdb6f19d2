"""One of a crowd at one home: takes files in, merges, corrects or reads until told to end."""

from __future__ import annotations

from pathlib import Path
from typing import Any


def main(home: Path, files: list[Path], what: str, end: Path) -> None:
    """what: `take in`, `merge`, `correct` or `read`; end: there once the others are done."""
    from faults.intake_truth import MACHINES, open_home

    place = open_home(home)
    if what == "take in":
        _take_in(place, files)
        return
    round_no = corrected = 0
    while not end.exists() or round_no == 0 or (what == "correct" and corrected == 0):
        if what == "merge":
            _merge(place)
        elif what == "correct":
            corrected += _correct(place, corrected)
        else:
            _read(place, MACHINES[round_no % 3])
        round_no += 1


def _take_in(place: Any, files: list[Path]) -> None:
    from balewright.flows.take_in_file import take_in_file

    for file in files:
        assert take_in_file(place, file).state in ("taken", "already taken")


def _merge(place: Any) -> None:
    from balewright.flows.compact_journal import compact_journal

    compact_journal(place)


def _correct(place: Any, corrected: int) -> bool:
    """Put the mass of a bale right, another one each time; False where none is there yet."""
    from balewright.flows.correct_bales import Asked, correct_bales

    bales = place.journal.read_bales("HAZE-1", ["bale_no"])
    if corrected >= min(bales.rows, 20):
        return False
    number = int(bales.column("bale_no")[corrected])
    asked = Asked("HAZE-1", (str(number),), "mass_kg", "1111", "weighed", mark=f"c{number}")
    correct_bales(place, asked)
    return True


def _read(place: Any, machine: str) -> None:
    """Each bale once, and never fewer than a moment ago."""
    from balewright.flows.read_book import BookQuery, read_book

    seen = 0
    for _ in range(3):
        numbers = place.journal.read_bales(machine, ["bale_no"]).column("bale_no").tolist()
        assert len(numbers) == len(set(numbers)), "a bale twice"
        assert len(numbers) >= seen, "a bale has gone"
        seen = len(numbers)
    assert read_book(place, BookQuery()).bales >= seen


if "asked" in globals():  # given by the process that runs this file
    main(*globals()["asked"])
