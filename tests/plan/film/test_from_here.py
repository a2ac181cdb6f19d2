"""How to go on from a bale that did not get its film."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.plan.film.count_course import count_course
from balewright.plan.film.course import Course, Leg
from balewright.plan.film.events import Happening, Running, What, tell_story
from balewright.plan.film.from_here import (
    Need,
    areas_short,
    layers_missing,
    turns_from_here,
    ways_on,
)
from balewright.plan.film.layers import Bale, Wrapping
from balewright.plan.film.turns import turns_after_loss
from balewright.quantities.errors import BadInput

BALE = Bale(1.25, 1.23)
ADVANCE_TURN = 0.491 / (math.pi * 1.25)


def story_after(at: float, made: float):  # type: ignore[no-untyped-def]
    """Roll 2 lost at `at`, the wrapper stopped after `made` turns."""
    plan = Running(made, 2, ADVANCE_TURN)
    return plan, tell_story(plan, (Happening(at, What.RUNS_OUT, 2),))


@pytest.mark.derived
@pytest.mark.parametrize(("lost", "total"), [(3, 24), (6, 20), (9, 16), (11, 16)])
def test_the_roll_that_is_left_must_reach_what_was_computed_twice(lost: int, total: int) -> None:
    """One of two rolls lost after 3, 6, 9, 11 of 12 turns: 24, 20, 16, 16 turns make 6 layers."""
    plan, story = story_after(lost, lost)
    alone = next(way for way in ways_on(BALE, 0.60, plan, story, Need(6)) if sum(way.running) == 1)
    assert alone.good_at_turn == total
    assert alone.turns_from_now == total - lost
    plan, story = story_after(lost, 12)
    later = next(way for way in ways_on(BALE, 0.60, plan, story, Need(6)) if sum(way.running) == 1)
    assert later.good_at_turn == total


@pytest.mark.derived
def test_doubling_what_is_left_is_wrong() -> None:
    """After 6 of 12 turns doubling stops at 18, and 18 leave the bale short."""
    _, story = story_after(6, 18)
    count = count_course(BALE, 0.60, story.course, 6)
    assert count.thinnest < 6
    assert count.short_frac > 0.05


@pytest.mark.law
@settings(max_examples=25)
@given(lost=st.integers(0, 12), need=st.integers(2, 8), strip_m=st.floats(0.4, 0.8))
def test_going_on_with_one_roll_agrees_with_the_plain_search(
    lost: int, need: int, strip_m: float
) -> None:
    """The same answer as `turns_after_loss`, which knows only a lost roll, where it is not over."""
    plan, story = story_after(float(lost), 12.0)
    wrapping = Wrapping(strip_m, ADVANCE_TURN, (12.0, 12.0), need)
    theirs = turns_after_loss(BALE, wrapping, float(lost))
    way = ways_on(BALE, strip_m, plan, story, Need(need))
    alone = next((one for one in way if sum(one.running) == 1), None)
    if lost == 12:
        return
    assert alone is not None
    assert alone.good_at_turn == max(theirs, 12)


@pytest.mark.law
@settings(max_examples=25)
@given(
    lost=st.floats(0.0, 11.9),
    made=st.floats(12.0, 14.0),
    need=st.integers(2, 8),
    rolled=st.floats(-1.0, 1.0),
)
def test_the_turns_told_are_enough_and_one_less_is_not(
    lost: float, made: float, need: int, rolled: float
) -> None:
    """The smallest whole number: laid on the course it covers the round side, one less does not."""
    plan = Running(made, 2, ADVANCE_TURN)
    events = (Happening(lost, What.BREAKS, 2), Happening(8.0, What.STOP, None, rolled))
    story = tell_story(plan, events)
    for way in ways_on(BALE, 0.6, plan, story, Need(need)):
        assert way.turns_from_now is not None
        assert way.turns_anywhere is not None
        # a roll put back loses the half turn in which its tail starts, one turn at most
        assert way.turns_from_now <= way.turns_anywhere + 1

        def thinnest(turns: int, way=way) -> int:  # type: ignore[no-untyped-def]
            more = (Leg(turns, way.running, ADVANCE_TURN, fresh=way.fresh),) if turns else ()
            return count_course(BALE, 0.6, Course((*story.course.legs, *more)), need).thinnest

        assert thinnest(way.turns_from_now) >= need
        if way.turns_from_now:
            assert thinnest(way.turns_from_now - 1) < need


@pytest.mark.derived
def test_a_roll_put_back_needs_fewer_turns_than_going_on_alone() -> None:
    """Lost at 6 of 12: alone 8 more turns; with both fewer, and that way is told first."""
    plan, story = story_after(6, 12)
    both, alone = ways_on(BALE, 0.60, plan, story, Need(6))
    assert both.running == (True, True)
    assert both.fresh == (False, True)
    assert alone.turns_from_now == 8
    assert both.turns_from_now is not None
    assert both.turns_from_now < 8


@pytest.mark.derived
def test_a_bale_that_has_enough_needs_nothing() -> None:
    """12 turns of two rolls are 6 layers at this bale: 0 more."""
    plan = Running(12.0, 2, ADVANCE_TURN)
    (way,) = ways_on(BALE, 0.60, plan, tell_story(plan, ()), Need(6))
    assert (way.turns_from_now, way.turns_anywhere) == (0, 0)


@pytest.mark.derived
def test_slivers_that_are_allowed_and_binding_film_save_turns() -> None:
    """Allowing a stretch as wide as the widest asks nothing more; binding layers count too."""
    plan, story = story_after(6, 12)
    count = count_course(BALE, 0.60, story.course, 6)
    (first, *_) = ways_on(BALE, 0.60, plan, story, Need(6, 0, count.sliver_m + 1e-6))
    assert first.turns_from_now == 0
    (bound, *_) = ways_on(BALE, 0.60, plan, story, Need(6, binding_layers=6 - count.thinnest))
    assert bound.turns_from_now == 0


@pytest.mark.derived
def test_a_bale_that_never_comes_good_is_told_so() -> None:
    """With a quarter turn a wrap turn a narrow strip comes back to the same four places."""
    start = Course((Leg(4.0, (True,), 0.25),))
    onward = Leg(1.0, (True,), 0.25)
    assert turns_from_here(BALE, 0.3, start, onward, Need(2)) is None


@pytest.mark.derived
def test_area_short_is_share_times_side() -> None:
    """A bare bale is short over pi D L and two discs."""
    bare = count_course(BALE, 0.6, Course((Leg(1.0, (False,), 0.125),)), 4)
    areas = areas_short(BALE, bare)
    assert areas.round_m2 == pytest.approx(math.pi * 1.25 * 1.23)
    assert areas.flats_m2 == pytest.approx((math.pi * 1.25**2 / 4,) * 2)
    assert layers_missing(bare, Need(4)) == 4


@pytest.mark.law
@pytest.mark.parametrize(
    "given_need",
    [(0,), (41,), (6, -1), (6, 41), (6, 0, -0.1), (6, 0, float("nan")), (6, 0, float("inf"))],
)
def test_needs_that_cannot_be_are_refused(given_need: tuple[float, ...]) -> None:
    """Layers, binding layers and slivers within reason."""
    with pytest.raises(BadInput):
        Need(*given_need)  # type: ignore[arg-type]
