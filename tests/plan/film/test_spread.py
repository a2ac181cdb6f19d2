"""How a quantity is spread."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from balewright.plan.film.spread import Spread, SpreadShape, even, exact, normal
from balewright.quantities.errors import BadInput
from balewright.quantities.interval import Interval

NUMBERS = np.linspace(-6.0, 6.0, 49)
CHANCES = stats.norm.cdf(NUMBERS)


@pytest.mark.reference
@pytest.mark.check(model="film.spread", source="scipy-stats")
def test_cut_off_spreads_are_those_of_the_library() -> None:
    """Normal, normal cut off on both sides, Student's and even: values and chances, to 1e-9."""
    student = Spread(SpreadShape.STUDENT, 1.25, 0.03, 6)
    pairs = [
        (normal(1.25, 0.03), stats.norm(1.25, 0.03)),
        (
            normal(0.437, 0.05).within(0.0, 0.5),
            stats.truncnorm((0.0 - 0.437) / 0.05, (0.5 - 0.437) / 0.05, 0.437, 0.05),
        ),
        (student, stats.t(6, 1.25, 0.03)),
        (even(Interval(0.33, 0.4, 0.45)), stats.uniform(0.33, 0.12)),
    ]
    for ours, theirs in pairs:
        values = ours.at(NUMBERS)
        assert values == pytest.approx(theirs.ppf(CHANCES), abs=1e-9)
        at = np.linspace(theirs.ppf(0.001), theirs.ppf(0.999), 21)
        assert ours.chance_below(at) == pytest.approx(theirs.cdf(at), abs=1e-9)
    assert student.deviation == pytest.approx(stats.t(6, 1.25, 0.03).std())


@pytest.mark.law
@given(
    best=st.floats(0.3, 3.0),
    spread=st.floats(1e-4, 0.5),
    cut=st.floats(0.05, 3.0),
    shape=st.sampled_from(SpreadShape),
)
def test_values_rise_with_their_number_and_stay_inside(
    best: float, spread: float, cut: float, shape: SpreadShape
) -> None:
    """Cut off anywhere, values rise, stay between the ends and lie at their chance."""
    one = Spread(shape, best, spread, 5).within(best - cut * spread, best + 2 * cut * spread)
    values = one.at(NUMBERS)
    assert (np.diff(values) >= 0.0).all()
    assert values.min() >= best - cut * spread - 1e-12
    assert values.max() <= best + 2 * cut * spread + 1e-12
    middle = slice(12, -12)
    assert one.chance_below(values[middle]) == pytest.approx(CHANCES[middle], abs=1e-6)


@pytest.mark.derived
def test_what_never_varies_is_a_step() -> None:
    """No spread: one value for every number, and a chance of 0 below it and 1 from it on."""
    still = exact(1.25)
    assert still.at(NUMBERS).tolist() == [1.25] * len(NUMBERS)
    assert still.chance_below(np.array([1.2499, 1.25, 1.3])).tolist() == [0.0, 1.0, 1.0]
    assert still.deviation == 0.0
    assert normal(1.0, 0.1).around(2.0) == normal(2.0, 0.1)


@pytest.mark.law
@pytest.mark.parametrize("bad", [math.nan, math.inf, -0.01])
def test_a_spread_that_cannot_be_is_refused(bad: float) -> None:
    """NaN, infinities and below zero are no spread; nor is a best value beyond what can be."""
    with pytest.raises(BadInput, match="spread"):
        normal(1.25, bad)
    with pytest.raises(BadInput, match="best"):
        normal(1.25, 0.1).within(2.0, 3.0)
    with pytest.raises(BadInput, match="freedom"):
        Spread(SpreadShape.STUDENT, 1.0, 0.1, 2)
