"""The cost where inputs are not known to a point."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.plan.cost.bale_cost import cost_of
from balewright.plan.cost.spread import cost_drawn, cost_ends
from balewright.quantities.errors import BadInput
from balewright.quantities.interval import Interval
from plan.cost.examples import MADE, OUTLAY, PRICES

SPREAD = {
    "prices.fuel_money_l": Interval(0.90, 1.10, 1.50),
    "prices.film_roll_money": Interval(85.0, 95.0, 120.0),
    "made.bales_h": Interval(22.0, 30.0, 36.0),
}


@pytest.mark.law
@settings(max_examples=40)
@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_nothing_inside_the_spread_lies_outside_the_ends(a: float, b: float, c: float) -> None:
    """Any mix of values inside the intervals costs between the two ends."""
    ends = cost_ends(MADE, OUTLAY, SPREAD)
    values = [
        one.low + share * (one.high - one.low)
        for one, share in zip(SPREAD.values(), (a, b, c), strict=True)
    ]
    prices = replace(PRICES, fuel_money_l=values[0], film_roll_money=values[1])
    made = replace(MADE, bales_h=values[2])
    money = cost_of(made, replace(OUTLAY, prices=prices)).money_t_dm
    assert ends.low * (1 - 1e-12) <= money <= ends.high * (1 + 1e-12)
    assert ends.best == pytest.approx(cost_of(MADE, OUTLAY).money_t_dm)


@pytest.mark.law
def test_draws_lie_inside_the_ends_and_come_again_with_the_seed() -> None:
    """The middle 90 % is narrower than the ends, says so, and is the same for the same seed."""
    ends = cost_ends(MADE, OUTLAY, SPREAD)
    drawn = cost_drawn(MADE, OUTLAY, SPREAD, 400, np.random.default_rng(7))
    assert ends.low < drawn.low < drawn.best < drawn.high < ends.high
    assert drawn.confidence == 0.9
    assert drawn == cost_drawn(MADE, OUTLAY, SPREAD, 400, np.random.default_rng(7))


@pytest.mark.law
def test_a_point_is_no_spread() -> None:
    """Where all intervals are points, ends and draws are the cost itself."""
    points = {"prices.wage_money_h": Interval(20.0, 20.0, 20.0)}
    money = cost_of(MADE, OUTLAY).money_t_dm
    ends = cost_ends(MADE, OUTLAY, points)
    drawn = cost_drawn(MADE, OUTLAY, points, 100, np.random.default_rng(1))
    assert (ends.low, ends.best, ends.high) == (money, money, money)
    assert (drawn.low, drawn.high) == pytest.approx((money, money))


@pytest.mark.own
@pytest.mark.parametrize("name", ["prices.milk_money", "weather", "made", "machine.wear", "x.y"])
def test_an_input_there_is_none_of_is_refused(name: str) -> None:
    """A name without a number behind it is refused, and so are none and too many."""
    one = Interval(1.0, 1.0, 1.0)
    with pytest.raises(BadInput, match="spread"):
        cost_ends(MADE, OUTLAY, {name: one})
    with pytest.raises(BadInput, match="spread"):
        cost_ends(MADE, OUTLAY, {})
    with pytest.raises(BadInput, match="draws"):
        cost_drawn(MADE, OUTLAY, SPREAD, 10, np.random.default_rng(1))
