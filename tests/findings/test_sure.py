"""Shares and levels with their intervals."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from balewright.findings.sure import (
    bale_noise,
    lasting_noise,
    level_interval,
    share_interval,
)

#: Rank of the limits that hold the median with 95 % and more, for 6, 7, ... 65 readings: table 5.
RANKS = (
    *(1, 1, 1, 2, 2, 2, 3, 3, 3, 4, 4, 5, 5, 5, 6, 6, 6, 7, 7, 8),
    *(8, 8, 9, 9, 10, 10, 10, 11, 11, 12, 12, 13, 13, 13, 14, 14, 15, 15, 16, 16),
    *(16, 17, 17, 18, 18, 19, 19, 19, 20, 20, 21, 21, 22, 22, 22, 23, 23, 24, 24, 25),
)


@pytest.mark.published
@pytest.mark.check(model="findings.share", source="newcombe-1998")
@pytest.mark.parametrize(
    ("hits", "of", "low", "high"),
    # Newcombe, Stat. Med. 17:857-872, 1998, Table I, score method without continuity correction
    [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_share_has_the_published_interval(hits: int, of: int, low: float, high: float) -> None:
    """The score interval of a share is Newcombe's."""
    seen = share_interval(hits, of)
    assert (round(seen.low, 4), round(seen.high, 4)) == (low, high)


@pytest.mark.reference
@pytest.mark.check(model="findings.share", source="scipy-stats")
@given(st.integers(1, 5000), st.floats(0.0, 1.0))
def test_share_has_the_interval_of_the_library(of: int, share: float) -> None:
    """scipy's score interval of a binomial share, for any hits of any number."""
    hits = round(share * of)
    seen = share_interval(hits, of)
    theirs = stats.binomtest(hits, of).proportion_ci(0.95, method="wilson")
    assert (seen.low, seen.high) == pytest.approx((theirs.low, theirs.high), abs=1e-12)


@pytest.mark.published
@pytest.mark.check(model="findings.level", source="nair-median-ranks")
def test_median_lies_between_the_ranks_of_a_printed_table() -> None:
    """For each of 6 to 65 readings the interval ends at the printed rank from either end."""
    for count, rank in enumerate(RANKS, start=6):
        seen = level_interval(np.arange(1.0, count + 1))
        assert (seen.low, seen.high) == (rank, count + 1 - rank), count
    assert count == 65


@pytest.mark.published
@pytest.mark.check(model="findings.level", source="statpsych-median")
def test_median_of_a_worked_example() -> None:
    """Nineteen readings: median 20.7, limits 10.8 and 30.9."""
    values = (30.2, 20.4, 15.1, 10.2, 10.5, 60.8, 20.8, 25.0, 20.7, 30.9, 10.8, 5.1, 50.9, 40.0)
    seen = level_interval(np.array([*values, 20.9, 10.8, 0.0, 20.5, 50.8]))
    assert (seen.low, seen.best, seen.high) == (10.8, 20.7, 30.9)


@pytest.mark.reference
@pytest.mark.check(model="findings.level", source="scipy-stats")
@given(st.integers(6, 4000))
def test_ranks_are_those_of_the_binomial(count: int) -> None:
    """As many values lie outside as the library's binomial leaves 2.5 % or less for."""
    seen = level_interval(np.arange(1.0, count + 1))
    outside = round(seen.low)
    chance = stats.binom(count, 0.5)
    assert chance.cdf(outside - 1) <= 0.025 < chance.cdf(outside)


@pytest.mark.derived
@pytest.mark.parametrize(
    ("count", "lowest", "highest"),
    # sign test: the largest d with sum over i < d of C(n, i) / 2^n <= 0.025, by hand:
    # n = 6: 1/64 = 0.0156, so ranks 1 and 6; n = 10: 11/1024 = 0.0107, so ranks 2 and 9
    [(6, 1, 6), (10, 2, 9)],
)
def test_median_lies_between_the_ranks_of_the_sign_test(
    count: int, lowest: int, highest: int
) -> None:
    """The interval of a level runs from one order statistic to another."""
    seen = level_interval(np.arange(1.0, count + 1))
    assert (seen.low, seen.high, seen.confidence) == (lowest, highest, 0.95)


@pytest.mark.law
def test_few_readings_state_no_chance() -> None:
    """Five readings give their extremes and no confidence."""
    seen = level_interval(np.array([3.0, 1.0, 2.0, 5.0, 4.0]), 0.5)
    assert (seen.low, seen.best, seen.high, seen.confidence) == (0.5, 3.0, 5.5, None)


@pytest.mark.law
def test_what_is_no_share_is_refused() -> None:
    """More hits than bales is a fault of the caller."""
    with pytest.raises(ValueError, match="3 of 2 is no share"):
        share_interval(3, 2)


@pytest.mark.derived
def test_noise_is_that_of_the_bales_and_not_of_a_step() -> None:
    """Drawn noise of 0.02 is found again, with a step of 0.5 and a wild reading in it."""
    values = np.random.default_rng(2).normal(0.0, 0.02, 4000)
    values[2000:] += 0.5
    values[100] = 9.0
    assert bale_noise(values) == pytest.approx(0.02, rel=0.05)
    assert bale_noise(values[:9]) == 0.0


@pytest.mark.derived
@pytest.mark.parametrize("kept_share", [0.0, 0.5, 0.9])
def test_noise_that_lasts_counts_nearly_in_full(kept_share: float) -> None:
    """Noise of standard deviation 1, each value keeping that share of the one before. Its mean
    over 50 bales takes away (1 + r) / (1 - r) / 50 of the variance at most, 38 % at r = 0.9, so
    that at least 0.79 remains; the steps alone have only the square root of 1 - r."""
    fresh = np.random.default_rng(5).standard_normal(60_000)
    values = fresh.copy()
    for at in range(1, len(values)):
        values[at] = kept_share * values[at - 1] + np.sqrt(1 - kept_share**2) * fresh[at]
    assert bale_noise(values) == pytest.approx(np.sqrt(1 - kept_share), rel=0.03)
    remains = np.sqrt(1 - (1 + kept_share) / (1 - kept_share) / 50)
    assert lasting_noise(values) == pytest.approx(remains, rel=0.06)
    stepped = values + 8.0 * (np.arange(len(values)) > 20_000)
    assert lasting_noise(stepped) == pytest.approx(lasting_noise(values), rel=0.01)
