"""The cliff: the same turns and the same surface advance on a fatter bale."""

from __future__ import annotations

import pytest

from balewright.plan.film.cliff import count_at, find_cliff
from balewright.plan.film.layers import Bale, Wrapping, bale_turn_from_advance, count_layers

BALE = Bale(diameter_m=1.25, length_m=1.23)
PLAN = Wrapping(0.60, bale_turn_from_advance(0.491, 1.25), (12.0, 12.0), need_layers=6)


@pytest.mark.derived
@pytest.mark.parametrize(
    ("diameter_m", "thinnest", "short_frac"), [(1.25, 6, 0.0), (1.35, 5, 0.09), (1.45, 4, 0.26)]
)
def test_advance_is_held_when_the_bale_grows(
    diameter_m: float, thinnest: int, short_frac: float
) -> None:
    """12 turns at an advance of 0.491 m: 6, 5, 4 layers at 1.25, 1.35, 1.45 m.

    Source: computed twice, independently of this code.
    """
    there = count_at(BALE, PLAN, diameter_m)
    assert there.thinnest == thinnest
    assert there.short_frac == pytest.approx(short_frac, abs=5e-3)


@pytest.mark.law
def test_cliff_is_the_first_step_that_is_short() -> None:
    """At the diameter found something is short, and at none of the 5 mm steps before it."""
    cliff = find_cliff(BALE, PLAN)
    assert cliff is not None
    assert 1.25 < cliff.diameter_m < 1.35
    for step in range(round((cliff.diameter_m - 1.25) / 0.005)):
        diameter_m = 1.25 + 0.005 * step
        turn = bale_turn_from_advance(0.491, diameter_m)
        plain = Wrapping(0.60, turn, (12.0, 12.0), 6)
        assert count_layers(Bale(diameter_m, 1.23), plain).short_frac == 0.0
    assert cliff.sliver_m > 0.0


@pytest.mark.derived
def test_a_bale_over_the_cliff_is_its_own_cliff() -> None:
    """A bale that is short already gives its own diameter; one with turns to spare gives none."""
    fat = Bale(1.45, 1.23)
    short = Wrapping(0.60, bale_turn_from_advance(0.491, 1.45), (12.0, 12.0), 6)
    over = find_cliff(fat, short)
    assert over is not None
    assert over.diameter_m == 1.45
    spare = Wrapping(0.60, PLAN.bale_turn, (24.0, 24.0), 6)
    assert find_cliff(BALE, spare) is None
