"""Layers after any course of wrapping."""

from __future__ import annotations

import math
from dataclasses import fields

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.plan.film.count_course import count_course
from balewright.plan.film.course import Course, Leg, course_of
from balewright.plan.film.crossings import Wrapping
from balewright.plan.film.flats import FlatCount
from balewright.plan.film.layers import Bale, LayerCount, count_layers
from balewright.quantities.errors import BadInput

BALE = Bale(1.25, 1.23)


def numbers(count: LayerCount | FlatCount) -> list[float]:
    """Every number of a count but where its widest thin stretch lies: equals may change places."""
    given = [(field.name, getattr(count, field.name)) for field in fields(count)]
    kept = [value for name, value in given if name != "thin_at_frac"]
    return [float(value) for value in kept if isinstance(value, int | float)]


@pytest.mark.law
@settings(max_examples=60)
@given(
    first=st.integers(1, 40),
    second=st.none() | st.integers(0, 40),
    bale_turn=st.floats(0.03, 0.4),
    alone=st.none() | st.floats(0.03, 0.4),
    strip_m=st.floats(0.2, 0.9),
)
def test_a_simple_wrapping_counts_the_same_as_a_course(
    first: int, second: int | None, bale_turn: float, alone: float | None, strip_m: float
) -> None:
    """count_course(course_of(wrapping)) is count_layers(wrapping), number for number.

    Spots below 1e-9 of the girth may join or not by rounding, a hundred edges at most: 1e-6
    leaves room for that and still sees any strip that is missing.
    """
    turns = (first / 2.0,) if second is None else (first / 2.0, second / 2.0)
    wrapping = Wrapping(strip_m, bale_turn, turns, 6, 2, bale_turn_one_roll=alone)
    planned = count_layers(BALE, wrapping)
    told = count_course(BALE, strip_m, course_of(wrapping), 6, 2)
    assert numbers(told) == pytest.approx(numbers(planned), abs=1e-6)
    for ours, theirs in zip(told.flats, planned.flats, strict=True):
        assert numbers(ours) == pytest.approx(numbers(theirs), abs=1e-6)


@pytest.mark.law
def test_a_course_in_which_no_film_ran_leaves_the_bale_bare() -> None:
    """Both rolls out from the start: no layer anywhere, all of it short."""
    count = count_course(BALE, 0.6, Course((Leg(12.0, (False, False), 0.125),)), 4)
    assert (count.thinnest_anywhere, count.short_frac, count.flat.short_frac) == (0, 1.0, 1.0)


@pytest.mark.law
@given(
    turns=st.floats(0.6, 20.0),
    lost=st.floats(0.3, 20.0),
    bale_turn=st.floats(0.03, 0.4),
    strip_m=st.floats(0.2, 0.9),
)
@settings(max_examples=60)
def test_film_area_is_conserved(
    turns: float, lost: float, bale_turn: float, strip_m: float
) -> None:
    """Layers averaged over the round side are the strips laid, whatever went wrong meanwhile."""
    course = Course(
        (Leg(lost, (True, True), bale_turn), Leg(turns, (True, False), bale_turn, rolled_turn=0.3))
    )
    count = count_course(BALE, strip_m, course, 6)
    halves = math.floor(2 * (lost + turns) + 1e-9) + math.floor(2 * lost + 1e-9)
    expected = halves * strip_m / (math.pi * BALE.diameter_m)
    assert count.round_mean == pytest.approx(expected, rel=1e-9, abs=1e-12)


@pytest.mark.law
@pytest.mark.parametrize("strip_m", [float("nan"), float("inf"), 0.0, -0.6, 2.5])
def test_a_strip_that_cannot_be_is_refused(strip_m: float) -> None:
    """Not a number, nothing, or reaching round half the bale."""
    with pytest.raises(BadInput, match="strip_m"):
        count_course(BALE, strip_m, Course((Leg(12.0, (True,), 0.125),)), 4)


@pytest.mark.law
@pytest.mark.parametrize(("need", "binding"), [(0, 0), (41, 0), (4, -1), (4, 41)])
def test_layers_that_cannot_be_are_refused(need: int, binding: int) -> None:
    """One to forty layers are wanted; none to forty are binding film."""
    with pytest.raises(BadInput, match="layers"):
        count_course(BALE, 0.6, Course((Leg(12.0, (True,), 0.125),)), need, binding)
