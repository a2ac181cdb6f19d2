"""Whether readings show a value in its limits, and how many more would."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, stats

from balewright.plan.film.readings import Readings, read_again
from balewright.plan.film.settle import (
    Limits,
    Shown,
    chance_shown,
    chances,
    judge,
    readings_to_settle,
)
from balewright.quantities.errors import BadInput
from balewright.quantities.interval import Interval

LABEL = Limits(0.67, 0.73)


@pytest.mark.published
@pytest.mark.check(model="film.settle", source="powertost")
@pytest.mark.parametrize(
    ("cv", "truth", "low", "count", "power"),
    [(0.20, 0.95, 0.80, 20, 0.834680), (0.125, 0.975, 0.90, 32, 0.800218)],
)
def test_chance_inside_is_the_published_power_of_two_one_sided_tests(
    cv: float, truth: float, low: float, count: int, power: float
) -> None:
    """Crossover of `count`: error sqrt(2 ln(1 + CV^2)/n) on n - 2 degrees, 90 %; six digits."""
    error = math.sqrt(2.0 * math.log(1.0 + cv**2) / count)
    gaps = ((math.log(low / truth)) / error, (math.log(1.0 / (low * truth))) / error)
    assert round(chances(gaps, count - 2, 0.90)[0], 6) == power
    fewer = math.sqrt(2.0 * math.log(1.0 + cv**2) / (count - 2))
    gaps = ((math.log(low / truth)) / fewer, (math.log(1.0 / (low * truth))) / fewer)
    assert chances(gaps, count - 4, 0.90)[0] < 0.8  # the published n is the smallest even one


@pytest.mark.reference
@pytest.mark.check(model="film.settle", source="scipy-stats")
@pytest.mark.check(model="film.settle", source="scipy-integrate")
@settings(max_examples=20)
@given(st.floats(-6.0, 3.0), st.floats(0.5, 8.0), st.integers(1, 60))
def test_chances_are_those_of_the_library(low: float, wide: float, degrees: int) -> None:
    """Outside by the noncentral t; inside by adaptive integration over chi. To 1e-7."""
    high = low + wide
    inside, outside = chances((low, high), degrees, 0.95)
    reach = stats.t.ppf(0.975, degrees)
    theirs = stats.nct.cdf(-reach, degrees, -low) + stats.nct.sf(reach, degrees, -high)
    assert outside == pytest.approx(theirs, abs=1e-7)

    def at(ratio: float) -> float:
        hit = stats.norm.cdf(high - reach * ratio) - stats.norm.cdf(low + reach * ratio)
        root = math.sqrt(degrees)
        return float(hit * stats.chi.pdf(ratio * root, degrees) * root)

    theirs, _ = integrate.quad(at, 0.0, wide / (2.0 * reach), epsabs=1e-10)
    assert inside == pytest.approx(theirs, abs=1e-7)


@pytest.mark.law
def test_chances_come_out_in_simulation() -> None:
    """Of 20,000 series of six, as many are shown inside and outside, within 4 binomial errors."""
    rng = np.random.default_rng(11)
    for truth in (0.70, 0.725, 0.76):
        series = rng.normal(truth, 0.02, size=(20_000, 6))
        half = stats.t.ppf(0.975, 5) * series.std(axis=1, ddof=1) / math.sqrt(6)
        mean = series.mean(axis=1)
        inside = np.mean((mean - half >= 0.67) & (mean + half <= 0.73))
        outside = np.mean((mean + half < 0.67) | (mean - half > 0.73))
        told = chance_shown(Readings(6, truth, 0.02), LABEL, 6)
        assert told.inside_share == pytest.approx(inside, abs=0.015)
        assert told.outside_share == pytest.approx(outside, abs=0.015)


@pytest.mark.derived
@pytest.mark.parametrize(
    ("low", "high", "shown"),
    [
        (0.68, 0.72, Shown.INSIDE),
        (0.67, 0.73, Shown.INSIDE),
        (0.60, 0.66, Shown.BELOW),
        (0.74, 0.80, Shown.ABOVE),
        (0.66, 0.70, Shown.NOT_YET),
        (0.60, 0.80, Shown.NOT_YET),
    ],
)
def test_only_a_whole_interval_shows(low: float, high: float, shown: Shown) -> None:
    """Inside when all of it is, outside when all of it is on one side, else not yet."""
    assert judge(Interval(low, (low + high) / 2.0, high), LABEL) is shown
    assert judge(None, LABEL) is Shown.NOT_YET


@pytest.mark.law
def test_the_number_told_is_the_smallest_that_gives_the_assurance() -> None:
    """One fewer falls short of 80 %."""
    seen = read_again("stretch", (0.69, 0.74, 0.70, 0.68), 0.0, 2.0)
    total = readings_to_settle(seen, LABEL)
    assert total is not None
    assert total > seen.count

    def chance(count: int) -> float:
        told = chance_shown(seen, LABEL, count)
        return told.inside_share + told.outside_share

    assert chance(total) >= 0.8 > chance(total - 1)


@pytest.mark.derived
def test_a_truth_on_the_limit_is_never_settled() -> None:
    """Exactly at the limit no number of readings shows it; without scatter two do."""
    assert readings_to_settle(Readings(5, 0.73, 0.02), LABEL) is None
    assert readings_to_settle(Readings(5, 0.70, 0.0), LABEL) == 5


@pytest.mark.law
def test_what_cannot_be_is_refused() -> None:
    """Limits the wrong way round or no numbers; one reading; assurance beyond reach."""
    for low, high in ((0.7, 0.7), (0.8, 0.7), (float("nan"), 0.7), (0.1, float("inf"))):
        with pytest.raises(BadInput, match="limits"):
            Limits(low, high)
    with pytest.raises(BadInput, match="readings"):
        chance_shown(Readings(1, 0.7, None), LABEL, 5)
    for bad in (0.0, 1.0, float("nan")):
        with pytest.raises(BadInput, match="assurance_share"):
            readings_to_settle(Readings(5, 0.7, 0.02), LABEL, bad)


@pytest.mark.law
def test_judging_after_every_reading_is_wrong_more_often_than_it_says() -> None:
    """With the truth on a limit, 4000 series: judged once, 2.5 % are shown inside or outside each;
    judged after each of 3 to 20 readings until something is shown, several times that.
    """
    rng = np.random.default_rng(8)
    once = peeked = 0
    quantiles = {count: stats.t.ppf(0.975, count - 1) for count in range(3, 21)}
    for series in rng.normal(0.73, 0.02, (4000, 20)):
        shown = []
        for count in range(3, 21):
            seen = series[:count]
            half = quantiles[count] * seen.std(ddof=1) / math.sqrt(count)
            found = Interval(seen.mean() - half, seen.mean(), seen.mean() + half)
            shown.append(judge(found, Limits(0.60, 0.73)) is not Shown.NOT_YET)
        once += shown[-1]
        peeked += any(shown)
    assert once / 4000 == pytest.approx(0.05, abs=4.0 * math.sqrt(0.05 * 0.95 / 4000))
    assert peeked / 4000 > 0.12
