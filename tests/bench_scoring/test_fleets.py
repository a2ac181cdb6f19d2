"""False alarms among those told to a fleet's manager."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from bench.findings.facts import Said
from bench.findings.fleets import Fleet, false_discoveries, open_alarms
from bench.findings.judging import Whose

from bench_scoring.seasons_by_hand import BOOK, season, told

CHARTS = 20


@pytest.mark.derived
def test_only_what_stands_that_day_with_a_chance_is_open() -> None:
    """Of a season with reviews after 120, 240 and 360 bales, told at the first two."""
    stands = told(chance=1e-4, again=Said(240, 100, chance_frac=1e-6))
    one = replace(season(stands, told(note=True)), reviews=(120, 240, 360))
    chances = [[a.chance_frac for a in open_alarms(one, at, BOOK)] for at in (0.0, 0.4, 1.0)]
    assert chances == [[1e-4], [1e-6], []]
    assert open_alarms(one, 0.0, BOOK)[0].whose is Whose.OWN


@pytest.mark.law
def test_even_chances_are_held_at_the_rate() -> None:
    """Benjamini and Hochberg 1995: with evenly spread chances the mean share is held, and with
    nothing wrong anywhere it is the rate itself.
    """
    chance = np.random.default_rng(5)

    def calm():
        drawn = [told("layers short", since=10, alarm=20, chance=p) for p in chance.random(CHARTS)]
        return replace(season(*drawn, fault=False), reviews=(120,), charts=CHARTS)

    def bad():
        own = told(chance=1e-8)
        return replace(season(own, start=100), reviews=(120,), charts=CHARTS)

    pool = [*(calm() for _ in range(400)), *(bad() for _ in range(50))]
    mixed = false_discoveries(pool, Fleet(400, 20, 0.3), 0.2, BOOK, np.random.default_rng(6))
    assert 0.10 < mixed.false_frac < 0.2 * 1.1
    assert mixed.kept_frac == 1.0
    nothing = false_discoveries(pool, Fleet(1500, 3, 0.0), 0.2, BOOK, np.random.default_rng(7))
    assert nothing.false_frac == pytest.approx(0.2, abs=0.035)


@pytest.mark.derived
def test_a_chance_that_flatters_itself_is_seen() -> None:
    """Alarms that claim a chance of 1e-9 and are all false: the share is 1, whatever the rate."""
    liar = told("layers short", since=10, alarm=20, chance=1e-9)
    pool = [replace(season(liar, fault=False), reviews=(120,), charts=CHARTS)]
    counted = false_discoveries(pool, Fleet(10, 5, 0.0), 0.05, BOOK, np.random.default_rng(1))
    assert (counted.false_frac, counted.admitted, counted.open) == (1.0, 5.0, 5.0)
