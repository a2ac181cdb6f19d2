"""The stretch that really happened, from metres drawn."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.plan.film.stretch import (
    Doubts,
    Drawn,
    metres_drawn_m,
    rounded_path_m,
    stretch_from_metres,
    tension_from_metres,
)
from balewright.plan.film.strip import Bale, roll_metres_m
from balewright.quantities.errors import BadInput

BALE = Bale(1.25, 1.23)
SURE = Doubts(0.0, 0.0, 0.05, 0.0, 0.01, 0.0, 0.0, 0.0, 0.0)


def drawn(stretch_frac: float = 0.70, other: float | None = None, bales: int = 1) -> Drawn:
    """Twelve turns of two rolls that were stretched so."""
    metres = [
        metres_drawn_m(BALE, 12.0, one, 0.05, 0.01)
        for one in (stretch_frac, stretch_frac if other is None else other)
    ]
    return Drawn(BALE, (12.0, 12.0), (metres[0], metres[1]), bales)


@pytest.mark.law
@settings(max_examples=60)
@given(
    stretch_frac=st.floats(0.0, 1.5),
    turns=st.floats(1.0, 40.0),
    diameter_m=st.floats(0.9, 1.9),
    shoulder_m=st.floats(0.0, 0.2),
    tension_frac=st.floats(-0.05, 0.1),
)
def test_without_errors_the_inverse_is_exact(
    stretch_frac: float, turns: float, diameter_m: float, shoulder_m: float, tension_frac: float
) -> None:
    """Metres of the forward model give back the stretch they were made with, and no error."""
    bale = Bale(diameter_m, 1.23)
    metres_m = metres_drawn_m(bale, turns, stretch_frac, shoulder_m, tension_frac)
    known = Doubts(0.0, 0.0, shoulder_m, 0.0, tension_frac, 0.0, 0.0, 0.0, 0.0)
    (found,) = stretch_from_metres(Drawn(bale, (turns,), (metres_m,)), known).each_frac
    assert found.best == pytest.approx(stretch_frac, abs=1e-12)
    assert found.high - found.low < 1e-12


@pytest.mark.derived
def test_sharp_shoulders_and_no_pull_are_the_plan() -> None:
    """The forward model is the planned use of film where nothing shortens the way."""
    assert metres_drawn_m(BALE, 12.0, 0.7, 0.0, 0.0) == roll_metres_m(BALE, 12.0, 0.7)


@pytest.mark.derived
def test_a_rounded_shoulder_puts_a_quarter_circle_for_a_corner() -> None:
    """A square of 1 m rounded by half a metre is a circle: pi metres round."""
    assert rounded_path_m(Bale(1.0, 1.0), 0.5) == pytest.approx(math.pi)


@pytest.mark.practice
@pytest.mark.check(model="film.stretch", source="practice")
def test_absolute_to_about_eight_points_and_ratio_to_about_two() -> None:
    """What the trade says falls out of the budget: 8 points, and 2 between dispensers.

    "About" is taken as half a point for the ratio and one for the absolute value.
    """
    found = stretch_from_metres(drawn())
    first, gap = found.each_frac[0], found.gap_frac
    assert gap is not None
    assert (first.high - first.low) / 2.0 == pytest.approx(0.08, abs=0.01)
    assert (gap.high - gap.low) / 2.0 == pytest.approx(0.02, abs=0.005)


@pytest.mark.derived
def test_leaving_out_shoulders_and_tension_shifts_it_by_some_points() -> None:
    """Taking a sharp bale and no pull reads 70 % as about 75 %."""
    naive = stretch_from_metres(drawn(), Doubts(shoulder_m=0.0, tension_frac=0.0)).each_frac[0]
    assert 0.03 < naive.best - 0.70 < 0.06


@pytest.mark.law
def test_the_budget_agrees_with_simulated_errors() -> None:
    """200,000 draws of every error: spreads within 3 % (linear to that), means within 0.2 points.

    The gap's draws share bale, shoulder, tension and wheel, so those drop out of it.
    """
    doubts = Doubts()
    rng = np.random.default_rng(7)
    draws = 200_000
    around = rng.normal(BALE.diameter_m, doubts.diameter_spread_m, draws)
    length = rng.normal(BALE.length_m, doubts.length_spread_m, draws)
    shoulder = rng.normal(doubts.shoulder_m, doubts.shoulder_spread_m, draws)
    tension = rng.normal(doubts.tension_frac, doubts.tension_spread_frac, draws)
    wheel = rng.normal(0.0, doubts.counter_spread_frac, draws)
    made = drawn(0.70, 0.66)
    seen = []
    for metres_m in made.metres_m:
        tail = rng.normal(0.0, doubts.own_tail_spread_turns, draws)
        slip = rng.normal(0.0, doubts.own_counter_spread_frac, draws)
        path_m = 2.0 * (around + length) - (8.0 - 2.0 * math.pi) * shoulder
        counted_m = metres_m * (1.0 + wheel) * (1.0 + slip)
        seen.append((12.0 + tail) * path_m / (counted_m * (1.0 + tension)) - 1.0)
    found = stretch_from_metres(made)
    assert found.budget.spread == pytest.approx(np.std(seen[0]), rel=0.03)
    assert found.budget.value == pytest.approx(np.mean(seen[0]), abs=0.002)
    gap = 1.68 * np.log((1.0 + seen[0]) / (1.0 + seen[1]))
    assert found.gap_budget is not None
    assert found.gap_budget.spread == pytest.approx(np.std(gap), rel=0.03)
    inside = np.mean((seen[0] > found.each_frac[0].low) & (seen[0] < found.each_frac[0].high))
    assert inside == pytest.approx(0.95, abs=0.01)


@pytest.mark.law
@settings(max_examples=30)
@given(st.floats(0.4, 0.9), st.floats(0.4, 0.9), st.floats(1.0, 1.6), st.floats(0.0, 0.1))
def test_the_ratio_does_not_depend_on_the_bale(
    one: float, other: float, diameter_m: float, shoulder_m: float
) -> None:
    """A bale taken for fatter than it was moves both stretches and not their ratio."""
    made = drawn(one, other)
    wrong = Drawn(Bale(diameter_m, 1.0), made.turns, made.metres_m)
    ratio = stretch_from_metres(wrong, Doubts(shoulder_m=shoulder_m)).ratio
    assert ratio is not None
    assert ratio.best == pytest.approx((1.0 + one) / (1.0 + other))


@pytest.mark.law
def test_more_bales_help_only_against_what_differs() -> None:
    """A hundred bales shrink the gap's error a little and the absolute one hardly at all."""
    one, many = stretch_from_metres(drawn()), stretch_from_metres(drawn(bales=100))
    assert many.gap_budget is not None
    assert one.gap_budget is not None
    assert 0.7 < many.gap_budget.spread / one.gap_budget.spread < 0.9
    assert 0.98 < many.budget.spread / one.budget.spread < 1.0


@pytest.mark.derived
def test_metres_after_the_stretch_hold_the_tension_and_no_stretch() -> None:
    """Counted after the stretch, 12 turns of way over metres tell the pull of 2 %."""
    metres_m = 12.0 * rounded_path_m(BALE, 0.05) / 1.02
    (found,) = tension_from_metres(Drawn(BALE, (12.0,), (metres_m,)))
    assert found.best == pytest.approx(0.02)
    assert found.high - found.low > 0.04


@pytest.mark.derived
def test_one_dispenser_has_no_ratio() -> None:
    """There is nothing to compare with."""
    found = stretch_from_metres(Drawn(BALE, (12.0,), (34.0,)))
    assert (found.ratio, found.gap_frac, found.gap_budget) == (None, None, None)


@pytest.mark.law
@pytest.mark.parametrize("bad", [float("nan"), float("inf"), 0.0, -1.0, 1e9])
def test_counts_that_cannot_be_are_refused(bad: float) -> None:
    """Turns and metres are above nothing and within reason."""
    with pytest.raises(BadInput, match="turns"):
        Drawn(BALE, (bad,), (34.0,))
    with pytest.raises(BadInput, match="metres_m"):
        Drawn(BALE, (12.0,), (bad,))


@pytest.mark.law
def test_doubts_and_lengths_that_cannot_be_are_refused() -> None:
    """Metres for every dispenser; spreads of no negative size; shoulders that fit on the bale."""
    with pytest.raises(BadInput, match="metres_m"):
        Drawn(BALE, (12.0, 12.0), (34.0,))
    with pytest.raises(BadInput, match="bales"):
        Drawn(BALE, (12.0,), (34.0,), 0)
    for name in ("diameter_spread_m", "tension_spread_frac", "own_tail_spread_turns"):
        for bad in (-0.1, float("nan"), 9.0):
            with pytest.raises(BadInput, match=name):
                Doubts(**{name: bad})
    with pytest.raises(BadInput, match="shoulder_m"):
        rounded_path_m(BALE, 0.7)
    with pytest.raises(BadInput, match="stretch_frac"):
        metres_drawn_m(BALE, 12.0, 2.5, 0.05, 0.01)
