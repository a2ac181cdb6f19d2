"""What a bale costs in film."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.plan.film.layers import bale_turn_from_advance
from balewright.plan.film.rolls import (
    FilmBill,
    RollBought,
    binding_metres_m,
    film_bill,
    metres_each_m,
)
from balewright.plan.film.strip import Bale, Film, film_use
from balewright.plan.film.turns import turns_needed
from balewright.quantities.errors import BadInput
from balewright.quantities.si import M_PER_UM

FOOT_M = 0.3048
BALE = Bale(1.2, 1.2)
FILM = Film(0.75, 25 * M_PER_UM, 1500.0, 0.70)


def bill_for(layers: int, roll: RollBought, bale: Bale = BALE, dm_kg: float = 220.0) -> FilmBill:
    """One dispenser, half overlap of a 0.595 m strip, as many turns as the layers need."""
    turns = turns_needed(bale, 0.595, bale_turn_from_advance(0.2975, bale.diameter_m), 1, layers)
    return film_bill(roll, bale, (float(turns),), dm_kg)


@pytest.mark.published
def test_money_a_bale_meets_the_published_range() -> None:
    """3 to 4 dollars a bale, 25 to 30 bales a roll of 5000 to 6000 ft (Penn State). At 80 dollars a
    roll (Rudstrom, Minnesota) six layers of 30 in film come to 2.96 dollars on the shorter roll: 3
    in the whole dollars that are published. The longer one would come to 2.47, below them.
    """
    film = Film(0.75, 25.4 * M_PER_UM, 5000 * FOOT_M, 0.70)
    bill = bill_for(6, RollBought(film, price_money=80.0))
    assert 25.0 <= bill.bales_per_roll <= 30.0
    assert bill.bale_money is not None
    assert 3 <= round(bill.bale_money) <= 4


@pytest.mark.published
def test_plastic_a_bale_and_a_tonne_of_dry_matter_lie_in_what_farms_used() -> None:
    """Four Scottish farms (Farm Advisory Service 2021): 0.75 to 2.25 kg of film and net a bale on
    201 to 310 kg of dry matter.

    Our film for 4 to 8 layers, with 0.13 kg of net (2.5 turns of 11 g/m2, derived), lies inside;
    a tonne of dry matter at six layers lies inside the 3.7 to 8.0 kg that their rows make.
    """
    net_kg = 2.5 * math.pi * 1.2 * 1.23 * 0.011
    for layers in (4, 6, 8):
        film_kg = bill_for(layers, RollBought(FILM)).film_g / 1000.0
        assert 0.75 <= film_kg + net_kg <= 2.25
    for dm_kg in (201.0, 224.0, 280.0):
        film_kg_t = bill_for(6, RollBought(FILM), dm_kg=dm_kg).film_kg_t
        assert film_kg_t is not None
        assert 3.7 <= film_kg_t + net_kg / (dm_kg / 1000.0) <= 8.0


@pytest.mark.derived
@pytest.mark.parametrize(
    ("turns", "metres", "grams", "bales"),
    [(14, 39.5, 686, 37.9), (21, 59.3, 1028, 25.3), (28, 79.1, 1371, 19.0)],
)
def test_worked_figures(turns: int, metres: float, grams: float, bales: float) -> None:
    """1.2 x 1.2 m, 0.75 m film of 25 um at 70 %: worked out by hand from the geometry."""
    bill = film_bill(RollBought(FILM), BALE, (float(turns),))
    assert round(bill.film_m, 1) == metres
    assert round(bill.film_g) == pytest.approx(grams, abs=1)
    assert round(bill.bales_per_roll, 1) == bales
    assert (bill.bale_money, bill.film_kg_t, bill.film_money_t) == (None, None, None)


@pytest.mark.derived
def test_net_for_a_bale_by_hand() -> None:
    """2.5 turns on 1.25 m are 9.82 m: 203 bales to a roll of 2000 m. Stretched film takes less."""
    net_m = binding_metres_m(Bale(1.25, 1.23), 2.5)
    assert round(net_m, 2) == 9.82
    assert int(2000.0 / net_m) == 203
    assert binding_metres_m(Bale(1.25, 1.23), 2.5, 0.25) == pytest.approx(net_m / 1.25)


@pytest.mark.law
@settings(max_examples=40)
@given(
    one=st.floats(1.0, 40.0),
    other=st.floats(0.0, 40.0),
    price=st.floats(1.0, 500.0),
    rest_m=st.floats(0.0, 100.0),
)
def test_money_and_mass_close(one: float, other: float, price: float, rest_m: float) -> None:
    """Bales a roll is worth, times money a bale, is the roll's price; grams of all rolls add up."""
    roll = RollBought(FILM, rest_m, price)
    bill = film_bill(roll, BALE, (one, other), 220.0)
    assert bill.bale_money is not None
    assert bill.bale_money * bill.bales_per_roll == pytest.approx(price)
    assert bill.film_m == pytest.approx(sum(metres_each_m(FILM, BALE, (one, other))))
    alone = film_bill(roll, BALE, (one + other,))
    assert bill.film_g == pytest.approx(alone.film_g)
    assert bill.film_kg_t == pytest.approx(bill.film_g / 220.0)
    same = film_use(FILM, BALE, max(one, 1.0), 2)
    assert film_bill(roll, BALE, (one, one)).film_m == pytest.approx(same.m_bale)


@pytest.mark.law
@pytest.mark.parametrize("bad", [float("nan"), float("inf"), -1.0])
def test_what_cannot_be_is_refused(bad: float) -> None:
    """Prices, rests, turns and dry matter that are no numbers or below nothing."""
    with pytest.raises(BadInput, match="price_money"):
        RollBought(FILM, 0.0, bad)
    with pytest.raises(BadInput, match="rest_m"):
        RollBought(FILM, bad)
    with pytest.raises(BadInput, match="rest_m"):
        RollBought(FILM, 1490.0)
    with pytest.raises(BadInput, match="turns"):
        film_bill(RollBought(FILM), BALE, (bad,))
    with pytest.raises(BadInput, match="turns"):
        film_bill(RollBought(FILM), BALE, (0.0, 0.0))
    with pytest.raises(BadInput, match="dm_kg"):
        film_bill(RollBought(FILM), BALE, (14.0,), bad)
    with pytest.raises(BadInput, match="turns"):
        binding_metres_m(BALE, bad)
    with pytest.raises(BadInput, match="stretch_frac"):
        binding_metres_m(BALE, 2.5, bad)
    with pytest.raises(BadInput, match="dispensers"):
        film_bill(RollBought(FILM), BALE, (14.0, 14.0, 14.0))
