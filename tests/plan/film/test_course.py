"""A bale's wrapping told as legs."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balewright.plan.film.course import Course, Leg, course_of, crossings
from balewright.plan.film.crossings import Wrapping, flat_directions, round_centres
from balewright.quantities.errors import BadInput


@pytest.mark.law
@given(
    first=st.integers(0, 60),
    second=st.none() | st.integers(0, 60),
    bale_turn=st.floats(0.02, 0.4),
    alone=st.none() | st.floats(0.02, 0.4),
)
def test_a_course_of_a_simple_wrapping_lays_the_same_strips(
    first: int, second: int | None, bale_turn: float, alone: float | None
) -> None:
    """Legs are a wider language for the same bale: nothing simple changes."""
    turns = (first / 2.0,) if second is None else (first / 2.0, second / 2.0)
    if max(turns) == 0.0:
        return
    wrapping = Wrapping(0.6, bale_turn, turns, 4, bale_turn_one_roll=alone)
    laid = crossings(course_of(wrapping))
    assert sorted(one.round_turn for one in laid) == pytest.approx(sorted(round_centres(wrapping)))
    for side, directions in enumerate(flat_directions(wrapping)):
        ours = [one.flat_turn for one in laid if one.side == side]
        apart = [abs((a - b + 0.5) % 1.0 - 0.5) for a, b in _paired(ours, directions)]
        assert len(ours) == len(directions)
        assert max(apart, default=0.0) < 1e-9


def _paired(ours: list[float], theirs: list[float]) -> list[tuple[float, float]]:
    """Each of ours with the one of theirs that lies nearest on the circle."""
    return [(a, min(theirs, key=lambda b: abs((a - b + 0.5) % 1.0 - 0.5))) for a in ours]


@pytest.mark.derived
def test_a_roll_put_on_again_starts_at_the_next_half_turn() -> None:
    """A break at 5.3 turns costs the half turn in hand; the new tail lays from 5.5 on."""
    course = Course(
        (
            Leg(5.3, (True, True), 0.125),
            Leg(1.4, (True, False), 0.125),
            Leg(5.3, (True, True), 0.125, fresh=(False, True)),
        )
    )
    laid = crossings(course)
    second = [one.at_turn for one in laid if one.dispenser == 1]
    assert second == [half / 2 for half in (*range(10), *range(14, 24))]
    since = [one.since_fresh for one in laid if one.dispenser == 1]
    assert since == [*range(10), *range(10)]  # counted on from the new tail, through its leg
    assert len([one for one in laid if one.dispenser == 0]) == 24


@pytest.mark.law
def test_a_stop_in_which_nothing_moves_changes_nothing() -> None:
    """Stopping and going on is harmless when the bale does not roll meanwhile."""
    whole = crossings(Course((Leg(12.0, (True, True), 0.125),)))
    halted = crossings(Course((Leg(4.2, (True, True), 0.125), Leg(7.8, (True, True), 0.125))))
    assert [one.round_turn for one in halted] == pytest.approx([one.round_turn for one in whole])


@pytest.mark.law
@pytest.mark.parametrize("turns", [0.0, -1.0, float("nan"), float("inf")])
def test_a_leg_of_no_turns_is_refused(turns: float) -> None:
    """A leg lasts some wrap turns, and a number of them."""
    with pytest.raises(BadInput, match="turns"):
        Leg(turns, (True,), 0.125)


@pytest.mark.law
def test_legs_of_different_dispensers_are_refused() -> None:
    """The wrapper keeps its dispensers all through a bale."""
    with pytest.raises(BadInput, match=r"legs\[1\]"):
        Course((Leg(1.0, (True, True), 0.1), Leg(1.0, (True,), 0.1)))
