"""Found, missed, late and false, counted on seasons made by hand."""

from __future__ import annotations

import math

import pytest
from bench.findings.counting import count_false, count_found, split_by, spread_of, wilson
from bench.findings.facts import Said, from_line, to_line

from bench_scoring.seasons_by_hand import BOOK, season, told


@pytest.mark.derived
def test_four_seasons_by_hand() -> None:
    """Two of four found; delays from the start; a missed fault is later than any found one."""
    late = told(since=130, alarm=150, first=95, last=140)
    seasons = [
        season(told(since=98, alarm=112, first=99, last=104)),
        season(late, told("layers short"), told(since=10, alarm=30)),
        season(),
        season(told("layers short", since=10, alarm=30)),
    ]
    found = count_found(seasons, BOOK)
    assert (found.seasons, found.found, found.recall) == (4, 2, 0.5)
    assert (found.own, found.side, found.false) == (2, 1, 2)
    assert found.precision == pytest.approx(2 / 5)
    assert found.with_sides == pytest.approx(3 / 5)
    assert (found.alarm.median, found.alarm.ninetieth) == (50, math.inf)
    assert found.review.median == 20
    assert (found.start_error.count, found.start_error.median) == (2, -2)
    assert found.start_off.ninetieth == 30
    assert found.covered == (2, 2)


@pytest.mark.derived
def test_the_start_counts_as_it_was_last_told() -> None:
    """A revision moves the error of the start, not the delay."""
    revised = told(since=120, first=110, last=130, again=Said(240, 101, 99, 103, 0.8))
    found = count_found([season(revised)], BOOK)
    assert (found.start_error.median, found.covered, found.review.median) == (1, (1, 1), 20)


@pytest.mark.derived
def test_an_interval_beside_the_start_does_not_cover_it() -> None:
    """Both ends belong to the interval; one bale off is outside; none stated is not counted."""
    at_edge, off, none = (
        season(told(first=100, last=120)), season(told(first=101, last=120)), season(told()),
    )  # fmt: skip
    assert count_found([at_edge, off, none], BOOK).covered == (1, 2)


@pytest.mark.derived
def test_percentiles_are_values_that_were_seen() -> None:
    """Of ten values the median is the fifth and the 90th percentile the ninth."""
    spread = spread_of(list(range(10, 0, -1)))
    assert (spread.count, spread.median, spread.ninetieth) == (10, 5, 9)
    assert spread_of([7]).ninetieth == 7
    assert spread_of([]).median is None


@pytest.mark.derived
def test_false_findings_go_by_weeks() -> None:
    """Three false findings in 30 weeks are 100 in 1,000; notes and true ones stand apart."""
    wolf = told("metres moved", measure="film1_m", chance=1e-6, certain=0.9)
    seasons = [season(wolf, wolf, told(note=True), fault=False, weeks=10),
               season(told(), told(borne_out=True), fault=False, weeks=20)]  # fmt: skip
    counted = count_false(seasons, BOOK)
    assert (counted.false, counted.physics, counted.true, counted.notes) == (3, 1, 1, 1)
    assert counted.per_thousand == pytest.approx(100.0)
    assert counted.worst[0] == ("metres moved (film1_m)", 2)


@pytest.mark.published
def test_nothing_seen_is_not_nothing() -> None:
    """Rule of three (Hanley and Lippman-Hand, JAMA 249:1743, 1983): at most 3 in n, 95 %."""
    counted = count_false([season(fault=False, weeks=1000)], BOOK)
    assert counted.highest == pytest.approx(3.0, abs=0.005)


@pytest.mark.published
def test_shares_have_wilson_intervals() -> None:
    """Newcombe, Stat. Med. 17:857, 1998, Table I: 81 of 263."""
    assert wilson(81, 263) == pytest.approx((0.2553, 0.3662), abs=5e-5)
    assert wilson(0, 0) == (0.0, 1.0)


@pytest.mark.derived
def test_a_lot_of_the_wrong_sort_is_refused() -> None:
    """Faulty seasons are not counted as clean, nor the other way round."""
    with pytest.raises(ValueError, match="something is planted"):
        count_false([season()], BOOK)
    with pytest.raises(ValueError, match="nothing is planted"):
        count_found([season(fault=False)], BOOK)


@pytest.mark.law
def test_a_season_outlives_the_disk() -> None:
    """What was written is read back the same, so a stopped run goes on as if it had not stopped."""
    kept = season(told(first=1, last=2, certain=0.5, chance=1e-9, again=Said(240, 3)))
    assert from_line(to_line(kept)) == kept
    assert from_line(to_line(season(fault=False))) == season(fault=False)


@pytest.mark.derived
def test_lots_are_split_by_label() -> None:
    """Every season is in exactly one lot."""
    lots = split_by(
        [season(), season(fault=False), season()], lambda one: (str(one.fault is None),)
    )
    assert {label: len(lot) for label, lot in lots.items()} == {("False",): 2, ("True",): 1}
