"""What recorded values say of a spread."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from balewright.plan.film.recorded_spread import recorded_spread, stretches_from_metres
from balewright.plan.film.strip import Bale, roll_metres_m
from balewright.quantities.errors import BadInput


def readings(number: int, best: float, deviation: float) -> np.ndarray:
    """So many values with exactly this mean and standard deviation."""
    values = np.linspace(-1.0, 1.0, number)
    return best + deviation * values / values.std(ddof=1)


@pytest.mark.published
@pytest.mark.check(model="film.recorded_spread", source="boost-deviation-limits")
@pytest.mark.parametrize(
    ("number", "low", "high"),
    [
        (5, 0.5991, 2.8736),
        (6, 0.6242, 2.4526),
        (7, 0.6444, 2.2021),
        (10, 0.6878, 1.8256),
        (20, 0.7605, 1.4606),
        (50, 0.8353, 1.2461),
        (100, 0.8780, 1.1617),
        (1000, 0.9580, 1.0459),
    ],
)
def test_limits_of_a_deviation(number: int, low: float, high: float) -> None:
    """95 % limits for a deviation of 1 by number of readings, as published to four decimals."""
    found = recorded_spread(readings(number, 0.0, 1.0))
    assert found is not None
    assert found.deviation.best == pytest.approx(1.0)
    assert found.deviation.low == pytest.approx(low, abs=6e-5)
    assert found.deviation.high == pytest.approx(high, abs=6e-5)


@pytest.mark.published
@pytest.mark.check(model="film.recorded_spread", source="boost-deviation-limits")
def test_limits_of_the_gear_data() -> None:
    """A hundred gears with a deviation of 0.0062789: between 0.00551 and 0.00729, as published."""
    found = recorded_spread(readings(100, 0.998, 0.0062789))
    assert found is not None
    assert found.deviation.low == pytest.approx(0.00551, abs=5e-6)
    assert found.deviation.high == pytest.approx(0.00729, abs=5e-6)


@pytest.mark.published
@pytest.mark.check(model="film.next_bale", source="student-table")
@pytest.mark.parametrize(
    ("number", "at_95", "at_975"),
    [(5, 2.13, 2.78), (6, 2.02, 2.57), (10, 1.83, 2.26), (21, 1.73, 2.09), (31, 1.70, 2.04)],
)
def test_the_next_bale_by_the_printed_table(number: int, at_95: float, at_975: float) -> None:
    """From n readings of deviation 1 the next lies below t sqrt(1 + 1/n) with 95 and 97.5 %.

    t for n - 1 degrees of freedom as printed, to two decimals.
    """
    found = recorded_spread(readings(number, 10.0, 1.0))
    assert found is not None
    wider = math.sqrt(1.0 + 1.0 / number)
    at = found.next_bale.at(stats.norm.ppf([0.95, 0.975]))
    assert (at - 10.0) / wider == pytest.approx([at_95, at_975], abs=6e-3)


@pytest.mark.published
@pytest.mark.check(model="film.next_bale", source="alloy-adhesion")
def test_the_twenty_third_specimen() -> None:
    """Twenty-two loads at failure: the next lies between 6.16 and 21.26 with 95 %.

    Montgomery & Runger, Applied Statistics and Probability for Engineers, examples 8-4 and 8-8.
    They round mean and deviation to two places (13.71, 3.55) first, which moves the ends by 0.02.
    """
    loads = (
        *(19.8, 10.1, 14.9, 7.5, 15.4, 15.4, 15.4, 18.5, 7.9, 12.7, 11.9, 11.4),
        *(11.4, 14.1, 17.6, 16.7, 15.8, 19.5, 8.8, 13.6, 11.9, 11.4),
    )
    found = recorded_spread(np.array(loads))
    assert found is not None
    assert (round(np.mean(loads), 2), round(found.deviation.best, 2)) == (13.71, 3.55)
    ends = found.next_bale.at(stats.norm.ppf([0.025, 0.975]))
    assert ends == pytest.approx([6.16, 21.26], abs=0.02)


@pytest.mark.reference
def test_limits_and_next_bale_by_the_library() -> None:
    """Both are those of the library's chi-squared and t for uneven values with some unknown."""
    values = np.array([1.24, 1.29, math.nan, 1.21, 1.26, 1.33, math.nan, 1.25, 1.22])
    known = values[~np.isnan(values)]
    found = recorded_spread(values)
    assert found is not None
    number, deviation = len(known), known.std(ddof=1)
    assert found.readings == number
    squares = (number - 1) * deviation**2
    limits = [math.sqrt(squares / stats.chi2.ppf(at, number - 1)) for at in (0.975, 0.025)]
    assert [found.deviation.low, found.deviation.high] == pytest.approx(limits, rel=1e-9)
    scale = deviation * math.sqrt(1 + 1 / number)
    ends = stats.t.interval(0.9, number - 1, known.mean(), scale)
    assert found.next_bale.at(stats.norm.ppf([0.05, 0.95])) == pytest.approx(ends, rel=1e-9)


@pytest.mark.law
def test_the_next_bale_falls_inside_as_often_as_it_says() -> None:
    """Six readings of a normal quantity: the next is below the 80 % value in 80 % of 4000 tries.

    Within five standard errors of a share (0.032).
    """
    chance = np.random.default_rng(5)
    tries, hits = 4000, 0
    values = chance.normal(1.25, 0.03, (tries, 7))
    number = stats.norm.ppf([0.8])
    for row in values:
        found = recorded_spread(row[:6])
        assert found is not None
        hits += bool(row[6] <= found.next_bale.at(number)[0])
    assert hits / tries == pytest.approx(0.8, abs=5 * math.sqrt(0.8 * 0.2 / tries))


@pytest.mark.derived
@pytest.mark.parametrize("known", [0, 1, 4])
def test_too_few_readings_say_nothing(known: int) -> None:
    """Four known values among many unknown ones give no spread, not a spread of zero."""
    values = np.full(50, math.nan)
    values[:known] = 1.25
    assert recorded_spread(values) is None


@pytest.mark.law
@given(st.floats(0.2, 1.5), st.integers(8, 40), st.floats(0.8, 1.8))
def test_metres_come_back_as_stretch(stretch: float, turns: int, diameter_m: float) -> None:
    """The metres that a stretch takes off the rolls give that stretch back; unknown stays so."""
    metres = roll_metres_m(Bale(diameter_m, 1.2), turns, stretch)
    found = stretches_from_metres([metres, math.nan, 0.0], [turns] * 3, [diameter_m] * 3, 1.2)
    assert found[0] == pytest.approx(stretch)
    assert np.isnan(found[1:]).all()


@pytest.mark.law
@pytest.mark.parametrize("bad", [[1.2, math.inf] * 5, [1e9] * 9, [[1.2] * 9]], ids=str)
def test_values_that_cannot_be_are_refused(bad: list[float]) -> None:
    """Infinities, absurd values and tables are no column of readings."""
    with pytest.raises(BadInput, match="values"):
        recorded_spread(bad)
    with pytest.raises(BadInput, match="film_m"):
        stretches_from_metres([60.0], [24.0, 24.0], [1.2], 1.2)
