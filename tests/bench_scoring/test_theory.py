"""The best delay there can be."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from bench.findings.facts import Fault
from bench.findings.theory import (
    growing,
    ideal_delays,
    ideal_rate_delays,
    information_of_rate,
    information_of_shift,
    least_bales,
    lorden_bales,
)


@pytest.mark.derived
def test_information_by_hand() -> None:
    """One spread is half a nat a bale; 1 to 6 in 100 is 0.0588, worked out on paper."""
    assert information_of_shift(1.0) == 0.5
    by_hand = 0.06 * math.log(6) + 0.94 * math.log(94 / 99)
    assert (
        information_of_rate(0.01, 0.06) == pytest.approx(by_hand) == pytest.approx(0.0588, abs=1e-4)
    )
    assert lorden_bales(0.5, math.exp(10)) == pytest.approx(20.0)


@pytest.mark.derived
def test_a_fault_that_grows_is_whole_at_the_end_of_its_growth() -> None:
    """Four bales of growth to two spreads: 0.5, 1, 1.5, 2 and two from there on."""
    assert growing(2.0, 4, 6).tolist() == [0.5, 1.0, 1.5, 2.0, 2.0, 2.0]
    assert growing(2.0, 0, 2).tolist() == [2.0, 2.0]


@pytest.mark.published
def test_run_length_of_the_ideal_chart() -> None:
    """In good order it runs A exp(0.583 shift) bales on average (Pollak 1987; Siegmund 1985,
    Sequential Analysis, ch. X: the mean overshoot constant 0.583). A = 60, shift 1.
    """
    chance = np.random.default_rng(7)
    runs, limit = 2000, 60.0
    statistic, told = np.zeros(runs), np.zeros(runs)
    for bale in range(1, 3000):
        statistic = (1.0 + statistic) * np.exp(chance.standard_normal(runs) - 0.5)
        told = np.where((told == 0) & (statistic >= limit), bale, told)
    assert told.min() > 0
    assert told.mean() == pytest.approx(limit * math.exp(0.583), rel=0.06)


@pytest.mark.law
def test_all_starts_at_once_are_the_recursion() -> None:
    """For a step the sum over all supposed starts is R(n) = (1 + R(n-1)) L(n), bale by bale."""
    shape = np.full(80, 0.8)
    told = ideal_delays(shape, 50, np.random.default_rng(3), 1e4)
    chance, runs = np.random.default_rng(3), np.arange(50)
    statistic, expected = np.zeros(50), np.full(50, np.inf)
    for bale in range(80):
        seen = 0.8 + chance.standard_normal(len(runs))
        statistic[runs] = (1.0 + statistic[runs]) * np.exp(0.8 * seen - 0.32)
        over = statistic[runs] >= 1e4
        expected[runs[over]] = bale + 1
        runs = runs[~over]
    assert told.tolist() == expected.tolist()


@pytest.mark.published
def test_each_tenfold_run_length_costs_what_lorden_says() -> None:
    """log(1000) / divergence more bales for a run length a thousand times as long (Lorden 1971).

    The bound alone, to first order, is not the delay: the constant that it leaves out is worth
    some 50 bales for a break rate from 1 to 6 in 100.
    """
    chance = np.random.default_rng(11)
    shape = growing(1.0, 0, 200)
    step = [ideal_delays(shape, 400, chance, length).mean() for length in (1e3, 1e6)]
    assert step[1] - step[0] == pytest.approx(lorden_bales(0.5, 1e3), rel=0.1)
    rate = [
        ideal_rate_delays((0.01, 0.06), (2500, 2000), chance, length).mean()
        for length in (1e3, 1e6)
    ]
    information = information_of_rate(0.01, 0.06)
    assert rate[1] - rate[0] == pytest.approx(lorden_bales(information, 1e3), rel=0.08)
    slow = ideal_delays(growing(1.0, 200, 400), 100, chance).mean()
    assert step[1] < slow < step[1] + 200


@pytest.mark.law
def test_a_rate_in_order_runs_as_long_as_promised() -> None:
    """R(n) - n is a martingale: told no sooner than after A bales on average, A = 200."""
    told = ideal_rate_delays((0.05, 0.15), (20_000, 1500), np.random.default_rng(2), 200.0, 0.05)
    assert np.isfinite(told).all()
    assert told.mean() > 200.0


@pytest.mark.derived
def test_a_season_may_end_before_the_best_chart_can_tell() -> None:
    """Ten bales cannot tell a move of a tenth of a spread."""
    assert np.isinf(ideal_delays(np.full(10, 0.1), 20, np.random.default_rng(1))).all()


@pytest.mark.derived
def test_the_best_delay_of_a_planted_fault() -> None:
    """A bigger fault is told sooner, a growing one later, and what is not worked out is unknown."""
    step = Fault("k", "moderate", "step", 100, 0, "level", 1.0)
    severe, ramp = replace(step, size=2.0), replace(step, growth="ramp", growth_bales=100)
    assert least_bales(severe) < least_bales(step) < least_bales(ramp) < least_bales(step) + 100
    assert least_bales(replace(ramp, growth="jump then creep")) < least_bales(ramp)
    breaks = Fault("k", "severe", "step", 100, 0, "rate", 6.0, 0.01)
    assert 150 <= least_bales(breaks) <= 200  # what the trade is told to expect
    assert least_bales(replace(step, size=None)) is None
    assert least_bales(replace(step, family="silence")) is None
