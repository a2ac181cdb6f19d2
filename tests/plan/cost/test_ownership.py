"""Owning a machine against published examples, an independent library, and what must hold."""

from __future__ import annotations

import math

import numpy_financial as npf
import pytest
from hypothesis import given
from hypothesis import strategies as st

from balewright.plan.cost.outlay import Owned
from balewright.plan.cost.ownership import (
    Ownership,
    Resale,
    capital_recovery_factor,
    capital_recovery_money,
    real_interest_frac,
    share_of_mean_money,
    straight_line_money,
)
from balewright.quantities.errors import BadInput

money = st.floats(0.0, 1e6)
rates = st.one_of(st.just(0.0), st.floats(1e-9, 0.5))
years = st.floats(0.5, 40.0)


@pytest.mark.reference
@pytest.mark.check(model="cost.capital_recovery", source="numpy-financial")
@given(st.floats(1e-4, 0.5), st.integers(1, 40), st.floats(1.0, 1e6), st.floats(0.0, 1.0))
def test_capital_recovery_is_the_payment_of_an_annuity(
    rate: float, year: int, price: float, left: float
) -> None:
    """The yearly sum pays the price and leaves the resale value, as numpy-financial reckons it.

    Relative 1e-9: both work in double precision, and at 0.01 % a year, the least rate here,
    theirs keeps about ten digits.
    """
    ours = capital_recovery_money(price, left * price, rate, year)
    theirs = -npf.pmt(rate, year, price, -left * price)
    assert ours == pytest.approx(theirs, rel=1e-9, abs=1e-6)


@pytest.mark.reference
@pytest.mark.check(model="cost.capital_recovery", source="numpy-financial")
def test_interest_and_principal_add_up_to_the_factor() -> None:
    """Year by year, interest on what is left and what is paid back make the even payment."""
    factor = capital_recovery_factor(0.055, 8)
    for year in range(1, 9):
        paid = -(npf.ipmt(0.055, year, 8, 1.0) + npf.ppmt(0.055, year, 8, 1.0))
        assert factor == pytest.approx(float(paid), rel=1e-12)


@pytest.mark.published
@pytest.mark.check(model="cost.share_of_mean", source="iowa-calculator")
def test_the_row_of_the_iowa_calculator() -> None:
    """Tax, insurance and housing: 977 a year on 160 000 worth 35 391 later, 219 on 32 000 and
    11 852.

    Iowa State University, calculator to A3-29, whole dollars: one share, 1 % of the mean value,
    gives both. It prints no interest: 5.5 % gives its capital recovery of the tractor (21 618) to
    the dollar, but is fitted to it and counts for nothing; that of its implement (6 478) no
    single round rate gives over the five years that it names.
    """
    capital = capital_recovery_money(160_000, 35_391, 0.055, 8)
    tih = share_of_mean_money(160_000, 35_391, 0.01)
    assert capital == pytest.approx(21_618, abs=0.5)
    assert tih == pytest.approx(977, abs=0.5)
    assert Ownership(capital, tih).year_money == pytest.approx(22_595, abs=1.0)
    assert share_of_mean_money(32_000, 11_852, 0.01) == pytest.approx(219, abs=0.5)


@pytest.mark.published
@pytest.mark.check(model="cost.capital_recovery", source="capital-recovery-exercise")
def test_exercises_of_an_engineers_board() -> None:
    """100 000, a fifth left after 15 years, 10 %: 12 517.90 a year; 50 000, a tenth left after
    10 years, 8 %: 7 105 (ours 7 106.33: a factor of 0.149 instead of 0.14903 gives theirs).

    Printed elsewhere as 12 517.60, with a factor of five places: half a unit of the fifth on
    80 000 is 0.40.
    """
    ours = capital_recovery_money(100_000, 20_000, 0.10, 15)
    assert ours == pytest.approx(12_517.90, abs=0.005)
    assert ours == pytest.approx(12_517.60, abs=0.40)
    assert capital_recovery_money(50_000, 5_000, 0.08, 10) == pytest.approx(7_105, abs=1.5)


@pytest.mark.published
@pytest.mark.check(model="cost.capital_recovery", source="capital-recovery-two-ways")
def test_an_exercise_solved_in_two_ways() -> None:
    """50 000, 5 000 left after 5 years, 10 %: 12 371 a year, by either equation of the solution.

    Its factor has five places, so up to half a unit of the fifth on 45 000 is 0.23; whole units.
    """
    ours = capital_recovery_money(50_000, 5_000, 0.10, 5)
    assert ours == pytest.approx(12_371, abs=0.73)


@pytest.mark.derived
def test_the_iowa_tractor_by_hand() -> None:
    """130 000 paid, 34 500 left, 8 %, 15 years: 0.1168 x 95 500 + 0.08 x 34 500 = 13 917."""
    assert capital_recovery_factor(0.08, 15) == pytest.approx(0.1168, abs=5e-5)
    assert capital_recovery_money(130_000, 34_500, 0.08, 15) == pytest.approx(13_917, abs=1.0)


@pytest.mark.published
@pytest.mark.check(model="cost.resale", source="iowa-a3-29")
def test_the_iowa_tractor_of_180_hp_fetches_23_percent() -> None:
    """After 15 years at 400 hours a year 23 % of the list price is left: 34 500 and 25 300.

    Iowa State A3-29 and its older printing give whole per cents.
    """
    left = Resale.TRACTOR_LARGE.left_frac(15, 400)
    assert round(left, 2) == 0.23
    assert round(left, 2) * 150_000 == pytest.approx(34_500)
    assert round(left, 2) * 110_000 == pytest.approx(25_300)


@pytest.mark.published
def test_value_lost_and_real_interest_of_the_older_printing() -> None:
    """93 500 paid and 25 300 left: 68 200 lost; 8 % interest and 3 % inflation are 5 % real.

    Iowa State, an older printing of A3-29. Both are differences: they count for nothing more.
    """
    assert straight_line_money(93_500, 25_300, 15) * 15 == pytest.approx(68_200)
    assert real_interest_frac(0.08, 0.03) == pytest.approx(0.05)


#: Iowa State PM 710, table 1a: per cent of the new list price left at ages 1 to 20.
_LEFT = {
    (Resale.TRACTOR_SMALL, 200): "65 59 54 51 48 45 42 40 38 36 35 33 32 30 29 28 26 25 24 23",
    (Resale.TRACTOR_SMALL, 400): "60 54 49 46 43 40 38 36 34 32 31 29 28 27 25 24 23 22 21 20",
    (Resale.TRACTOR_SMALL, 600): "56 50 46 43 40 37 35 33 31 30 28 27 25 24 23 22 21 20 19 18",
    (Resale.TRACTOR_MIDDLE, 200): "69 62 57 53 50 47 44 42 40 38 36 34 33 31 30 28 27 26 25 24",
    (Resale.TRACTOR_MIDDLE, 400): "68 62 57 53 49 46 44 41 39 37 35 34 32 31 29 28 27 25 24 23",
}


@pytest.mark.published
@pytest.mark.check(model="cost.resale", source="iowa-pm-710")
@pytest.mark.parametrize(("kind", "hours"), list(_LEFT))
def test_the_published_table_of_what_is_left(kind: Resale, hours: int) -> None:
    """Each of twenty ages comes out as printed, in whole per cents.

    Half a per cent is their rounding: no small tractor is further off. Of the middle class two of
    forty are (by 0.06 and 0.07), so that ours would print 26 and 23 where they print 27 and 24.
    """
    off = [
        abs(100 * kind.left_frac(age, hours) - int(printed))
        for age, printed in enumerate(_LEFT[kind, hours].split(), start=1)
    ]
    assert max(off) <= (0.5 if kind is Resale.TRACTOR_SMALL else 0.58)
    assert sum(value > 0.5 for value in off) <= 1


@pytest.mark.derived
def test_what_is_left_of_a_baler() -> None:
    """56.4, 50.3, 45.8, 42.2, 39.2 % after 1 to 5 years and 28.4 % after 10.

    Arithmetic of (0.852 - 0.101 sqrt(n))^2, ASAE D497 from memory; ours has a place more, which
    moves it by less than 0.2 of a per cent.
    """
    for age, per_cent in ((1, 56.4), (2, 50.3), (3, 45.8), (4, 42.2), (5, 39.2), (10, 28.4)):
        assert 100 * Resale.BALER.left_frac(age, 100) == pytest.approx(per_cent, abs=0.2)


@pytest.mark.published
@pytest.mark.check(model="cost.straight_line", source="iasri-14")
def test_fixed_cost_of_a_tractor_and_a_thresher() -> None:
    """15.00 + 20.63 + 5.00 = 40.62 Rs/h for the tractor; 11.25, 10.31 and 2.50 for the thresher.

    Indian Agricultural Statistics Research Institute, lesson 14. Printed to a hundredth; the sum
    was taken before rounding. Shelter and insurance there are a share of the price: as a share of
    the mean of price and itself.
    """
    lost = straight_line_money(250_000, 25_000, 15) / 1000
    interest = share_of_mean_money(250_000, 25_000, 0.15) / 1000
    shelter = share_of_mean_money(250_000, 250_000, 0.02) / 1000
    assert lost == pytest.approx(15.00, abs=0.005)
    assert interest == pytest.approx(20.63, abs=0.0051)
    assert lost + interest + shelter == pytest.approx(40.62, abs=0.0051)
    assert straight_line_money(25_000, 2_500, 10) / 200 == pytest.approx(11.25, abs=0.005)
    assert share_of_mean_money(25_000, 2_500, 0.15) / 200 == pytest.approx(10.31, abs=0.005)


@pytest.mark.published
@pytest.mark.check(model="cost.straight_line", source="tie-2023")
def test_fixed_cost_of_a_cultivator() -> None:
    """2 000 000 kept 10 years at 450 h: 400 + 342.2 + 73.3 = 815.5 an hour.

    Tanzania Institute of Education 2023: a tenth left, 14 % interest, 3 % tax, insurance and
    housing. Printed to a tenth, added after rounding.
    """
    lost = straight_line_money(2_000_000, 200_000, 10) / 450
    interest = share_of_mean_money(2_000_000, 200_000, 0.14) / 450
    tih = share_of_mean_money(2_000_000, 200_000, 0.03) / 450
    assert lost == pytest.approx(400, abs=0.05)
    assert interest == pytest.approx(342.2, abs=0.05)
    assert tih == pytest.approx(73.3, abs=0.05)
    assert lost + interest + tih == pytest.approx(815.5, abs=0.1)


@pytest.mark.law
@given(st.floats(1.0, 1e6), st.floats(0.0, 1.0), st.floats(0.001, 0.5), st.floats(1.0, 40.0))
def test_recovery_lies_between_simple_limits(
    price: float, left: float, rate: float, year: float
) -> None:
    """It is more than the value lost a year, and less than that with interest on all of it."""
    resale = left * price
    lost = straight_line_money(price, resale, year)
    recovered = capital_recovery_money(price, resale, rate, year)
    assert recovered >= lost * (1 - 1e-12)
    assert recovered <= (lost + price * rate) * (1 + 1e-12)


@pytest.mark.law
@given(rates, years)
def test_the_factor_pays_one_back(rate: float, year: float) -> None:
    """Payments of the factor, discounted, are worth one; without interest it is 1/years."""
    factor = capital_recovery_factor(rate, year)
    worth = year if rate == 0 else -math.expm1(-year * math.log1p(rate)) / rate
    assert factor * worth == pytest.approx(1.0, rel=1e-12)


@pytest.mark.law
@given(st.sampled_from(Resale), st.floats(0.0, 59.0), st.floats(0.0, 3000.0), st.floats(0.01, 1.0))
def test_a_machine_never_gains_with_age_or_use(
    kind: Resale, age: float, hours: float, more: float
) -> None:
    """A year or an hour more never leaves more, and the share stays between 0 and 1."""
    left = kind.left_frac(age, hours)
    assert 0.0 <= left <= 1.0
    assert kind.left_frac(age + more, hours) <= left
    assert kind.left_frac(age, hours + 1000 * more) <= left


BAD = (float("nan"), float("inf"), -1.0)


@pytest.mark.own
@pytest.mark.parametrize("bad", BAD)
def test_what_is_no_amount_is_refused(bad: float) -> None:
    """NaN, infinity and negative amounts, rates and years are refused by name."""
    with pytest.raises(BadInput, match="price_money"):
        capital_recovery_money(bad, 0.0, 0.05, 10)
    with pytest.raises(BadInput, match="interest_frac"):
        capital_recovery_factor(bad, 10)
    with pytest.raises(BadInput, match="years"):
        straight_line_money(100.0, 0.0, bad)
    with pytest.raises(BadInput, match="share_frac"):
        share_of_mean_money(100.0, 0.0, bad)
    with pytest.raises(BadInput, match="years"):
        Resale.BALER.left_frac(bad, 100)


@pytest.mark.own
def test_a_machine_cannot_fetch_more_than_was_paid() -> None:
    """Resale above the price, zero years and a rate in per cent are refused."""
    with pytest.raises(BadInput, match="resale_money"):
        capital_recovery_money(100.0, 101.0, 0.05, 10)
    with pytest.raises(BadInput, match="years"):
        capital_recovery_factor(0.05, 0.0)
    with pytest.raises(BadInput, match="interest_frac"):
        capital_recovery_factor(5.5, 10)
    with pytest.raises(BadInput, match="resale_money"):
        Owned(100.0, 120.0, 10, 0.05, 0.01, resale_money=200.0)


@pytest.mark.law
@given(st.floats(1.0, 1e5), st.floats(1.0, 1e5), years, rates, st.floats(0.0, 3000.0))
def test_a_machine_bought_cheap_is_not_sold_dear(
    price: float, listed: float, kept: float, rate: float, hours: float
) -> None:
    """Whatever the list price, the resale value never exceeds what was paid."""
    owned = Owned(price, listed, kept, rate, 0.01)
    assert 0.0 <= owned.fetches_money(hours) <= price
    assert owned.year(hours).year_money > 0.0
