"""Whether a bale that lies on the ground must be wrapped again."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.plan.film.count_course import count_course
from balewright.plan.film.course import Course, Leg
from balewright.plan.film.from_here import Need
from balewright.plan.film.layers import Bale, LayerCount
from balewright.plan.film.tipped import Verdict, judge_tipped
from balewright.words.say import say

BALE = Bale(1.25, 1.23)
K = 0.491 / (math.pi * 1.25)


def counted(turns: float, need: int, rolls: int = 2) -> LayerCount:
    """A plain wrapping of so many turns."""
    return count_course(BALE, 0.60, Course((Leg(turns, (True,) * rolls, K),)), need)


def with_layers(layers: int, need: int) -> Verdict:
    """The verdict on the first bale, wrapped turn by turn, with so many layers everywhere."""
    counts = (counted(half / 2.0, need) for half in range(2, 60))
    return judge_tipped(
        BALE, next(one for one in counts if one.thinnest_anywhere == layers), Need(need)
    ).verdict


@pytest.mark.published
def test_verdicts_agree_with_three_trials() -> None:
    """Two layers failed or moulded and four kept, in two Irish trials and a Japanese one.

    Keles and others 2009, McEniry and others 2011, Nonaka and others 1999. The rule is made from
    them: this holds it, and counts for nothing more.
    """
    assert with_layers(2, 4) is Verdict.REWRAP
    assert with_layers(4, 4) is Verdict.LEAVE


@pytest.mark.published
def test_where_six_are_asked_four_are_not_simply_left() -> None:
    """Six at least by Williamson, Penn State, and EN 14932: four go first, six are left."""
    assert with_layers(4, 6) is Verdict.USE_FIRST
    assert with_layers(6, 6) is Verdict.LEAVE


@pytest.mark.published
def test_two_layers_are_too_few_even_where_two_were_wanted() -> None:
    """No source goes below four (Kentucky, Teagasc): it is used first, and the reason says why."""
    assert with_layers(2, 2) is Verdict.USE_FIRST


@pytest.mark.derived
def test_slivers_below_four_do_not_wrap_a_bale_again() -> None:
    """Only slivers of 3 mm are below four, wide stretches below six: it is used first."""
    count = count_course(BALE, 0.488, Course((Leg(8.0, (True, True), 0.125),)), 6)
    assert count.thinnest < 4
    assert judge_tipped(BALE, count, Need(6)).verdict is Verdict.USE_FIRST


@pytest.mark.derived
def test_between_four_and_the_need_it_is_used_first() -> None:
    """Five layers where six were wanted: the sources disagree, so the bale goes first."""
    tipped = judge_tipped(BALE, counted(10.0, 8), Need(8))
    assert tipped.verdict is Verdict.USE_FIRST
    assert tipped.more_layers == 8 - counted(10.0, 8).thinnest_anywhere
    assert tipped.reasons[0].key == "tipped.below_need"


@pytest.mark.derived
def test_narrow_slivers_are_no_reason_but_a_bare_one_is() -> None:
    """What is short only in slivers is left; a spot with no film is a hole, however narrow."""
    whole = count_course(BALE, 0.491, Course((Leg(8.0, (True, True), 0.125),)), 1).thinnest
    slit = count_course(BALE, 0.488, Course((Leg(8.0, (True, True), 0.125),)), whole)
    assert slit.thinnest < whole
    assert 0.0 < slit.sliver_m < 0.005
    left = judge_tipped(BALE, slit, Need(whole))
    assert (left.verdict, left.reasons[0].key) == (Verdict.LEAVE, "tipped.only_slivers")
    bare = count_course(BALE, 0.2425, Course((Leg(4.0, (True, True), 0.125),)), 1)
    assert bare.thinnest == 0
    assert bare.sliver_m < 0.005
    assert judge_tipped(BALE, bare, Need(1, allowed_sliver_m=0.1)).verdict is Verdict.REWRAP


@pytest.mark.derived
def test_binding_film_counts_on_the_round_side_only() -> None:
    """With three binding layers the flat sides decide."""
    course = Course((Leg(6.0, (True, True), K),))
    bound = judge_tipped(BALE, count_course(BALE, 0.60, course, 6, 3), Need(6, 3))
    assert dict(bound.reasons[0].values)["thinnest"] == min(
        counted(6.0, 6).thinnest + 3, *(flat.thinnest for flat in counted(6.0, 6).flats)
    )


@pytest.mark.law
@settings(max_examples=40)
@given(turns=st.integers(1, 40), need=st.integers(1, 10), rolls=st.integers(1, 2))
def test_the_unknown_is_always_said_and_cautions_come_with_it(
    turns: int, need: int, rolls: int
) -> None:
    """Damage where it lay and what is not known stand under every verdict; all of it has words."""
    tipped = judge_tipped(BALE, counted(turns / 2.0, need, rolls), Need(need))
    keys = [reason.key for reason in tipped.reasons]
    assert keys[-2:] == ["tipped.may_be_damaged", "tipped.not_known"]
    assert tipped.cautions[0].key == "caution.rolling_bale"
    assert all(say(reason) for reason in (*tipped.reasons, *tipped.cautions))
    assert (tipped.more_layers > 0) == (tipped.verdict is not Verdict.LEAVE)


@pytest.mark.law
@settings(max_examples=30)
@given(turns=st.integers(2, 40), need=st.integers(1, 10))
def test_more_turns_never_make_a_verdict_worse(turns: int, need: int) -> None:
    """Film added cannot turn a bale that is left into one that is wrapped again."""
    order = [Verdict.REWRAP, Verdict.USE_FIRST, Verdict.LEAVE]
    less = judge_tipped(BALE, counted(turns / 2.0, need), Need(need)).verdict
    more = judge_tipped(BALE, counted(turns / 2.0 + 1.0, need), Need(need)).verdict
    assert order.index(more) >= order.index(less)
