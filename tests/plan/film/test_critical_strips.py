"""The narrowest strip that is enough."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.plan.film.critical_strips import Goal, critical_strips
from balewright.plan.film.many_bales import (
    CountedMany,
    ManyBales,
    count_many,
    many_bales,
    plain_legs,
)
from balewright.quantities.errors import BadInput

CASES = 300
GOALS = [
    Goal(4),
    Goal(6),
    Goal(6, allowed_short_frac=0.02),
    Goal(5, allowed_sliver_m=0.02),
    Goal(6, allowed_sliver_m=0.2),
    Goal(5, everywhere=True),
    Goal(5, allowed_short_frac=0.03, everywhere=True),
    Goal(5, allowed_sliver_m=0.02, everywhere=True),
]
#: A strip so much wider or narrower than the critical one is told from it.
STEP_M = 1e-5
#: On a cone, a barrel or a flat side the spot that opens first is a corner: its area grows with
#: the square, and it counts from 1e-9 of the side on, so the step down must be larger.
CORNER_STEP_M = 1e-3


def some_bales(seed: int, need: int) -> ManyBales:
    """Bales of all shapes, one roll or two."""
    chance = np.random.default_rng(seed)
    dispensers = chance.integers(1, 3, CASES)
    diameter_m = chance.uniform(1.0, 1.6, CASES)
    return many_bales(
        diameter_m=diameter_m,
        length_m=1.2,
        strip_m=0.5,
        need_layers=need,
        dispensers=dispensers,
        legs=plain_legs(
            chance.integers(14, 60, CASES) / 2, chance.uniform(0.06, 0.2, CASES), dispensers
        ),
        cone_m=np.where(chance.random(CASES) < 0.3, chance.uniform(-0.2, 0.2, CASES), 0.0),
        barrel_m=np.where(chance.random(CASES) < 0.3, chance.uniform(-0.1, 0.1, CASES), 0.0),
        binding_layers=np.where(chance.random(CASES) < 0.2, 2, 0),
    )


def meets(counted: CountedMany, goal: Goal) -> np.ndarray:
    """Whether each case meets the goal, from its count alone."""
    short, sliver_m = [counted.short_frac], [counted.sliver_m]
    if goal.everywhere:
        assert counted.flat_short_frac is not None
        assert counted.flat_sliver_m is not None
        short += [counted.flat_short_frac[:, 0], counted.flat_short_frac[:, 1]]
        sliver_m += [counted.flat_sliver_m[:, 0], counted.flat_sliver_m[:, 1]]
    if goal.allowed_sliver_m > 0.0:
        return np.max(sliver_m, axis=0) <= goal.allowed_sliver_m
    return np.max(short, axis=0) <= goal.allowed_short_frac


@pytest.mark.law
@pytest.mark.parametrize("goal", GOALS, ids=str)
def test_a_little_wider_is_enough_and_a_little_narrower_is_not(goal: Goal) -> None:
    """The count itself says so, case by case, on both sides of the width found."""
    many = some_bales(11, goal.need_layers)
    critical_m = critical_strips(many, goal)
    ends_m = np.minimum(many.end_diameters_m.min(axis=1), many.diameter_m)
    usable = (critical_m > 0.02) & (critical_m < math.pi * ends_m / 2 - 0.01)
    assert usable.mean() > 0.5
    wider = many.with_strip(np.where(usable, critical_m + STEP_M, 0.3))
    even = (many.cone_m == 0.0) & (many.barrel_m == 0.0) & (not goal.everywhere)
    less_m = np.where(even, STEP_M, CORNER_STEP_M)
    narrower = many.with_strip(np.where(usable, critical_m - less_m, 0.3))
    assert meets(count_many(wider), goal)[usable].all()
    assert not meets(count_many(narrower), goal)[usable].any()


@pytest.mark.derived
def test_an_eighth_by_hand() -> None:
    """24 turns of one roll at k = 1/8: three strips on each of 16 places, so 6 layers want 1/8.

    Each place of the round side needs two of the 16 places in reach: half a strip is then 1/16 of
    the girth, and the strip 1/8 of pi x 1.25 m = 0.4909 m.
    """
    many = many_bales(
        diameter_m=1.25,
        length_m=1.2,
        strip_m=0.5,
        need_layers=6,
        dispensers=1,
        legs=plain_legs([24.0], 0.125, 1),
    )
    assert critical_strips(many, Goal(6))[0] == pytest.approx(math.pi * 1.25 / 8, abs=1e-8)


@pytest.mark.derived
def test_too_few_strips_and_binding_film_alone() -> None:
    """Four strips never make five layers; four layers of binding film make four."""
    many = many_bales(
        diameter_m=1.25,
        length_m=1.2,
        strip_m=0.5,
        need_layers=5,
        dispensers=1,
        legs=plain_legs([2.0, 2.0], 0.125, 1),
        binding_layers=[0, 4],
    )
    assert critical_strips(many, Goal(5))[0] == math.inf
    assert critical_strips(many, Goal(4))[1] == 0.0


@pytest.mark.law
@settings(max_examples=40, deadline=None)
@given(
    halves=st.integers(10, 60),
    bale_turn=st.floats(0.05, 0.25),
    share=st.floats(0.001, 0.5),
    need=st.integers(1, 8),
)
def test_asking_less_never_wants_a_wider_strip(
    halves: int, bale_turn: float, share: float, need: int
) -> None:
    """More turns, a share that may be short, or a layer less: the strip may be narrower."""
    many = many_bales(
        diameter_m=1.3,
        length_m=1.2,
        strip_m=0.5,
        need_layers=need,
        dispensers=2,
        legs=plain_legs([halves / 2, (halves + 1) / 2], bale_turn, 2),
    )
    whole = critical_strips(many, Goal(need))
    assert whole[1] <= whole[0]
    assert (critical_strips(many, Goal(need, allowed_short_frac=share)) <= whole).all()
    assert (critical_strips(many, Goal(need, allowed_sliver_m=share)) <= whole).all()
    assert (critical_strips(many, Goal(need, everywhere=True)) >= whole).all()
    assert (critical_strips(many, Goal(need + 1)) >= whole).all()


@pytest.mark.law
@pytest.mark.parametrize(
    "bad",
    [
        {"need_layers": 0},
        {"need_layers": 41},
        {"need_layers": 2.5},
        {"allowed_short_frac": -0.1},
        {"allowed_short_frac": 1.1},
        {"allowed_short_frac": math.nan},
        {"allowed_sliver_m": math.inf},
        {"allowed_sliver_m": -1e-3},
        {"allowed_short_frac": 0.1, "allowed_sliver_m": 0.01},
    ],
    ids=str,
)
def test_a_goal_that_cannot_be_is_refused(bad: dict[str, float]) -> None:
    """NaN, infinities, below zero, and a share together with a sliver."""
    with pytest.raises(BadInput):
        Goal(**({"need_layers": 6} | bad))  # type: ignore[arg-type]
