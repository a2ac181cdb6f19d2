"""Damp hay: who would store it, what its heating adds up to, what is lost."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balewright.plan.keeping.heating_sources import celsius
from balewright.plan.keeping.heating_storage import (
    FEW_DEGREE_DAYS,
    FIRE_DAYS,
    MANY_DEGREE_DAYS,
    MOISTURE_LIMITS,
    PEAK_DAYS,
    HayBale,
    Storable,
    heating_degree_days,
    judge_storage,
    storage_loss_frac,
    wrapped_heat,
)
from balewright.quantities.errors import BadInput
from balewright.quantities.sources import source


@pytest.mark.published
def test_degree_days_are_those_of_the_american_sources() -> None:
    """Daily highest less 86 F, summed: 10 days at 116 F are 300 F days, where quality falls fast.

    Lewandowski, Ohio 2013; base of Coblentz and others. Both marks are ours from it: in kelvin
    days 300 are 166.7, our mark for many; 200 are our mark for few.
    """
    days = heating_degree_days([celsius(116.0)] * 10 + [celsius(80.0)] * 5)
    assert days * 1.8 == pytest.approx(10 * (116.0 - 86.0))
    assert days == pytest.approx(MANY_DEGREE_DAYS)
    assert heating_degree_days([celsius(106.0)] * 10) == pytest.approx(FEW_DEGREE_DAYS)


@pytest.mark.published
def test_kansas_bales_peak_in_the_time_that_is_watched() -> None:
    """The hotter, second peak of large bales at 22 % (133 F, day 11) lies in week two.

    Their first peak, at 2 days, lies before it: a bale is watched from the start, not from day 7.
    """
    assert PEAK_DAYS.holds(11.0)
    assert not PEAK_DAYS.holds(2.0)
    assert judge_storage(HayBale.LARGE_SQUARE, 0.22).verdict is Storable.NO


@pytest.mark.published
def test_fires_break_out_in_the_time_that_is_watched() -> None:
    """Two to four weeks after stacking (Purdue Extension) lies inside the time we say."""
    assert FIRE_DAYS.holds(14.0)
    assert FIRE_DAYS.holds(28.0)


@pytest.mark.published
def test_a_point_of_dry_matter_for_a_point_of_moisture() -> None:
    """Hay that goes from 22 to 14 % moisture loses about 8 % of its dry matter (Rankin's rule)."""
    assert storage_loss_frac(0.22, 0.14) == pytest.approx(0.08)
    assert storage_loss_frac(0.14, 0.16) == 0.0


@pytest.mark.published
def test_wrapped_bales_as_in_the_trial() -> None:
    """Unwrapped 134 F; two 1 mil layers 105 to 110 F and mould; 6 mil cool in 8 to 9 days.

    Undersander, Wood & Foster, Wisconsin.
    """
    bare, thin, enough = wrapped_heat(0.0), wrapped_heat(2 * 25.4), wrapped_heat(6 * 25.4)
    assert bare is not None
    assert bare.inside_c is not None
    assert bare.inside_c.best == pytest.approx(celsius(134.0))
    assert thin is not None
    assert thin.inside_c is not None
    assert (thin.inside_c.low, thin.inside_c.high) == pytest.approx((celsius(105), celsius(110)))
    assert thin.moulded is True
    assert enough is not None
    assert enough.cool_after_days is not None
    assert (enough.cool_after_days.low, enough.cool_after_days.high) == (8.0, 9.0)
    assert wrapped_heat(4 * 25.4) is None  # the trial says nothing in between


@pytest.mark.published
def test_who_would_store_a_round_bale() -> None:
    """At 17 % Purdue (18 %) would, California (14 %) would not, Mississippi (16 to 18 %) may."""
    found = judge_storage(HayBale.LARGE_ROUND, 0.17)
    assert found.verdict is Storable.DISPUTED
    assert "purdue-hay-temperatures" in found.agree
    assert "california-hay-temperatures" in found.against
    assert "mississippi-hay-temperatures" not in (*found.agree, *found.against)
    assert judge_storage(HayBale.LARGE_ROUND, 0.19).verdict is Storable.NO
    assert judge_storage(HayBale.LARGE_ROUND, 0.13).verdict is Storable.YES
    assert (found.limit_frac.low, found.limit_frac.high) == (0.13, 0.18)


@pytest.mark.own
def test_every_limit_names_its_source() -> None:
    """Each limit stands in the bibliography and runs from low to high."""
    for limit in MOISTURE_LIMITS:
        assert source(limit.source).text
        assert 0.1 <= limit.low_frac <= limit.high_frac <= 0.25


@pytest.mark.law
@given(st.sampled_from(list(HayBale)), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_damper_is_never_safer(bale: HayBale, one_frac: float, other_frac: float) -> None:
    """A damper bale has no more sources for it and no fewer against it."""
    dry, damp = sorted((one_frac, other_frac))
    assert set(judge_storage(bale, damp).agree) <= set(judge_storage(bale, dry).agree)
    assert set(judge_storage(bale, dry).against) <= set(judge_storage(bale, damp).against)


@pytest.mark.law
@given(st.lists(st.floats(-10.0, 90.0), min_size=1, max_size=40), st.floats(0.0, 20.0))
def test_degree_days_add_up_and_never_fall_with_heat(days: list[float], more_c: float) -> None:
    """Two halves add up to the whole; hotter days never give fewer; cold days give none."""
    whole = heating_degree_days(days)
    assert heating_degree_days([day + more_c for day in days]) >= whole
    assert heating_degree_days(days * 2) == pytest.approx(2 * whole)
    assert heating_degree_days([min(day, 30.0) for day in days]) == 0.0


@pytest.mark.own
@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf, -1.0, 2e4])
def test_absurd_numbers_are_refused(bad: float) -> None:
    """NaN, infinities, negative and absurd values are BadInput."""
    for call in (
        lambda: judge_storage(HayBale.SMALL, bad),
        lambda: storage_loss_frac(bad, 0.14),
        lambda: storage_loss_frac(0.2, bad),
        lambda: wrapped_heat(bad),
    ):
        with pytest.raises(BadInput):
            call()
    if bad != -1.0:
        with pytest.raises(BadInput):
            heating_degree_days([bad])
    with pytest.raises(BadInput, match="days"):
        heating_degree_days([])
