"""Repairs, fuel, lubricants and labour against published tables and examples."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balewright.plan.cost.running import (
    LABOUR_FACTOR,
    Wear,
    WearOf,
    fuel_year_l_h,
    labour_money,
    lubricant_money,
)
from balewright.quantities.errors import BadInput

L_PER_GAL = 3.785411784
KW_PER_HP = 0.745699872

#: Iowa State PM 710, table 3: (hours between two columns, per cent of the list price).
_TABLE = {
    WearOf.TRACTOR_TWO_WHEEL: (1000, "1 3 6 11 18 25 34 45 57 70"),
    WearOf.TRACTOR_FOUR_WHEEL: (1000, "0 1 3 5 8 11 15 19 24 30"),
    WearOf.MOULDBOARD_PLOUGH: (200, "2 6 12 19 29 40 53 68 84 101"),
    WearOf.TANDEM_DISK: (200, "1 4 8 12 18 25 32 40 49 58"),
    WearOf.CHISEL_PLOUGH: (200, "3 8 14 20 28 36 45 54 64"),
}


@pytest.mark.published
@pytest.mark.check(model="cost.repair", source="iowa-table-3")
@pytest.mark.parametrize("kind", list(_TABLE))
def test_the_published_table_of_repairs(kind: WearOf) -> None:
    """The power law gives each column of the table, in whole per cents.

    Half a per cent is their rounding, and 0.02 that the plough's 1.0098 and the like leave.
    """
    step, printed = _TABLE[kind]
    for column, per_cent in enumerate(printed.split(), start=1):
        share = 100 * kind.value.share_frac(column * step)
        assert share == pytest.approx(int(per_cent), abs=0.52)


@pytest.mark.published
@pytest.mark.check(model="cost.repair", source="wisconsin-machcost")
def test_repairs_over_a_life_are_the_price() -> None:
    """A tractor after 12 000 h and a plough after 2 000 h have cost their price in repairs.

    University of Wisconsin worksheet: both 100 % (ours 100.8 and 101.0: the table's per cents are
    round, and one per cent is what they leave).
    """
    assert WearOf.TRACTOR_TWO_WHEEL.value.share_frac(12_000) == pytest.approx(1.0, abs=0.011)
    assert WearOf.MOULDBOARD_PLOUGH.value.share_frac(2_000) == pytest.approx(1.0, abs=0.011)


@pytest.mark.published
@pytest.mark.check(model="cost.running", source="iowa-tractor-105")
def test_repairs_of_the_105_hp_tractor() -> None:
    """List price 80 000, 6 000 hours: 20 000 in all, 3.33 an hour.

    Growing Produce after Iowa State, which reads 25 % off a chart; the law gives 25.2 %, one
    per cent more money.
    """
    wear = WearOf.TRACTOR_TWO_WHEEL.value
    assert wear.money(80_000, 6_000) == pytest.approx(20_000, rel=0.01)
    assert wear.hour_money(80_000, 6_000) == pytest.approx(3.33, rel=0.011)


@pytest.mark.published
@pytest.mark.check(model="cost.running", source="iowa-tractor-105")
def test_fuel_and_lubricants_of_the_105_hp_tractor() -> None:
    """4.62 gal/h; at 3.40 a gallon 15.71 an hour, and lubricants 2.36.

    Growing Produce after Iowa State, 0.044 gal for each hp and hour. Our 0.223 l/kWh is that
    figure in litres, rounded: 0.2 % apart, and cents are rounded twice on the way to 2.36.
    """
    gallons = fuel_year_l_h(105 * KW_PER_HP) / L_PER_GAL
    assert gallons == pytest.approx(4.62, rel=0.003)
    assert gallons * 3.40 == pytest.approx(15.71, rel=0.003)
    assert lubricant_money(gallons * 3.40) == pytest.approx(2.36, abs=0.01)


@pytest.mark.published
def test_fuel_of_other_tractors() -> None:
    """310 hp burn 13.6 gal/h; 0.73 x 0.06 and 0.044 gal are the same for each hp and hour.

    Illinois prints a tenth (0.4 %), the equation sheet's product is 0.0438 (0.5 %).
    """
    each_hp = fuel_year_l_h(KW_PER_HP * 100) / 100 / L_PER_GAL
    assert 310 * each_hp == pytest.approx(13.6, rel=0.005)
    assert each_hp == pytest.approx(0.73 * 0.06, rel=0.006)
    assert each_hp == pytest.approx(0.044, rel=0.003)


@pytest.mark.published
def test_lubricants_and_labour_of_the_equation_sheet() -> None:
    """Lubricants are 0.15 of the fuel; labour is 1.1 (tractors) and 1.2 (others) of the wage.

    Our factors are those of the sheet: this holds them, and counts for nothing more.
    """
    assert lubricant_money(100.0) == pytest.approx(15.0)
    assert labour_money(1.0, 10.0) == pytest.approx(11.0)
    assert labour_money(1.0, 10.0, LABOUR_FACTOR.high) == pytest.approx(12.0)


@pytest.mark.published
def test_labour_of_the_illinois_tables() -> None:
    """13.50 an hour and 10 % more hours than the tractor's are 14.85 (University of Illinois)."""
    assert labour_money(1.0, 13.50) == pytest.approx(14.85, abs=0.005)


@pytest.mark.published
def test_lubricants_are_not_the_same_everywhere() -> None:
    """The Indian example takes 20 % of the fuel for oil, 6.93 on 34.65: a third above ours.

    Indian Agricultural Statistics Research Institute, lesson 14.
    """
    assert 6.93 / lubricant_money(34.65) == pytest.approx(4 / 3, abs=0.002)


@pytest.mark.derived
@pytest.mark.check(model="cost.repair", source="d497-values-memory")
def test_repairs_of_a_round_baler_by_hand() -> None:
    """List price 60 000: 2 128, 7 409, 25 800 and 53 528 after 250, 500, 1 000 and 1 500 hours.

    0.43 x 60 000 x (h/1000)^1.8 by hand; 89.2 % of the price over its life, where the standard
    says 90 (from memory).
    """
    wear = WearOf.ROUND_BALER.value
    for hours, spent in ((250, 2_128), (500, 7_409), (1000, 25_800), (1500, 53_528)):
        assert wear.money(60_000, hours) == pytest.approx(spent, abs=1.0)
    assert wear.share_frac(1500) == pytest.approx(0.90, abs=0.009)


@pytest.mark.law
@given(
    st.sampled_from(WearOf),
    st.floats(1.0, 5000.0),
    st.floats(1.0, 5000.0),
    st.floats(1.0, 1e6),
)
def test_repairs_of_two_spells_add_up(kind: WearOf, first: float, then: float, p: float) -> None:
    """Repairs of one spell and the next are those of both together, and the later hour costs
    no less.
    """
    wear = kind.value
    both = wear.hour_money(p, first) * first + wear.hour_money(p, then, first) * then
    assert both == pytest.approx(wear.money(p, first + then), rel=1e-9)
    assert wear.hour_money(p, then, first) >= wear.hour_money(p, then) * (1 - 1e-9)


@pytest.mark.own
@pytest.mark.parametrize("bad", [float("nan"), float("inf"), -1.0])
def test_what_is_no_number_is_refused(bad: float) -> None:
    """NaN, infinity and negative hours, power, money and wages are refused by name."""
    with pytest.raises(BadInput, match="hours"):
        WearOf.ROUND_BALER.value.share_frac(bad)
    with pytest.raises(BadInput, match="rated_pto_kw"):
        fuel_year_l_h(bad)
    with pytest.raises(BadInput, match="fuel_money"):
        lubricant_money(bad)
    with pytest.raises(BadInput, match="wage_money_h"):
        labour_money(1.0, bad)
    with pytest.raises(BadInput, match="first_frac"):
        Wear(bad, 1.8)
    with pytest.raises(BadInput, match="growth_exponent"):
        Wear(0.43, bad)
    with pytest.raises(BadInput, match="hours"):
        WearOf.ROUND_BALER.value.hour_money(1000.0, 0.0)
