"""Readings over time: rising or falling, how surely, and when the next alarm would be reached."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize, stats

from balewright.plan.keeping.heating_sources import HeatAction, celsius
from balewright.plan.keeping.heating_trend import HeatReading, Trend, follow_heat
from balewright.quantities.errors import BadInput


def series(*pairs: tuple[float, float]) -> tuple[HeatReading, ...]:
    """Readings from (hours, C) pairs."""
    return tuple(HeatReading(at_h, hot_c) for at_h, hot_c in pairs)


RISING = series((0, 50.0), (12, 53.0), (24, 56.5), (36, 59.5))
readings = st.lists(
    st.tuples(st.integers(0, 400), st.floats(10.0, 95.0)),
    min_size=3,
    max_size=12,
    unique_by=lambda pair: pair[0],
).map(lambda pairs: series(*((float(at), hot) for at, hot in sorted(pairs))))


@pytest.mark.reference
def test_the_rate_is_scipys_slope() -> None:
    """The rate and its interval are scipy's, where the readings scatter more than the thermometer
    may be wrong; the first day is more than 48 h back and does not count.
    """
    scattered = series((0, 20.0), (60, 50.0), (72, 61.0), (84, 55.0), (96, 66.0), (108, 62.0))
    found = follow_heat(scattered, thermometer_c=0.1, confidence=0.90)
    assert found.used == 5
    theirs = stats.linregress([60, 72, 84, 96, 108], [50.0, 61.0, 55.0, 66.0, 62.0])
    assert found.rate_c_h is not None
    assert found.rate_c_h.best == pytest.approx(theirs.slope, rel=1e-9)
    half = stats.t.ppf(0.95, 3) * theirs.stderr
    assert found.rate_c_h.high - found.rate_c_h.best == pytest.approx(half, rel=1e-9)


@pytest.mark.reference
@pytest.mark.check(model="heating.reach", source="scipy-optimize")
@pytest.mark.parametrize("bump_c", [0.0, 1.5, -2.0])
def test_when_the_band_meets_the_alarm(bump_c: float) -> None:
    """Best, earliest and latest hour are the roots that scipy.optimize.brentq finds.

    The line is scipy's linregress, its band the textbook's; ours halves to a millionth of an hour.
    """
    hours, hot = [0.0, 8.0, 20.0, 30.0, 36.0], [50.0, 53.0, 54.0 + bump_c, 58.0, 60.0]
    found = follow_heat(series(*zip(hours, hot, strict=True)), thermometer_c=0.2)
    assert found.reach is not None
    x = np.array(hours) - hours[-1]
    theirs = stats.linregress(x, hot)
    left = np.array(hot) - theirs.intercept - theirs.slope * x
    about = math.sqrt(float(left @ left) / 3)
    assert about > 0.2  # the scatter, not the thermometer, makes the band

    def over(at_h: float, errors: float) -> float:
        wide = math.sqrt(1 / 5 + (at_h - x.mean()) ** 2 / float(np.var(x) * 5))
        alarm_c = found.reach.alarm_c if found.reach else math.nan
        return float(theirs.intercept + theirs.slope * at_h + errors * about * wide - alarm_c)

    reach_t = float(stats.t.ppf(0.95, 3))
    for hour, errors in (
        (found.reach.earliest_h, reach_t),
        (found.reach.best_h, 0.0),
        (found.reach.latest_h, -reach_t),
    ):
        assert hour == pytest.approx(optimize.brentq(over, 0.0, 400.0, (errors,)), abs=1e-5)


@pytest.mark.derived
def test_a_steady_rise_meets_its_alarm_on_time() -> None:
    """50 C and a quarter of a degree an hour: 150 F (65.6 C) after 62.2 h; 36 h are gone."""
    steady = series((0, 50.0), (12, 53.0), (24, 56.0), (36, 59.0))
    found = follow_heat(steady, thermometer_c=1.5)
    assert found.trend is Trend.RISING
    assert found.reach is not None
    # 59 + 1.5 C is read as 60.5 C: twice a day is due already, the next alarm is 150 F
    assert found.reach.action is HeatAction.OPEN_UP
    assert found.reach.best_h == pytest.approx((celsius(150) - 50.0) / 0.25 - 36.0, abs=1e-4)
    assert found.reach.latest_h is not None
    assert found.reach.earliest_h < found.reach.best_h < found.reach.latest_h
    assert found.next_h is not None
    assert found.next_h <= 12.0


@pytest.mark.derived
def test_two_readings_say_no_rate() -> None:
    """Too few readings: no rate, no forecast, but the advice and the next reading stand."""
    found = follow_heat(RISING[:2])
    assert found.trend is Trend.TOO_FEW
    assert found.rate_c_h is None
    assert found.reach is None
    assert found.next_h == 24.0


@pytest.mark.derived
def test_the_thermometers_error_makes_the_reading_hotter() -> None:
    """70.5 C read with a thermometer good to 1 C may be 71.5 C: the fire service is called."""
    assert follow_heat(series((0, 70.5))).advice.action is HeatAction.CALL
    assert follow_heat(series((0, 70.5)), thermometer_c=0.1).advice.action is HeatAction.OPEN_UP


@pytest.mark.derived
def test_small_changes_are_not_called_a_trend() -> None:
    """Half a degree over a day, with a thermometer good to 1 C, is not shown to be rising."""
    found = follow_heat(series((0, 40.0), (8, 40.2), (16, 40.3), (24, 40.5)))
    assert found.trend is Trend.NOT_SHOWN


@pytest.mark.derived
def test_cooling_is_told_and_never_forecast_hot() -> None:
    """A clear fall is called falling, and its line never meets an alarm."""
    found = follow_heat(series((0, 60.0), (12, 56.0), (24, 52.0), (36, 48.0)), thermometer_c=0.5)
    assert found.trend is Trend.FALLING
    assert found.reach is None or found.reach.best_h is None


@pytest.mark.derived
def test_a_fast_rise_shortens_the_wait() -> None:
    """Two degrees an hour towards 150 F: the next reading comes before the daily one would."""
    fast = series((0, 44.0), (2, 48.0), (4, 52.0), (6, 56.0))
    found = follow_heat(fast, thermometer_c=0.2)
    assert found.advice.check_h == 24.0
    assert found.next_h is not None
    assert 1.0 <= found.next_h < 3.0


@pytest.mark.law
@settings(max_examples=80)
@given(readings)
def test_the_next_reading_is_never_later_than_the_strictest_source(
    given_readings: tuple[HeatReading, ...],
) -> None:
    """A forecast only shortens the wait; its ends are in order; nothing is due when it burns."""
    found = follow_heat(given_readings)
    if found.advice.check_h is None:
        assert found.next_h is None
    else:
        assert found.next_h is not None
        assert 1.0 <= found.next_h <= found.advice.check_h
    if found.reach is not None:
        ends = (found.reach.earliest_h, found.reach.best_h, found.reach.latest_h)
        known = [end for end in ends if end is not None]
        assert known == sorted(known)
        assert found.reach.alarm_c > found.latest.temperature_c


@pytest.mark.law
@settings(max_examples=60)
@given(readings, st.integers(-500, 500))
def test_only_the_time_between_readings_counts(
    given_readings: tuple[HeatReading, ...], moved: int
) -> None:
    """The clock's zero does not matter."""
    later = tuple(HeatReading(one.at_h + moved, one.temperature_c) for one in given_readings)
    here, there = follow_heat(given_readings), follow_heat(later)
    assert here.trend == there.trend
    assert here.advice == there.advice
    assert here.next_h == pytest.approx(there.next_h, abs=1e-3)


@pytest.mark.law
@settings(max_examples=30)
@given(st.integers(0, 10_000))
def test_the_rates_interval_holds_as_often_as_it_says(seed: int) -> None:
    """Of 150 noisy series about a known rise, 90 % intervals hold it in 78 to 100 %.

    The standard error is 2.4 points, so the bound is five of them away; the residual's floor at
    the thermometer's error makes the intervals a little wide, never narrow.
    """
    chance = np.random.default_rng(seed)
    held = 0
    for _ in range(150):
        noise = chance.normal(0.0, 1.0, 5)
        found = follow_heat(
            series(*((8.0 * i, 45.0 + 0.1 * 8.0 * i + float(noise[i])) for i in range(5)))
        )
        assert found.rate_c_h is not None
        held += found.rate_c_h.holds(0.1)
    assert held / 150 >= 0.78


@pytest.mark.own
@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf, 1e9])
def test_absurd_readings_are_refused(bad: float) -> None:
    """NaN, infinities and absurd numbers are BadInput wherever they stand."""
    for call in (
        lambda: follow_heat(series((0, bad))),
        lambda: follow_heat(series((bad, 50.0))),
        lambda: follow_heat(RISING, thermometer_c=bad),
        lambda: follow_heat(RISING, confidence=bad),
    ):
        with pytest.raises(BadInput):
            call()


@pytest.mark.own
def test_readings_out_of_order_or_none_are_refused() -> None:
    """No reading at all, and times that stand still or go back."""
    with pytest.raises(BadInput, match="readings"):
        follow_heat(())
    with pytest.raises(BadInput, match="hours that grow"):
        follow_heat(series((2, 50.0), (2, 51.0)))
