"""On which bale each roll will end."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from balewright.plan.film.roll_ends import Day, roll_ends
from balewright.plan.film.roll_stock import Stock, UseSpread
from balewright.plan.film.rolls import RollBought
from balewright.plan.film.strip import Bale, Film, film_use
from balewright.quantities.errors import BadInput

FILM = Film(0.75, 25e-6, 1500.0, 0.70)
ROLL = RollBought(FILM, rest_m=20.0)
USE = UseSpread(34.0)


@pytest.mark.derived
def test_ends_by_hand() -> None:
    """1480 usable metres at 34 a bale: the roll ends in bale 44 after 18 of its 34 m; 700 left
    (680 usable) are 20 bales to the metre, so that one ends as bale 21 begins.
    """
    day = roll_ends((USE, USE), Stock((1500.0, 700.0), ROLL), Day(50))
    first, second = day.ends
    assert (first.bale_no, first.roll, first.done_frac, first.replaced) == (21, 2, 0.0, True)
    assert (second.bale_no, second.roll) == (44, 1)
    assert second.done_frac == pytest.approx(18.0 / 34.0)
    assert (day.new_rolls, day.stopped_at) == (2, None)
    assert day.left_m == pytest.approx((1480 * 2 - 50 * 34, 680 + 1480 - 50 * 34))


@pytest.mark.practice
@pytest.mark.check(model="film.roll_ends", source="practice")
def test_a_pair_lasts_twice_the_bales_of_one() -> None:
    """Two new rolls end together, after twice the bales that one roll is worth."""
    use = film_use(FILM, Bale(1.25, 1.23), 12.0, 2)
    each = UseSpread(use.m_dispenser)
    stock = Stock((1500.0, 1500.0), RollBought(FILM))
    day = roll_ends((each, each), stock, Day(60))
    assert {end.bale_no for end in day.ends} == {int(2 * use.bales_per_roll) + 1}
    assert {end.roll for end in day.ends} == {1, 2}


@pytest.mark.derived
def test_without_spares_one_roll_works_alone_and_draws_more() -> None:
    """Roll 2 ends as bale 21 begins; roll 1 has 800 m, which are 11 bales of 68 m and a part."""
    stock = Stock((1500.0, 700.0), ROLL)
    day = roll_ends((USE, USE), stock, Day(60, spare_rolls=0, alone_m=68.0))
    assert [(end.bale_no, end.roll, end.replaced) for end in day.ends] == [
        (21, 2, False),
        (32, 1, False),
    ]
    assert day.stopped_at == 32
    assert day.ends[1].done_frac == pytest.approx((800 - 11 * 68) / 68)
    assert day.ends[1].earliest is None
    halted = roll_ends((USE, USE), stock, Day(60, spare_rolls=0))
    assert halted.stopped_at == 21
    spare = roll_ends((USE, USE), stock, Day(60, spare_rolls=1))
    assert [end.replaced for end in spare.ends] == [True, False]


@pytest.mark.derived
def test_dispensers_may_draw_unlike() -> None:
    """One that makes more turns ends first, by its own metres; one dispenser alone stops."""
    day = roll_ends((UseSpread(40.0), UseSpread(20.0)), Stock((1500.0, 1500.0), ROLL), Day(80))
    assert [(end.bale_no, end.roll) for end in day.ends] == [(38, 1), (75, 1), (75, 2)]
    single = roll_ends((USE,), Stock((100.0,), ROLL), Day(10, spare_rolls=0))
    assert (single.stopped_at, single.new_rolls) == (3, 0)


@pytest.mark.reference
@pytest.mark.check(model="film.roll_ends", source="scipy-stats")
def test_intervals_hold_the_exact_end_of_gamma_bales() -> None:
    """Metres a bale by a gamma law of 10 %: the exact 2.5 and 97.5 % bales, within one bale.

    The normal for a sum of forty leaves its skewness out, which is worth less than one bale.
    """
    use = UseSpread(34.0, 3.4)
    end = roll_ends((use,), Stock((1500.0,), ROLL), Day(60)).ends[0]
    bales = np.arange(1, 80)
    ended = stats.gamma.sf(1480.0, 100.0 * bales, scale=0.34)  # P(sum of n is above)
    exact = [int(bales[np.argmax(ended >= share)]) for share in (0.025, 0.975)]
    assert end.earliest == pytest.approx(exact[0], abs=1)
    assert end.latest == pytest.approx(exact[1], abs=1)


@pytest.mark.law
def test_intervals_cover_as_often_as_they_say() -> None:
    """4000 days: the second new roll ends inside its interval on 95 % or more.

    Whole bales make an interval a little wider than asked: up to three points more.
    """
    use = UseSpread(34.0, 2.0, 0.6)
    stock = Stock((300.0,), ROLL, roll_spread_m=10.0)
    third = roll_ends((use,), stock, Day(120)).ends[2]
    assert third.earliest is not None
    assert third.latest is not None
    rng = np.random.default_rng(4)
    mean = rng.normal(34.0, 0.6, (4000, 1))
    drawn = np.cumsum(mean + rng.normal(0.0, 2.0, (4000, 160)), axis=1)
    film = 280.0 + 2 * 1480.0 + rng.normal(0.0, 10.0 * np.sqrt(2.0), (4000, 1))
    bale_no = 1 + np.argmax(drawn > film, axis=1)
    covered = np.mean((bale_no >= third.earliest) & (bale_no <= third.latest))
    assert 0.935 <= covered <= 0.98


@pytest.mark.law
@settings(max_examples=40)
@given(
    one=st.floats(5.0, 80.0),
    other=st.floats(5.0, 80.0),
    left=st.floats(0.0, 1500.0),
    bales=st.integers(1, 200),
)
def test_film_balance_closes(one: float, other: float, left: float, bales: int) -> None:
    """What was on, and what was put on, is what was drawn and what is left."""
    uses = (UseSpread(one), UseSpread(other))
    stock = Stock((left, 1500.0), ROLL)
    day = roll_ends(uses, stock, Day(bales))
    had = stock.usable_m(0) + stock.usable_m(1) + day.new_rolls * 1480.0
    assert sum(day.left_m) + bales * (one + other) == pytest.approx(had, abs=1e-6)
    assert day.new_rolls == len(day.ends)
    for end in day.ends:
        assert 0.0 <= end.done_frac < 1.0
        assert end.earliest is not None
        assert end.latest is not None
        assert end.earliest <= end.bale_no <= end.latest
    assert [end.bale_no for end in day.ends] == sorted(end.bale_no for end in day.ends)


@pytest.mark.law
def test_a_bale_longer_than_a_roll_takes_several() -> None:
    """3000 m a bale: three rolls of 1480 m begin in the first bale."""
    day = roll_ends((UseSpread(3000.0),), Stock((0.0,), ROLL), Day(1))
    assert day.new_rolls == 3
    assert {end.bale_no for end in day.ends} == {1}


@pytest.mark.law
def test_what_cannot_be_is_refused() -> None:
    """Bales, spares and metres within reason; one use for every roll."""
    for bales in (0, -5, 100_001):
        with pytest.raises(BadInput, match="bales"):
            Day(bales)
    with pytest.raises(BadInput, match="spare_rolls"):
        Day(10, -1)
    for bad in (float("nan"), float("inf"), 0.0, -1.0):
        with pytest.raises(BadInput, match="alone_m"):
            Day(10, 1, bad)
    with pytest.raises(BadInput, match="left_m"):
        roll_ends((USE,), Stock((1500.0, 1500.0), ROLL), Day(10))
