"""Daily reviews of a season by a watcher made for the purpose."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from bench.findings.reviewing import Records, review_season

from balewright.findings.finding import Finding, FindingKind, Start, Weight
from balewright.quantities.reason import because
from balewright.records.bales import concatenate, masked_table

DAY, BALES = 40, 200
US = 1_900_000_000_000_000


def _records(numbers: np.ndarray | None = None) -> Records:
    """Five days of 40 bales, one a minute."""
    made = np.arange(BALES)
    values = {
        "bale_no": (1 + made if numbers is None else numbers).astype(np.int64),
        "closed_at": (US + made * 60_000_000).astype(np.int64),
    }
    known = {name: np.ones(BALES, dtype=np.bool_) for name in values}
    bales = masked_table(BALES, values, known)
    return Records(bales, made, made // DAY, lambda measure: ("mass_kg",), lambda *_: False)


def _finding(bales, since: int, **more) -> Finding:
    """A finding that begins at a bale of the season and is last seen at the last bale given."""
    at_us = [US + bale * 60_000_000 for bale in (since, since + 2)]
    plain = Finding(
        "M", FindingKind.DENSITY_MOVED, Weight.COST, None, None, at_us[0], 1, 1, None, None, "",
        ("diameter_m",), None, because("findings.x"), measure="dry_kg_m3", certain_frac=0.9,
        chance_frac=1e-7, start=Start(None, None, at_us[0], at_us[1], 0.8),
        until_us=int(bales.column("closed_at")[-1]),
    )  # fmt: skip
    return replace(plain, **more)


def _watcher(*alarms: tuple[int, int], until: int = BALES, **more):
    """Tells (from how many bales on, since which bale); silent again after `until` bales."""

    def review(new, past):
        bales = new if past is None else concatenate([past, new])
        found = tuple(
            _finding(bales, since, **more)
            for alarm, since in alarms
            if alarm <= bales.rows <= until
        )
        return found, bales

    return review


@pytest.mark.derived
def test_alarm_and_review_are_told_apart() -> None:
    """Told since bale 60, first stood with 77 bales made, told at the review of the second day."""
    (told,), reviews = review_season(_records(), _watcher((77, 60)))
    assert reviews == (40, 80, 120, 160, 200)
    assert (told.alarm, told.first_said.made, told.first_said.since) == (77, 80, 60)
    assert (told.first_said.first, told.first_said.last) == (60, 62)
    assert [said.made for said in told.said] == [80, 120, 160, 200]
    assert told.columns == ("diameter_m", "mass_kg")
    assert (told.note, told.weight) == (False, "cost")


@pytest.mark.derived
@pytest.mark.parametrize("alarm", [1, 40, 41, 80, 81, 200])
def test_the_first_and_the_last_bale_of_a_day_alarm_too(alarm) -> None:
    """Halving within the day finds its ends."""
    (told,), _ = review_season(_records(), _watcher((alarm, 0)))
    assert told.alarm == alarm
    assert told.first_said.made == -(-alarm // DAY) * DAY


@pytest.mark.derived
def test_where_the_bale_does_not_count_the_review_does() -> None:
    """In a season in order nobody asks for the bale of an alarm: it takes the day's last."""
    asked = []

    def never(finding, before, made):
        asked.append((before, made))
        return False

    (told,), _ = review_season(replace(_records(), exact=never), _watcher((77, 60)))
    assert (told.alarm, asked) == (80, [(40, 80)])


@pytest.mark.derived
def test_what_was_told_and_taken_back_was_told() -> None:
    """A finding that a later review no longer holds still counts, with what was said then."""
    (told,), _ = review_season(_records(), _watcher((70, 50), until=130))
    assert [said.made for said in told.said] == [80, 120]


@pytest.mark.derived
def test_a_moved_start_is_the_same_matter_and_a_far_one_is_not() -> None:
    """Starts 10 bales apart are one matter told once; 180 bales apart, after its end, two."""
    before, after = _watcher((70, 50), until=100), _watcher((110, 60))

    def moving(new, past):
        found, bales = before(new, past)
        return found + after(new, past)[0], bales

    (moved,), _ = review_season(_records(), moving)
    assert [said.since for said in moved.said] == [50, 60, 60, 60]
    early = _watcher((10, 5), until=40)
    late = _watcher((190, 185))

    def both(new, past):
        first, bales = early(new, past)
        return first + late(new, past)[0], bales

    far, _ = review_season(_records(), both)
    assert [told.alarm for told in far] == [10, 190]


@pytest.mark.derived
def test_two_changes_of_one_measure_that_both_stand_are_two() -> None:
    """The second begins while the first still stands; neither takes the other's place."""
    first = _watcher((60, 50))
    second = _watcher((170, 165))

    def both(new, past):
        found, bales = first(new, past)
        return second(new, past)[0] + found, bales

    told, _ = review_season(_records(), both)
    assert [(one.alarm, one.last_said.since) for one in told] == [(60, 50), (170, 165)]
    assert [len(one.said) for one in told] == [4, 1]


@pytest.mark.derived
def test_a_later_change_does_not_hide_behind_one_that_went() -> None:
    """The first is taken back when the second comes: another matter, with an alarm of its own.
    A run that counting settles goes on instead, however often its finding begins anew.
    """
    settled = {"chance_frac": None, "certain_frac": None}
    for more, matters in (({}, 2), (settled, 1)):
        first, second = _watcher((60, 50), until=160, **more), _watcher((170, 165), **more)

        def both(new, past, first=first, second=second):
            found, bales = first(new, past)
            return found + second(new, past)[0], bales

        told, _ = review_season(_records(), both)
        assert len(told) == matters


@pytest.mark.derived
def test_a_counter_that_starts_again_does_not_move_a_finding() -> None:
    """Bales are placed by their time: number 5 stands twice in this season."""
    made = np.arange(BALES)
    numbers = np.where(made < 100, made + 1, made - 99)
    (told,), _ = review_season(_records(numbers), _watcher((150, 104), since_bale=5))
    assert told.first_said.since == 104


@pytest.mark.derived
def test_without_a_time_the_number_places_it() -> None:
    """Where a finding knows no time, its number does; an unknown start is the newest bale."""
    numbered = {"since_us": None, "start": None, "since_bale": 61}
    (told,), _ = review_season(_records(), _watcher((77, 60), **numbered))
    assert told.first_said.since == 60
    nothing = {"since_us": None, "start": None, "since_bale": None}
    (told,), _ = review_season(_records(), _watcher((77, 60), **nothing))
    assert told.first_said.since == 79


@pytest.mark.derived
def test_only_settled_notes_keep_the_book() -> None:
    """A note with a stated chance was told by watching and may be false like any other."""
    note = {"weight": Weight.NOTE}
    (told,), _ = review_season(_records(), _watcher((77, 60), **note))
    assert not told.note
    settled = {"chance_frac": None, "certain_frac": None, **note}
    (told,), _ = review_season(_records(), _watcher((77, 60), **settled))
    assert told.note
