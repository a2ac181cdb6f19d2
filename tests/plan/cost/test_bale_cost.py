"""The cost of a bale: money that closes, and published examples of every part."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.plan.cost.bale_cost import BaleCost, Parts, cost_of
from balewright.plan.cost.outlay import Made, Owned, Season, UnitPrices
from balewright.quantities.errors import BadInput
from plan.cost.examples import MADE, OUTLAY, PRICES

ACRE_HA = 0.40468564224
NOTHING = Owned(0.0, 0.0, 10.0, 0.0, 0.0)


@st.composite
def bales(draw: st.DrawFn) -> Made:
    """Any bale a machine could make."""
    return Made(
        dm_kg=draw(st.floats(50.0, 800.0)),
        bales_h=draw(st.floats(5.0, 80.0)),
        film_m=draw(st.floats(0.0, 200.0)),
        binding_m=draw(st.floats(0.0, 60.0)),
        fuel_l_h=draw(st.floats(0.0, 60.0)),
        additive_l=draw(st.floats(0.0, 5.0)),
    )


@pytest.mark.law
@given(bales())
def test_the_money_closes(made: Made) -> None:
    """Parts sum to the bale; bales of a hectare, an hour and the year sum to those."""
    cost = cost_of(made, OUTLAY)
    parts = [money for _, money in cost.parts.items()]
    assert len(parts) == 9
    assert min(parts) >= 0.0
    assert sum(parts) == pytest.approx(cost.bale_money, rel=1e-12)
    assert cost.fixed_money + cost.variable_money == pytest.approx(cost.bale_money, rel=1e-12)
    assert cost.bale_money * cost.bales_ha == pytest.approx(cost.money_ha, rel=1e-12)
    assert cost.money_t_dm * OUTLAY.season.dm_t_ha == pytest.approx(cost.money_ha, rel=1e-9)
    assert cost.money_t_dm * OUTLAY.season.dm_t_year == pytest.approx(cost.money_year, rel=1e-9)
    assert cost.money_h * cost.machine_h == pytest.approx(cost.money_year, rel=1e-9)


@pytest.mark.law
@given(bales())
def test_a_year_of_owning_is_paid_by_the_years_bales(made: Made) -> None:
    """What all bales carry of the machine is what owning it costs a year, however fast it works."""
    cost = cost_of(made, OUTLAY)
    year_money = OUTLAY.machine.year(cost.machine_h).year_money
    assert cost.parts.machine_money * cost.bales_year == pytest.approx(year_money, rel=1e-9)


@pytest.mark.law
@settings(max_examples=60)
@given(
    bales(),
    st.sampled_from(["film_roll_money", "binding_roll_money", "fuel_money_l", "wage_money_h"]),
    st.floats(1.0, 3.0),
)
def test_no_price_makes_a_bale_cheaper_by_rising(made: Made, price: str, times: float) -> None:
    """A price that rises never lowers the cost, and doubling all money doubles it."""
    dearer = replace(PRICES, **{price: getattr(PRICES, price) * times})
    before = cost_of(made, OUTLAY).bale_money
    assert cost_of(made, replace(OUTLAY, prices=dearer)).bale_money >= before * (1 - 1e-12)


@pytest.mark.law
@given(bales(), st.floats(0.01, 100.0))
def test_another_currency_is_only_another_number(made: Made, rate: float) -> None:
    """With every amount times the rate of exchange, the cost is times it too."""

    def exchanged(owned: Owned) -> Owned:
        money = (owned.price_money * rate, owned.list_price_money * rate)
        return replace(owned, price_money=money[0], list_price_money=money[1])

    p = PRICES
    prices = UnitPrices(
        p.film_roll_money * rate,
        p.film_roll_m,
        p.binding_roll_money * rate,
        p.binding_roll_m,
        p.fuel_money_l * rate,
        p.wage_money_h * rate,
        p.additive_money_l * rate,
    )
    there = replace(
        OUTLAY,
        machine=exchanged(OUTLAY.machine),
        tractor=exchanged(OUTLAY.tractor),
        prices=prices,
    )
    here = cost_of(made, OUTLAY).bale_money
    assert cost_of(made, there).bale_money == pytest.approx(here * rate, rel=1e-9)


@pytest.mark.published
def test_film_of_a_bale_from_its_roll() -> None:
    """A roll of 100 that does 24 to 25 bales is about 4 a bale; two of 80 for 70 bales are 2.29.

    Fahy, Teagasc 2022 ("about" 4, and over 100 a roll: 4.00 to 4.17); Rudstrom, Minnesota: 2.43
    with end caps on the row, which we leave out, so ours must lie below it.
    """
    for per_roll, says in ((24, 4.17), (25, 4.00)):
        film = replace(PRICES, film_roll_money=100.0, film_roll_m=1500.0)
        made = replace(MADE, film_m=1500.0 / per_roll)
        parts = cost_of(made, replace(OUTLAY, prices=film)).parts
        assert parts.film_money == pytest.approx(says, abs=0.005)
    film = replace(PRICES, film_roll_money=80.0, film_roll_m=1500.0)
    made = replace(MADE, film_m=2 * 1500.0 / 70)
    parts = cost_of(made, replace(OUTLAY, prices=film)).parts
    assert 2.43 * 0.9 < parts.film_money < 2.43


@pytest.mark.published
def test_cost_an_hour_to_cost_a_tonne() -> None:
    """178.36 Rs/h at 800 kg/h are 222.95 Rs/t.

    Indian Agricultural Statistics Research Institute, lesson 14: fuel 3.15 l/h at 11, oil a fifth
    of it, four labourers at 8 and a driver at 20; what it reckons as owning and repairs (40.62 +
    2.83 for the tractor, 11.25 + 10.31 + 2.50 + 17.27 for the thresher) is put in as wages of the
    hour, because it takes other repair factors than ours.
    """
    owning = 40.62 + 2.83 + 11.25 + 10.31 + 2.50 + 17.27
    oil = 6.93 - 0.15 * 34.65  # ours takes 15 % of the fuel by itself
    wage = owning + 20.00 + 4 * 8.00 + oil
    outlay = replace(
        OUTLAY,
        machine=NOTHING,
        tractor=NOTHING,
        prices=UnitPrices(0.0, 1500.0, 0.0, 3000.0, 11.0, wage),
        season=Season(160.0, 4.0),
        labour_factor_share=1.0,
    )
    cost = cost_of(Made(100.0, 8.0, 0.0, 0.0, 3.15), outlay)
    assert cost.money_h == pytest.approx(178.36, abs=0.005)
    assert cost.money_t_dm == pytest.approx(222.95, abs=0.01)


@pytest.mark.published
def test_owning_a_wrapper_over_a_thousand_bales() -> None:
    """A wrapper of 20 000 costs 2.67 a bale at 1 000 bales a year, repairs and shelter in it.

    Rudstrom, Minnesota, names no years, rates or resale. Ours must reach 2.67 within what
    extension services take for the three: 8 to 15 years, 4 to 8 % interest, 1 to 2 % tax,
    insurance and housing; and repairs at 10 hours (100 bales/h) add next to nothing.
    """
    found = []
    for kept, rate, tih in ((15.0, 0.04, 0.01), (8.0, 0.08, 0.02)):
        wrapper = Owned(20_000.0, 20_000.0, kept, rate, tih)
        outlay = replace(OUTLAY, machine=wrapper, season=Season(500.0, 4.0))
        cost = cost_of(replace(MADE, dm_kg=500.0, bales_h=100.0), outlay)
        assert cost.bales_year == pytest.approx(1000.0)
        found.append(cost.parts.machine_money)
    assert found[0] < 2.67 < found[1]


def _hired(each: float, dm_kg: float, dm_t_ha: float) -> BaleCost:
    """A bale whose whole cost is one sum."""
    parts = Parts(0.0, 0.0, 0.0, 0.0, 0.0, each, 0.0, 0.0, 0.0)
    bales_ha = dm_t_ha * 1000.0 / dm_kg
    return BaleCost(parts, dm_kg, 20.0, bales_ha, 1000.0, 50.0, 500.0)


@pytest.mark.published
def test_money_an_acre_and_money_a_bale() -> None:
    """70, 30 and 100 an acre are 7, 3 and 10 a bale at ten bales an acre of 5 t DM/ha.

    Fahy, Teagasc 2022; the parts 7 + 3 + 12 + 4 + 1 are 27, with rent 37. Ten bales of an acre
    hold 2.02 t, so a bale has 202 kg; whole euros.
    """
    dm_kg = 5000.0 * ACRE_HA / 10
    for each, acre in ((7.0, 70.0), (3.0, 30.0), (10.0, 100.0), (27.0, 270.0)):
        assert _hired(each, dm_kg, 5.0).money_ha * ACRE_HA == pytest.approx(acre, abs=0.5)
    parts = Parts(0.0, 0.0, 0.0, 1.0, 7.0, 3.0, 4.0, 0.0, 12.0)
    assert replace(_hired(0.0, dm_kg, 5.0), parts=parts).bale_money == pytest.approx(27.0)


@pytest.mark.published
def test_money_a_bale_and_money_a_tonne_of_dry_matter() -> None:
    """45 to 50 a bale and 226 a tonne of dry matter are one cost for bales of 199 to 221 kg DM.

    Teagasc 2022 does not print the dry matter of its bale; its adviser of the same year has 202
    kg (ten bales an acre of 5 t DM/ha), for which ours gives 222 to 247: 226 lies inside.
    """
    dm_kg = 5000.0 * ACRE_HA / 10
    low, high = (_hired(each, dm_kg, 5.0).money_t_dm for each in (45.0, 50.0))
    assert low < 226.0 < high
    assert (low, high) == pytest.approx((222, 247), abs=1.0)


@pytest.mark.own
def test_a_cost_by_hand() -> None:
    """250 kg DM, 30 bales/h, 4800 bales in 160 h: every part worked out beside the code."""
    cost = cost_of(MADE, OUTLAY)
    parts = cost.parts
    assert cost.bales_year == pytest.approx(4800.0)
    assert cost.machine_h == pytest.approx(160.0)
    assert cost.bales_ha == pytest.approx(16.0)
    assert parts.film_money == pytest.approx(70 * 95 / 1500)
    assert parts.binding_money == pytest.approx(10 * 230 / 3000)
    assert parts.fuel_money == pytest.approx(22 / 30 * 1.10)
    assert parts.lubricant_money == pytest.approx(0.15 * 22 / 30 * 1.10)
    assert parts.labour_money == pytest.approx(1.1 * 20 / 30)
    assert parts.additive_money == pytest.approx(1.5)
    baler_h = 135_000 * 0.43 * 1.28**1.8 / 1280
    tractor_h = 150_000 * 0.003 * 8.4**2 / 8400
    assert parts.repair_money == pytest.approx((baler_h + tractor_h) / 30)
    assert not cost.beyond_life


@pytest.mark.own
@pytest.mark.parametrize("bad", [float("nan"), float("inf"), -1.0, 0.0])
def test_what_is_no_bale_is_refused(bad: float) -> None:
    """NaN, infinite, negative and empty bales, paces, seasons and rolls are refused by name."""
    for name in ("dm_kg", "bales_h"):
        with pytest.raises(BadInput, match=name):
            replace(MADE, **{name: bad})
    with pytest.raises(BadInput, match="dm_t_year"):
        Season(bad, 4.0)
    with pytest.raises(BadInput, match="film_roll_m"):
        replace(PRICES, film_roll_m=bad)


@pytest.mark.own
def test_a_season_longer_than_a_year_is_refused() -> None:
    """A million tonnes at five bales an hour is more than 8760 hours."""
    with pytest.raises(BadInput, match="machine_h"):
        cost_of(replace(MADE, bales_h=5.0), replace(OUTLAY, season=Season(1e6, 4.0)))
