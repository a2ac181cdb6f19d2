"""Owning or hiring: published break-even points, and the one of a whole bale."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from balewright.plan.cost.bale_cost import cost_of
from balewright.plan.cost.break_even import bales_to_own, break_even_use, use_money
from balewright.plan.cost.outlay import Season
from balewright.quantities.errors import BadInput
from plan.cost.examples import MADE, OUTLAY


@pytest.mark.published
@pytest.mark.check(model="cost.break_even", source="colorado-3759")
def test_break_even_of_the_colorado_fact_sheet() -> None:
    """21 270 a year over 16 + 8 - 1.75 an acre is 956 acres; 12 000 over 14.25 is 842.

    Gutierrez & Dalsted, Colorado State 3.759; whole acres.
    """
    assert break_even_use(21_270, 16 + 8, 8.75 / 5) == pytest.approx(956, abs=0.5)
    assert break_even_use(12_000, 16, 7 / 4) == pytest.approx(842, abs=0.5)


@pytest.mark.published
@pytest.mark.check(model="cost.break_even", source="field-solie")
def test_break_even_and_spread_of_the_textbook() -> None:
    """1 000 a year and 4 an acre: 24, 14, 9, 6 an acre; at a rate of 21 owning pays from 60 on.

    Field & Solie, tables 10.2 and 10.3; "about 60" is read off a chart (ours 58.8).
    """
    for acres, each in ((50, 24.00), (100, 14.00), (200, 9.00), (500, 6.00)):
        assert use_money(1000, 4, acres) == pytest.approx(each)
    assert break_even_use(1000, 21, 4) == pytest.approx(60, abs=2)


@pytest.mark.law
@given(st.floats(0.0, 1e5), st.floats(0.0, 100.0), st.floats(0.0, 100.0))
def test_at_break_even_both_cost_the_same(year: float, hired: float, own: float) -> None:
    """There the own cost is the hired rate; without a gain a unit there is no such use."""
    use = break_even_use(year, hired, own)
    if use is None:
        assert hired <= own
    elif use > 1e-6 and use < 1e9:
        assert use_money(year, own, use) == pytest.approx(hired, rel=1e-9)


@pytest.mark.reference
@pytest.mark.check(model="cost.bales_to_own", source="scipy-optimize")
@pytest.mark.parametrize("hired", [15.0, 18.0, 25.0, 40.0])
def test_break_even_of_a_bale_is_the_root_that_scipy_finds(hired: float) -> None:
    """Own cost less hired cost is nought where scipy.optimize.brentq says, to a thousandth.

    Both look for a root of one function; ours must also have taken the first one.
    """

    def dearer(bales: float) -> float:
        season = Season(bales * MADE.dm_kg / 1000.0, 4.0)
        return cost_of(MADE, replace(OUTLAY, season=season)).bale_money - hired

    found = bales_to_own(MADE, OUTLAY, hired)
    assert found == pytest.approx(brentq(dearer, 100.0, 5000.0), rel=1e-6)


@pytest.mark.law
@settings(max_examples=25, deadline=None)
@given(st.floats(8.0, 40.0))
def test_the_least_number_of_bales_is_the_least(hired: float) -> None:
    """At the number found the own bale costs what is asked, and one bale less costs more."""

    def own_money(bales: float) -> float:
        season = Season(bales * MADE.dm_kg / 1000.0, 4.0)
        return cost_of(MADE, replace(OUTLAY, season=season)).bale_money

    bales = bales_to_own(MADE, OUTLAY, hired)
    if bales is None:
        assert min(own_money(n) for n in (500.0, 1e3, 2e3, 4e3, 8e3, 2e4)) > hired
    else:
        assert own_money(bales) == pytest.approx(hired, rel=1e-6)
        assert own_money(bales * 0.99) > hired


@pytest.mark.own
def test_film_that_the_customer_brings_is_left_out() -> None:
    """Against a rate without film the own film does not count, so owning pays earlier."""
    with_film = bales_to_own(MADE, OUTLAY, 18.0)
    without = bales_to_own(MADE, OUTLAY, 18.0, leave_out=("film_money",))
    assert with_film is not None
    assert without is not None
    assert without < with_film
    with pytest.raises(BadInput, match="leave_out"):
        bales_to_own(MADE, OUTLAY, 18.0, leave_out=("film",))


@pytest.mark.own
@pytest.mark.parametrize("bad", [float("nan"), float("inf"), -1.0])
def test_what_is_no_money_is_refused(bad: float) -> None:
    """NaN, infinite and negative rates are refused by name."""
    with pytest.raises(BadInput, match="hired_money"):
        break_even_use(1000.0, bad, 1.0)
    with pytest.raises(BadInput, match="hired_money"):
        bales_to_own(MADE, OUTLAY, bad)
    with pytest.raises(BadInput, match="use_year"):
        use_money(1000.0, 4.0, 0.0)
