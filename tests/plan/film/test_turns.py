"""Turns that are needed, and turns after a roll is lost, against values computed elsewhere."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.plan.film.layers import Bale, Wrapping, bale_turn_from_advance, count_layers
from balewright.plan.film.turns import turns_after_loss, turns_everywhere, turns_needed
from balewright.quantities.errors import BadInput

BALE = Bale(diameter_m=1.25, length_m=1.23)
PLAN = Wrapping(strip_m=0.60, bale_turn=0.125, turns=(12.0, 12.0), need_layers=6)


@pytest.mark.derived
@pytest.mark.parametrize(
    ("advance_m", "turns"), [(0.30, (14, 21, 27)), (0.33, (18, 24, 30)), (0.491, (16, 24, 32))]
)
def test_one_dispenser_for_four_six_and_eight_layers(
    advance_m: float, turns: tuple[int, int, int]
) -> None:
    """Turns of one roll for 4, 6 and 8 layers; source: computed twice, independently of this."""
    turn = bale_turn_from_advance(advance_m, 1.25)
    assert tuple(turns_needed(BALE, 0.60, turn, 1, n) for n in (4, 6, 8)) == turns


@pytest.mark.derived
def test_fat_bale_needs_two_turns_more() -> None:
    """At 1.45 m and an advance of 0.491 m, 14 turns leave nothing short of 6; 13 do.

    Source: computed twice, independently of this code.
    """
    assert turns_needed(Bale(1.45, 1.23), 0.60, bale_turn_from_advance(0.491, 1.45), 2, 6) == 14


@pytest.mark.practice
@pytest.mark.check(model="film.turns", source="practice")
@pytest.mark.parametrize(("layers", "turns"), [(6, 12), (8, 16)])
def test_two_rolls_take_twice_the_layers(layers: int, turns: int) -> None:
    """With two rolls 6 layers take 12 turns and 8 take 16 (common practice, no source)."""
    assert turns_needed(BALE, 0.60, 0.125, 2, layers) == turns


@pytest.mark.practice
@pytest.mark.check(model="film.turns", source="field-count-rule")
@pytest.mark.parametrize(("dispensers", "layers", "turns"), [(1, 4, 14), (1, 6, 21), (2, 6, 12)])
def test_field_count_rule(dispensers: int, layers: int, turns: int) -> None:
    """Half overlap on 1.2 x 1.2 m with a strip of 0.595 m: never more turns than the field rule.

    The rule, from memory: turns to the first full cover (6.34 with one roll, 3.17 with two), up to
    the next half, half a turn for the overlap, times layers / 2. It is never short of the exact
    number, and at most 3 turns over.
    """
    turn = bale_turn_from_advance(dispensers * 0.595 / 2, 1.2)
    exact = turns_needed(Bale(1.2, 1.2), 0.595, turn, dispensers, layers)
    assert turns - 3 <= exact <= turns


@pytest.mark.derived
@pytest.mark.parametrize(("lost_at", "turns"), [(3, 24), (6, 20), (9, 16), (11, 16)])
def test_turns_after_a_lost_roll(lost_at: int, turns: int) -> None:
    """Lost at 3, 6, 9, 11 of 12: the other must reach 24, 20, 16, 16; doubling what is left
    (21, 18, 15, 13) is wrong. Source: computed twice, independently of this code.
    """
    assert turns_after_loss(BALE, PLAN, lost_at) == turns
    assert turns > lost_at + 2 * (12 - lost_at)


@pytest.mark.derived
def test_roll_lost_before_the_start_is_one_dispenser() -> None:
    """A roll lost at turn 0 leaves what one dispenser alone needs: 24."""
    assert turns_after_loss(BALE, PLAN, 0) == turns_needed(BALE, 0.60, 0.125, 1, 6) == 24


@pytest.mark.derived
def test_one_roll_advance_holds_from_the_loss_on() -> None:
    """With a roll lost at the start only the one-roll advance counts; later it is a mix."""
    halved = replace(PLAN, bale_turn_one_roll=0.0625)
    assert turns_after_loss(BALE, halved, 0) == turns_needed(BALE, 0.60, 0.0625, 1, 6)
    mixed = replace(halved, turns=(float(turns_after_loss(BALE, halved, 6)), 6.0))
    assert count_layers(BALE, mixed).thinnest >= 6
    assert turns_after_loss(BALE, halved, 6) != turns_after_loss(BALE, PLAN, 6)


@pytest.mark.derived
def test_a_spot_on_the_rim_can_ask_for_more() -> None:
    """At an advance of 0.33 m the flat side's rim keeps 1 mm spots that no one needs to chase.

    Hand: directions on one flat side lie 2 x 0.33 / (pi 1.25) = 0.16807 half turns apart, and a
    strip holds 2 asin(0.48) / pi = 0.31870 of the rim, a little less than two steps. With 5 mm
    allowed the flat sides are content with the turns of the round side.
    """
    wrapping = replace(PLAN, bale_turn=bale_turn_from_advance(0.33, 1.25), turns=(1.0,))
    strict = [turns_everywhere(BALE, replace(wrapping, need_layers=n)) for n in (4, 6, 8)]
    kind = [turns_everywhere(BALE, replace(wrapping, need_layers=n), 0.005) for n in (4, 6, 8)]
    assert kind == [18, 24, 30]
    assert all(more > enough for more, enough in zip(strict, kind, strict=True))


@pytest.mark.derived
def test_bale_that_never_moves_on_is_refused() -> None:
    """A bale that turns exactly half a turn a wrap turn always meets the same generators."""
    with pytest.raises(BadInput, match=r"leaves bare spots after \d+ wrap turns"):
        turns_needed(BALE, 0.60, 0.5, 2, 6)


@pytest.mark.derived
def test_one_dispenser_has_no_other_roll() -> None:
    """A loss with one dispenser has no other roll that could make it good."""
    with pytest.raises(BadInput, match="two dispensers, of which one goes on"):
        turns_after_loss(BALE, replace(PLAN, turns=(24.0,)), 6)


@pytest.mark.law
@settings(max_examples=40, deadline=None)
@given(
    st.floats(1.0, 1.5),
    st.floats(0.4, 0.7),
    st.floats(0.06, 0.14),
    st.integers(1, 2),
    st.integers(2, 8),
)
def test_needed_turns_are_enough_and_one_less_is_not(
    diameter_m: float, strip_m: float, turn: float, dispensers: int, need: int
) -> None:
    """The number found covers the round side, and the number before it does not."""
    bale = Bale(diameter_m, 1.2)
    try:
        turns = turns_needed(bale, strip_m, turn, dispensers, need)
    except BadInput:
        return  # a turning that always comes back to the same generators
    for made, covered in ((turns, True), (turns - 1, False)):
        if made:
            wrapping = Wrapping(strip_m, turn, (float(made),) * dispensers, need)
            assert (count_layers(bale, wrapping).short_frac == 0.0) is covered
