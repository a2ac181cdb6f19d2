"""What a tape on a wrapped bale tells."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.plan.film.course import Course, Leg, crossings
from balewright.plan.film.on_bale import (
    Taped,
    neck_in_on_bale,
    stretch_on_bale,
    turning_on_bale,
)
from balewright.plan.film.strip import strip_width_m
from balewright.quantities.errors import BadInput
from balewright.quantities.interval import Interval


@pytest.mark.law
@settings(max_examples=40)
@given(bale_turn=st.floats(0.06, 0.2), dispensers=st.integers(1, 2), diameter_m=st.floats(0.9, 1.8))
def test_the_step_is_where_the_next_strip_falls(
    bale_turn: float, dispensers: int, diameter_m: float
) -> None:
    """Strips laid by the course lie a step apart, and that step gives the bale's turn back."""
    turns = max(1.5, 0.4 / bale_turn)  # not once round, so nothing lies between two neighbours
    course = Course((Leg(turns, (True,) * dispensers, bale_turn),))
    first, *others = (one.round_turn for one in crossings(course))
    apart = [abs((place - first + 0.5) % 1.0 - 0.5) for place in others]
    girth_m = math.pi * diameter_m
    step_m = min(apart) * girth_m
    found = turning_on_bale(Taped(diameter_m, dispensers, (0.6,), (step_m,)))
    assert found.bale_turn.best == pytest.approx(bale_turn, rel=1e-9)
    assert found.advance_m.best == pytest.approx(bale_turn * girth_m, rel=1e-9)


@pytest.mark.derived
def test_half_overlap_by_hand() -> None:
    """Strips of 0.60 m a step of 0.30 m apart overlap by half; one dispenser: 0.30 m a turn."""
    found = turning_on_bale(Taped(1.25, 1, (0.60, 0.61, 0.59), (0.30, 0.31, 0.29)))
    assert found.overlap_frac.best == pytest.approx(0.5)
    assert found.advance_m.best == pytest.approx(0.30)
    assert found.bale_turn.best == pytest.approx(0.30 / (math.pi * 1.25))
    two = turning_on_bale(Taped(1.25, 2, (0.60,), (0.2455,)))
    assert two.advance_m.best == pytest.approx(0.491)


@pytest.mark.law
@settings(max_examples=40)
@given(st.floats(0.3, 1.0), st.floats(0.05, 0.5))
def test_neck_in_and_stretch_are_the_inverse_of_the_strip(
    stretch_frac: float, exponent: float
) -> None:
    """The width of the forward model gives back the exponent, and the stretch it was made with."""
    width_m = strip_width_m(0.75, stretch_frac, exponent)
    found = neck_in_on_bale((width_m,), 0.75, (stretch_frac, 0.03))
    assert found.best == pytest.approx(exponent, rel=1e-9)
    sure = stretch_on_bale((width_m,), 0.75, Interval(exponent, exponent, exponent))
    assert sure.best == pytest.approx(stretch_frac, rel=1e-9)


@pytest.mark.law
def test_intervals_cover_as_often_as_they_say() -> None:
    """Four widths and four steps with a tape's scatter, a diameter 2 cm off: 95 % hold k.

    3000 series, within four binomial errors; joined degrees err to the wide side, by 2.5 points.
    """
    rng = np.random.default_rng(5)
    truth = 0.491 / (math.pi * 1.25)
    covered = 0
    for _ in range(3000):
        steps = tuple((0.491 / 2 + rng.normal(0.0, 0.006, 4)).tolist())
        around = 1.25 + rng.normal(0.0, 0.02)
        covered += turning_on_bale(Taped(around, 2, (0.6,), steps)).bale_turn.holds(truth)
    error = math.sqrt(0.95 * 0.05 / 3000)
    assert 0.95 - 4.0 * error <= covered / 3000 <= 0.975 + 4.0 * error


@pytest.mark.derived
def test_width_alone_says_little_of_the_stretch() -> None:
    """With the neck-in that the sources leave open, 0.595 m may be anything over 25 points."""
    found = stretch_on_bale((0.595, 0.597, 0.593), 0.75)
    assert found.high - found.low > 0.2


@pytest.mark.law
@pytest.mark.parametrize("bad", [float("nan"), float("inf"), 0.0, -0.6, 60.0])
def test_readings_that_cannot_be_are_refused(bad: float) -> None:
    """Not a number, nothing, in another unit."""
    with pytest.raises(BadInput):
        turning_on_bale(Taped(1.25, 2, (bad,), (0.3,)))
    with pytest.raises(BadInput):
        turning_on_bale(Taped(1.25, 2, (0.6,), (bad,)))
    with pytest.raises(BadInput):
        Taped(bad, 2, (0.6,), (0.3,))
    with pytest.raises(BadInput):
        neck_in_on_bale((0.6,), bad, (0.7, 0.03))
    with pytest.raises(BadInput):
        stretch_on_bale((bad,), 0.75)
    with pytest.raises(BadInput, match="dispensers"):
        Taped(1.25, 3, (0.6,), (0.3,))
    with pytest.raises(BadInput, match="neck_in"):
        stretch_on_bale((0.6,), 0.75, Interval(0.0, 0.3, 0.5))
