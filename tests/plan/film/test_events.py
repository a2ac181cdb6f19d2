"""What went wrong while a bale was wrapped, as a course."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.plan.film.count_course import count_course
from balewright.plan.film.course import Course, Leg, course_of, crossings
from balewright.plan.film.crossings import Wrapping
from balewright.plan.film.events import Happening, Running, What, tell_story
from balewright.plan.film.layers import Bale
from balewright.quantities.errors import BadInput

BALE = Bale(1.25, 1.23)
TWO = Running(12.0, 2, 0.125)


def lost(at_turn: float, roll: int = 2) -> Happening:
    """A roll that breaks."""
    return Happening(at_turn, What.BREAKS, roll)


def back(at_turn: float, roll: int = 2) -> Happening:
    """A roll put on again."""
    return Happening(at_turn, What.BACK, roll)


@pytest.mark.law
def test_without_events_the_story_is_the_plan() -> None:
    """Nothing happened: one leg, the strips of the plain wrapping."""
    story = tell_story(TWO, ())
    planned = course_of(Wrapping(0.6, 0.125, (12.0, 12.0), 6))
    assert story.course.legs[0].turns == planned.legs[0].turns
    assert crossings(story.course) == crossings(planned)
    assert (story.running, story.one_roll_turns, story.bare_turns) == ((True, True), 0.0, 0.0)


@pytest.mark.derived
def test_a_break_and_a_new_roll_make_three_legs() -> None:
    """Both, one alone with the machine's other advance, both with a new tail."""
    plan = Running(12.0, 2, 0.125, bale_turn_one_roll=0.0625)
    story = tell_story(plan, (lost(5.3), back(8.0)))
    assert [leg.turns for leg in story.course.legs] == pytest.approx([5.3, 2.7, 4.0])
    assert [leg.running for leg in story.course.legs] == [(True, True), (True, False), (True, True)]
    assert [leg.bale_turn for leg in story.course.legs] == [0.125, 0.0625, 0.125]
    assert story.course.legs[2].fresh == (False, True)
    assert story.one_roll_turns == pytest.approx(2.7)


@pytest.mark.derived
def test_one_roll_from_the_start_is_one_dispenser() -> None:
    """A wrapper of two that starts with one lays what a wrapper of one lays, where it is."""
    alone = tell_story(TWO, (lost(0.0),)).course
    single = Course((Leg(12.0, (True,), 0.125),))
    assert [one.round_turn for one in crossings(alone)] == [
        one.round_turn for one in crossings(single)
    ]


@pytest.mark.derived
def test_a_stop_in_which_the_bale_rolls_shifts_what_follows() -> None:
    """0.4 of a turn of rolling moves every later strip by 0.4 of a turn, and nothing else."""
    stop = Happening(6.0, What.STOP, None, 0.4)
    plain = [one.round_turn for one in crossings(tell_story(TWO, ()).course)]
    rolled = [one.round_turn for one in crossings(tell_story(TWO, (stop,)).course)]
    assert rolled[:24] == pytest.approx(plain[:24])
    assert rolled[24:] == pytest.approx([place - 0.4 for place in plain[24:]])


@pytest.mark.derived
@pytest.mark.parametrize(("at_turn", "strips"), [(6.0, 48), (6.2, 46), (5.99, 46), (6.5, 48)])
def test_a_cut_costs_the_half_turn_in_hand_of_every_roll(at_turn: float, strips: int) -> None:
    """Film cut in the middle of a half turn loses it; cut between two it loses none."""
    cut = Happening(at_turn, What.CUT)
    assert len(crossings(tell_story(TWO, (cut,)).course)) == strips


@pytest.mark.derived
def test_both_rolls_out_lay_nothing_meanwhile() -> None:
    """The ring turns on without film: the bale turns, bare."""
    story = tell_story(TWO, (lost(4.0, 1), lost(4.0, 2), back(6.0, 1), back(7.0, 2)))
    assert story.bare_turns == 2.0
    assert story.one_roll_turns == 1.0
    assert len(crossings(story.course)) == 8 + 8 + 2 * (5 + 6)


@pytest.mark.law
@settings(max_examples=60)
@given(
    at=st.floats(0.0, 12.0),
    away=st.floats(0.5, 6.0),
    rolled=st.floats(-1.0, 1.0),
    strip_m=st.floats(0.3, 0.8),
)
def test_film_is_conserved_and_a_loss_never_adds(
    at: float, away: float, rolled: float, strip_m: float
) -> None:
    """Layers averaged are the strips laid, and a loss lays no more strips than the plan."""
    events = [Happening(6.0, What.STOP, None, rolled), lost(at)]
    if at + away <= 12.0:
        events.append(back(at + away))
    course = tell_story(TWO, events).course
    strips = len(crossings(course))
    count = count_course(BALE, strip_m, course, 6)
    assert count.round_mean == pytest.approx(strips * strip_m / (math.pi * 1.25), rel=1e-9)
    assert strips <= 48


@pytest.mark.law
@pytest.mark.parametrize(
    ("events", "need"),
    [
        ((lost(3.0), lost(5.0)), "still runs"),
        ((back(3.0),), "lost before"),
        ((lost(13.0),), "up to the last one"),
        ((Happening(3.0, What.BREAKS, 3),), "from 1 to 2"),
        ((Happening(3.0, What.CUT, 7),), "from 1 to 2"),
    ],
)
def test_events_that_cannot_have_been_are_refused(events: tuple[Happening, ...], need: str) -> None:
    """Lost twice, back without a loss, after the end, a roll that is not there."""
    with pytest.raises(BadInput, match=need):
        tell_story(TWO, events)


@pytest.mark.law
@pytest.mark.parametrize("bad", [float("nan"), float("inf"), -1.0, 1e9])
def test_turns_that_are_no_turns_are_refused(bad: float) -> None:
    """Neither an event nor a wrapping happens at such a turn; a bale rolls no thousand turns."""
    with pytest.raises(BadInput, match="at_turn"):
        Happening(bad, What.BREAKS, 2)
    with pytest.raises(BadInput, match="turns"):
        Running(bad, 2, 0.125)
    if bad != -1.0:
        with pytest.raises(BadInput, match="rolled_turn"):
            Happening(3.0, What.STOP, None, bad)


@pytest.mark.law
@pytest.mark.parametrize(("what", "roll"), [(What.BREAKS, None), (What.BACK, None), (What.STOP, 1)])
def test_an_event_names_a_roll_where_there_is_one(what: What, roll: int | None) -> None:
    """A loss has its roll, a stop has none."""
    with pytest.raises(BadInput, match="roll"):
        Happening(3.0, what, roll)
