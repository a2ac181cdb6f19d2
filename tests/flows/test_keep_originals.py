"""Originals are kept by a rule; bales stay when they go."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from balewright.flows.keep_originals import apply_retention, see_originals, set_retention
from balewright.flows.read_book import BookQuery, read_book
from balewright.flows.take_in_file import take_in_file
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput
from balewright.settings import load_settings, open_workplace
from balewright.store.originals import Originals

START = datetime(2031, 6, 14, tzinfo=UTC)


def after(days: int) -> Callable[[], datetime]:
    """A clock that stands so many days after the first file."""
    return lambda: START + timedelta(days=days)


@pytest.fixture
def place(tmp_path: Path) -> Workplace:
    """Two files, taken in on day 0 and on day 50."""
    place = open_workplace(load_settings({"BALEWRIGHT_HOME": str(tmp_path / "home")}))
    for day in (0, 50):
        path = tmp_path / f"day{day}.csv"
        path.write_text(f"machine,bale_no,tipped_at\nH-1,{day + 1},2031-06-14T09:00:00Z\n")
        take_in_file(replace(place, clock=after(day)), path)
    return place


@pytest.mark.law
def test_without_a_rule_nothing_goes(place: Workplace) -> None:
    """A hundred years later both are there."""
    late = replace(place, clock=after(36_500))
    assert apply_retention(late) == ()
    assert see_originals(late).contents == 2


@pytest.mark.law
def test_the_rule_lets_go_what_is_older_and_bales_stay(place: Workplace) -> None:
    """On day 101 a rule of 100 days lets the first go; the book stays as it was."""
    before = read_book(place, BookQuery())
    late = replace(place, clock=after(101))
    set_retention(late, 100, "mara")
    assert [entry.name for entry in see_originals(late).due] == ["day0.csv"]
    assert [entry.name for entry in apply_retention(late)] == ["day0.csv"]
    assert apply_retention(late) == ()
    assert see_originals(late).contents == 1
    assert read_book(late, BookQuery()) == before
    assert len(place.register.load_originals_gone()) == 1


@pytest.mark.law
def test_a_crash_between_note_and_removal_is_healed(
    place: Workplace, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The note is made, the folder stays: the next call removes it."""
    late = replace(place, clock=after(101))
    set_retention(late, 100)
    with monkeypatch.context() as broken:
        broken.setattr(Originals, "let_go", _dies)
        with pytest.raises(KeyboardInterrupt):
            apply_retention(late)
    assert see_originals(late).contents == 2
    assert len(apply_retention(late)) == 1
    assert see_originals(late).contents == 1


def _dies(*_: object) -> bool:
    raise KeyboardInterrupt


@pytest.mark.law
def test_a_clock_set_back_lets_nothing_go(place: Workplace) -> None:
    """Entries later than now are never older than a rule."""
    early = replace(place, clock=after(-400))
    set_retention(early, 30)
    assert apply_retention(early) == ()


@pytest.mark.law
@pytest.mark.parametrize("days", [-1, 0, 29, 36_501, 10**12])
def test_a_rule_that_would_lose_what_settles_disputes_is_refused(
    place: Workplace, days: int
) -> None:
    """Out of range: a typed error, and the rule before stays."""
    set_retention(place, 400)
    with pytest.raises(BadInput, match="whole days from 30"):
        set_retention(place, days)
    assert see_originals(place).days == 400


@pytest.mark.law
def test_what_a_removal_left_is_swept(place: Workplace) -> None:
    """A folder on its way out when the power went is cleared away at the next start."""
    originals = Originals(place.home / "originals")
    sha256 = next(iter(originals.sizes()))
    (originals.root / sha256).rename(originals.root / f"gone-{sha256}")
    swept = originals.sweep(place.journal.running, place.register.load_taken)
    assert swept == (f"gone-{sha256}",)
