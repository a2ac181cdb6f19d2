"""The tank: how long it lasts, and the dose that bales really got."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.plan.keeping.additive import spray
from balewright.plan.keeping.additive_tank import DoseVerdict, Used, judge_used, plan_tank
from balewright.quantities.errors import BadInput
from balewright.quantities.interval import Interval

JOB = spray(6.0, 20.0, 400.0)  # 120 l/h, 2.4 l a bale
EXACT = Interval(400.0, 400.0, 400.0)


@pytest.mark.derived
def test_a_tank_for_the_day() -> None:
    """200 l at 120 l/h are 100 minutes and 83 whole bales; 250 bales take 600 l: two refills."""
    plan = plan_tank(200.0, JOB, 250)
    assert plan.minutes == pytest.approx(100.0)
    assert (plan.bales, plan.changes) == (83, 2)
    assert plan.day_l == pytest.approx(600.0)


@pytest.mark.derived
def test_a_tank_that_just_lasts_is_not_refilled() -> None:
    """240 l are exactly 100 bales of 2.4 l: no refill for 100, one for 101."""
    assert plan_tank(240.0, JOB, 100).changes == 0
    assert plan_tank(240.0, JOB, 101).changes == 1


@pytest.mark.derived
def test_unknown_stays_unknown() -> None:
    """Without a bale's mass there are minutes and no bales; without a day no refills."""
    plan = plan_tank(200.0, spray(6.0, 20.0))
    assert (plan.bales, plan.changes, plan.day_l) == (None, None, None)
    assert plan_tank(200.0, JOB).changes is None
    assert plan_tank(200.0, spray(6.0, None, 400.0)).minutes is None
    assert plan_tank(200.0, spray(6.0, None, 400.0)).bales == 83


@pytest.mark.derived
def test_a_measured_dose_with_its_error() -> None:
    """48 l over 20 bales of 400 kg are 6 l/t; 2 l of gauge twice make it 5.5 to 6.5, by hand."""
    found = judge_used(Used(48.0, 2.0, 20, EXACT), wanted_l_t=6.0)
    assert (found.given_l_t.low, found.given_l_t.high) == pytest.approx((5.5, 6.5))
    assert found.given_l_t.best == pytest.approx(6.0)
    assert found.verdict is DoseVerdict.RIGHT


@pytest.mark.derived
@pytest.mark.parametrize(
    ("used_l", "gauge_l", "verdict"),
    [
        (48.0, 2.5, DoseVerdict.NOT_SHOWN),
        (30.0, 2.0, DoseVerdict.LOW),
        (64.0, 2.0, DoseVerdict.HIGH),
        (0.0, 1.0, DoseVerdict.LOW),
    ],
)
def test_verdicts(used_l: float, gauge_l: float, verdict: DoseVerdict) -> None:
    """In order, too little or too much only where the whole interval says so."""
    assert judge_used(Used(used_l, gauge_l, 20, EXACT), 6.0).verdict is verdict


@pytest.mark.derived
def test_more_bales_settle_a_gauge_but_not_the_bales_mass() -> None:
    """A gauge good to 5 l needs 34 bales at 2.4 l for +-10 %: 10/(2.4 n) <= 0.1 at n = 41.67, 42.

    A bale known to 350..450 kg alone hides more than 10 % for ever: no number of bales settles it.
    """
    found = judge_used(Used(48.0, 5.0, 20, EXACT), 6.0)
    assert found.verdict is DoseVerdict.NOT_SHOWN
    assert found.settle_bales == 42
    wide = judge_used(Used(48.0, 5.0, 20, Interval(350.0, 400.0, 450.0)), 6.0)
    assert (wide.verdict, wide.settle_bales) == (DoseVerdict.NOT_SHOWN, None)


@pytest.mark.law
@settings(max_examples=80)
@given(
    st.floats(1.0, 500.0),
    st.floats(0.0, 20.0),
    st.integers(1, 500),
    st.floats(200.0, 500.0),
    st.floats(0.0, 100.0),
)
def test_a_better_gauge_never_widens(
    used_l: float, gauge_l: float, bales: int, bale_kg: float, spread_kg: float
) -> None:
    """Halving the gauge's error narrows the interval; the best value stays and lies inside."""
    mass = Interval(bale_kg - spread_kg, bale_kg, bale_kg + spread_kg)
    worse = judge_used(Used(used_l, gauge_l, bales, mass), 6.0).given_l_t
    better = judge_used(Used(used_l, gauge_l / 2.0, bales, mass), 6.0).given_l_t
    assert worse.low <= better.low <= better.best <= better.high <= worse.high
    assert worse.best == better.best


@pytest.mark.law
@given(st.floats(1.0, 2000.0), st.integers(1, 1000))
def test_litres_of_a_day_balance(tank_l: float, bales: int) -> None:
    """The first filling and the refills hold the day's litres, and one less would not."""
    plan = plan_tank(tank_l, JOB, bales)
    assert plan.changes is not None
    assert plan.day_l is not None
    assert (plan.changes + 1) * tank_l >= plan.day_l - 1e-6
    assert plan.changes == 0 or plan.changes * tank_l < plan.day_l + 1e-6


@pytest.mark.own
@pytest.mark.parametrize("bad", [math.nan, math.inf, -1.0, 1e9])
def test_absurd_numbers_are_refused(bad: float) -> None:
    """NaN, infinite, negative and absurd values are BadInput."""
    for call in (
        lambda: plan_tank(bad, JOB),
        lambda: judge_used(Used(bad, 1.0, 20, EXACT), 6.0),
        lambda: judge_used(Used(48.0, bad, 20, EXACT), 6.0),
        lambda: judge_used(Used(48.0, 1.0, 20, EXACT), bad),
        lambda: judge_used(Used(48.0, 1.0, 20, EXACT), 6.0, bad),
    ):
        with pytest.raises(BadInput):
            call()
    with pytest.raises(BadInput, match="bales"):
        judge_used(Used(48.0, 1.0, 0, EXACT), 6.0)
    with pytest.raises(BadInput, match="used_l"):
        judge_used(Used(0.0, 0.0, 20, EXACT), 6.0)
    with pytest.raises(BadInput, match="bale_kg"):
        judge_used(Used(1.0, 1.0, 20, Interval(0.0, 1.0, 2.0)), 6.0)
    with pytest.raises(BadInput, match="l_t"):
        plan_tank(200.0, spray(0.0, 20.0))
