"""Turns that make a real bale good, and what each fault put right would give."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.plan.film.count_course import count_course
from balewright.plan.film.course import Course, Leg
from balewright.plan.film.from_here import Need
from balewright.plan.film.layers import Bale
from balewright.plan.film.laying import Laying, binding_film, slipping
from balewright.plan.film.real_bale import count_real_bale
from balewright.plan.film.real_turns import (
    Amiss,
    judge_real,
    more_turns,
    put_right,
    with_more_turns,
)
from balewright.plan.film.shape import Shape, shape_of
from balewright.plan.film.tipped import judge_tipped
from balewright.plan.film.turns import turns_needed
from balewright.quantities.errors import BadInput

FAT = Bale(1.45, 1.23)
TURN = 0.491 / (math.pi * 1.45)


def course(turns: float, rolls: int = 2) -> Course:
    """One leg at the turn of a fat bale."""
    return Course((Leg(turns, (True,) * rolls, TURN),))


@pytest.mark.derived
def test_a_plain_fat_bale_needs_two_turns_more() -> None:
    """At 1.45 m and an advance of 0.491 m, 12 turns are short of 6 and 14 are not.

    Source: computed twice, independently of this code, and `turns_needed`. The flat sides of such
    a bale are good by then too.
    """
    assert turns_needed(FAT, 0.60, TURN, 2, 6) == 14
    assert more_turns(shape_of(FAT), Laying(0.60), course(12.0), 6) == 2
    assert more_turns(shape_of(FAT), Laying(0.60), course(14.0), 6) == 0


@pytest.mark.law
@settings(max_examples=12)
@given(st.floats(-0.1, 0.1), st.floats(0.0, 1.0), st.integers(8, 14), st.sampled_from([0.0, 0.01]))
def test_the_turns_named_are_enough_and_one_less_is_not(
    height_m: float, skew: float, turns: int, allowed_m: float
) -> None:
    """What is named leaves no stretch wider than allowed, and one turn less leaves one."""
    shape, laying = Shape(1.30, 1.36, 1.32, 1.23, 0.05), Laying(0.6, height_m, skew_share=skew)
    begun = course(float(turns))
    more = more_turns(shape, laying, begun, 5, allowed_m)
    assert more is not None
    enough = count_real_bale(shape, laying, with_more_turns(begun, more), 5)
    assert enough.wrap.sliver_m <= allowed_m
    if more > 0:
        fewer = count_real_bale(shape, laying, with_more_turns(begun, more - 1), 5)
        assert fewer.wrap.sliver_m > allowed_m


@pytest.mark.derived
def test_turns_go_on_as_they_ended() -> None:
    """The rolls that ran last go on, at the turning the bale ended with."""
    legs = (Leg(6.0, (True, True), 0.12), Leg(6.0, (True, False), 0.12, end_bale_turn=0.10))
    last = with_more_turns(Course(legs), 4).legs[-1]
    assert (last.turns, last.running, last.bale_turn) == (4.0, (True, False), 0.10)
    assert with_more_turns(Course(legs), 0) == Course(legs)


@pytest.mark.derived
def test_a_middle_that_film_never_crosses_is_not_made_good() -> None:
    """Film 0.32 m off mid-height with a strip of 0.6 m leaves the flat sides' middle bare."""
    laying = Laying(0.6, off_height_m=0.32)
    assert more_turns(shape_of(FAT), laying, course(12.0), 6) is None


@pytest.mark.law
@settings(max_examples=30)
@given(st.floats(1.1, 1.6), st.integers(2, 16), st.integers(1, 2), st.integers(1, 8), st.booleans())
def test_a_plain_bale_is_judged_as_the_simple_one_is(
    across_m: float, turns: int, rolls: int, need: int, lax: bool
) -> None:
    """On a straight cylinder the verdict, its reasons and layers to add are the simple count's."""
    bale, allowed_m = Bale(across_m, 1.23), 0.05 if lax else 0.0
    went = Course((Leg(float(turns), (True,) * rolls, 0.491 / (math.pi * across_m)),))
    simple = judge_tipped(bale, count_course(bale, 0.6, went, need), Need(need, 0, allowed_m))
    count = count_real_bale(shape_of(bale), Laying(0.6), went, need)
    real = judge_real(shape_of(bale), Laying(0.6), went, count, allowed_m)
    assert (real.verdict, real.more_layers) == (simple.verdict, simple.more_layers)
    assert [one.key for one in real.reasons] == [one.key for one in simple.reasons]


@pytest.mark.derived
def test_binding_film_counts_where_it_lies() -> None:
    """Four layers and three of binding film: the round side has seven, the flat sides decide."""
    laying = Laying(0.6, binding=binding_film(3.0, 2.0))
    went = course(8.0)
    count = count_real_bale(shape_of(FAT), laying, went, 6)
    judged = judge_real(shape_of(FAT), laying, went, count)
    flats = [one.thinnest for one in count.wrap.sides[1:]]
    assert count.bound.thinnest == min(flats)
    assert judged.more_layers == 6 - min(flats)


@pytest.mark.law
def test_a_bale_with_nothing_amiss_but_one_thing() -> None:
    """One fault put right is the plain bale; a bale without faults has nothing to put right."""
    plain = count_real_bale(shape_of(FAT), Laying(0.6), course(14.0), 6).wrap
    went = course(14.0)
    (found,) = put_right(shape_of(FAT), Laying(0.6, off_height_m=0.1), (went, went), 6)
    assert found.amiss is Amiss.OFF_HEIGHT
    assert (found.thinnest, found.short_frac) == (plain.thinnest, plain.short_frac)
    assert put_right(shape_of(FAT), Laying(0.6), (went, went), 6) == ()


@pytest.mark.derived
def test_faults_are_told_apart_and_the_best_help_comes_first() -> None:
    """Five faults give five answers in order of the share short that each leaves."""
    laying = Laying(0.6, 0.05, 0.05, 0.0, 0.5, 2)
    courses = (slipping(course(14.0), 0.2), course(14.0))
    found = put_right(Shape(1.40, 1.45, 1.38, 1.23), laying, courses, 6)
    assert {one.amiss for one in found} == set(Amiss)
    shares = [one.short_frac for one in found]
    assert shares == sorted(shares)


@pytest.mark.law
@pytest.mark.parametrize("bad", [-0.01, 2.0, math.nan, math.inf])
def test_absurd_slivers_are_refused(bad: float) -> None:
    """A sliver that may stay is a width of some millimetres."""
    with pytest.raises(BadInput, match="allowed_sliver_m"):
        more_turns(shape_of(FAT), Laying(0.6), course(12.0), 6, bad)
