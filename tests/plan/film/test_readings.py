"""Repeated readings and the interval for their mean."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from balewright.plan.film.readings import read_again
from balewright.quantities.errors import BadInput


@pytest.mark.published
@pytest.mark.check(model="film.readings", source="umsl-t-interval")
def test_worked_interval_of_a_course() -> None:
    """Eight differences: mean -1.25, sd 50.55, 95 % from -43.51131 to 41.01131."""
    found = read_again("points", (-30, 30, -40, -40, 80, 60, -50, -20), -100, 100)
    interval = found.interval()
    assert interval is not None
    assert (found.mean, round(found.spread or 0.0, 2)) == (-1.25, 50.55)
    assert (round(interval.low, 5), round(interval.high, 5)) == (-43.51131, 41.01131)


@pytest.mark.published
@pytest.mark.check(model="film.readings", source="seven-containers")
def test_seven_containers() -> None:
    """9.8, 10.2, 10.4, 9.8, 10.0, 10.2 and 9.6 l: 95 % from 9.738 to 10.262, three places."""
    interval = read_again("litres", (9.8, 10.2, 10.4, 9.8, 10.0, 10.2, 9.6), 0.0, 100.0).interval()
    assert interval is not None
    assert (round(interval.low, 3), round(interval.high, 3)) == (9.738, 10.262)


@pytest.mark.reference
@settings(max_examples=40)
@given(st.lists(st.floats(0.1, 0.3), min_size=2, max_size=30), st.floats(0.5, 0.99))
def test_interval_is_that_of_the_library(values: list[float], confidence: float) -> None:
    """scipy.stats.t.interval with the standard error of the mean."""
    interval = read_again("length_m", values, 0.0, 1.0).interval(confidence)
    assert interval is not None
    if max(values) - min(values) < 1e-9:
        return  # the library gives NaN for no scatter
    theirs = stats.t.interval(
        confidence, len(values) - 1, loc=np.mean(values), scale=stats.sem(values)
    )
    assert (interval.low, interval.high) == pytest.approx(theirs, rel=1e-7, abs=1e-12)


@pytest.mark.law
def test_intervals_cover_as_often_as_they_say() -> None:
    """Of 4000 series of five, 95 % hold the truth, within four binomial errors (1.4 points)."""
    rng = np.random.default_rng(20260101)
    series = rng.normal(0.17, 0.004, size=(4000, 5))
    covered = 0
    for one in series:
        interval = read_again("length_m", one.tolist(), 0.0, 1.0).interval()
        assert interval is not None
        covered += interval.holds(0.17)
    assert covered / 4000 == pytest.approx(0.95, abs=4.0 * math.sqrt(0.95 * 0.05 / 4000))


@pytest.mark.law
def test_a_single_reading_has_no_interval() -> None:
    """One number shows no scatter: unknown, not zero."""
    found = read_again("length_m", (0.17,), 0.0, 1.0)
    assert (found.spread, found.mean_spread, found.interval()) == (None, None, None)
    assert found.part("length", 0.001).spread == 0.001


@pytest.mark.law
@pytest.mark.parametrize(
    "values", [(), (float("nan"),), (float("inf"), 0.1), (-0.1,), (0.17, 17.0), (0.1,) * 10_001]
)
def test_readings_that_cannot_be_are_refused(values: tuple[float, ...]) -> None:
    """None at all, not a number, below nothing, in another unit, far too many."""
    with pytest.raises(BadInput, match="length_m"):
        read_again("length_m", values, 0.0, 1.0)
