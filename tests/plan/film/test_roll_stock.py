"""How many rolls to load."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from balewright.plan.film.roll_stock import (
    Stock,
    UseSpread,
    chance_enough,
    rolls_to_load,
    use_spread,
)
from balewright.plan.film.rolls import RollBought
from balewright.plan.film.strip import Bale, Film
from balewright.quantities.errors import BadInput

FILM = Film(0.75, 25e-6, 1500.0, 0.70)
ROLL = RollBought(FILM, rest_m=20.0)
EMPTY = Stock((0.0, 0.0), ROLL)


@pytest.mark.derived
def test_without_any_spread_rolls_are_divided_out() -> None:
    """100 bales at 34 m are 3400 m: 3 rolls of 1480 m for each dispenser; 700 m left save none."""
    use = UseSpread(34.0)
    assert rolls_to_load((use, use), EMPTY, 100).each == (3, 3)
    assert rolls_to_load((use, use), Stock((700.0, 20.0), ROLL), 100).each == (2, 3)


@pytest.mark.reference
@pytest.mark.check(model="film.roll_stock", source="scipy-stats")
@settings(max_examples=30)
@given(bales=st.integers(20, 300), rolls=st.integers(1, 8), spread=st.floats(0.02, 0.2))
def test_chance_against_the_exact_sum_of_gamma_bales(bales: int, rolls: int, spread: float) -> None:
    """Bales whose metres go with a gamma law have an exact sum: the normal is within 0.015.

    That is the skewness term of the expansion, spread / (3 sqrt(2 pi bales)), at its largest.
    """
    use = UseSpread(34.0, 34.0 * spread)
    shape = 1.0 / spread**2
    exact = stats.gamma.cdf(rolls * 1480.0, shape * bales, scale=34.0 / shape)
    assert chance_enough(use, EMPTY, 0, (bales, rolls)) == pytest.approx(exact, abs=0.015)


@pytest.mark.law
def test_chance_comes_out_in_simulation() -> None:
    """20,000 days with fat bales, a stretch that is off all day, breaks and uneven rolls.

    The normal is good to two points: breaks are few and a day's stretch moves all bales.
    """
    rng = np.random.default_rng(2)
    use = UseSpread(34.0, 1.2, 0.7, break_share=0.02, break_m=15.0)
    stock = Stock((400.0,), ROLL, roll_spread_m=15.0)
    days, bales = 20_000, 200
    drawn = bales * rng.normal(34.0, 0.7, days) + rng.normal(0.0, 1.2 * math.sqrt(bales), days)
    drawn += 15.0 * rng.poisson(0.02 * bales, days)
    for rolls in (4, 5):
        have = 380.0 + rolls * 1480.0 + rng.normal(0.0, 15.0 * math.sqrt(rolls), days)
        seen = np.mean(have >= drawn)
        assert chance_enough(use, stock, 0, (bales, rolls)) == pytest.approx(seen, abs=0.02)


@pytest.mark.law
@settings(max_examples=40)
@given(
    bales=st.integers(1, 500),
    mean_m=st.floats(10.0, 100.0),
    spread=st.floats(0.0, 0.2),
    assurance=st.floats(0.5, 0.99),
)
def test_the_number_told_is_the_smallest(
    bales: int, mean_m: float, spread: float, assurance: float
) -> None:
    """One roll fewer on either dispenser falls short; more assurance never asks for fewer."""
    use = UseSpread(mean_m, mean_m * spread, mean_m * spread / 2.0)
    told = rolls_to_load((use, use), EMPTY, bales, assurance)
    assert told.chance_share >= assurance
    assert told.rolls == sum(told.each)
    assert told.on_average <= told.rolls
    for place, rolls in enumerate(told.each):
        if rolls:
            assert chance_enough(use, EMPTY, place, (bales, rolls - 1)) < assurance
    assert rolls_to_load((use, use), EMPTY, bales, 0.99).rolls >= told.rolls


@pytest.mark.derived
def test_spread_of_use_by_hand() -> None:
    """12 turns at 70 % on 1.25 x 1.23 m are 35.01 m; 5 cm of diameter are 0.71 m, 3 points 0.62."""
    use = use_spread(Bale(1.25, 1.23), 12.0, 0.70, 0.05, 0.03)
    assert use.mean_m == pytest.approx(12 * 4.96 / 1.70)
    assert use.bale_spread_m == pytest.approx(12 * 2 * 0.05 / 1.70)
    assert use.day_spread_m == pytest.approx(use.mean_m * 0.03 / 1.70)


@pytest.mark.law
def test_what_cannot_be_is_refused() -> None:
    """The bad input of every field."""
    use = UseSpread(34.0)
    for bad in (float("nan"), float("inf"), -1.0, 1e9):
        for name in ("bale_spread_m", "day_spread_m", "break_share", "break_m"):
            with pytest.raises(BadInput, match=name):
                UseSpread(34.0, **{name: bad})
        with pytest.raises(BadInput, match="mean_m"):
            UseSpread(bad)
        with pytest.raises(BadInput, match="left_m"):
            Stock((bad,), ROLL)
        with pytest.raises(BadInput, match="roll_spread_m"):
            Stock((0.0,), ROLL, bad)
        with pytest.raises(BadInput, match="assurance_share"):
            rolls_to_load((use, use), EMPTY, 10, bad)
    for bales in (0, -1, 100_001):
        with pytest.raises(BadInput, match="bales"):
            rolls_to_load((use, use), EMPTY, bales)
    with pytest.raises(BadInput, match="left_m"):
        rolls_to_load((use,), EMPTY, 10)
    with pytest.raises(BadInput, match="bales"):
        rolls_to_load((UseSpread(1e5),), Stock((0.0,), ROLL), 100_000)
