"""Where strips cross: phases, half turns, a lost roll, and the doors that refuse nonsense."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from balewright.plan.film.crossings import (
    Wrapping,
    bale_turn_from_advance,
    flat_directions,
    half_turns,
    round_centres,
    whole_layers,
)
from balewright.quantities.errors import BadInput

PLAN = Wrapping(strip_m=0.60, bale_turn=0.125, turns=(12.0, 12.0), need_layers=6)


@pytest.mark.derived
def test_advance_of_an_eighth() -> None:
    """0.491 m of surface are an eighth of a turn at 1.25 m and less on a fatter bale."""
    assert bale_turn_from_advance(0.491, 1.25) == pytest.approx(0.125, abs=5e-5)
    assert bale_turn_from_advance(0.491, 1.45) == pytest.approx(0.491 / (math.pi * 1.45))


@pytest.mark.derived
def test_first_crossings_by_hand() -> None:
    """At k = 1/8 a dispenser crosses at 0, 1/2 - 1/16, 1 - 1/8, ...; the other half a turn on."""
    centres = round_centres(replace(PLAN, turns=(1.5, 1.0)))
    assert centres == pytest.approx([0.0, 0.4375, 0.875, 0.5, 0.9375])


@pytest.mark.derived
def test_flat_sides_are_taken_in_turn_and_from_both_ends() -> None:
    """One dispenser gives each flat side one strip a turn; two give both sides two a turn."""
    one, other = flat_directions(replace(PLAN, turns=(2.0,)))
    assert one == pytest.approx([1 - 0.0625, 1 - 0.3125])
    assert other == pytest.approx([1 - 0.1875, 1 - 0.4375])
    both = flat_directions(replace(PLAN, turns=(2.0, 2.0)))
    assert [len(side) for side in both] == [4, 4]


@pytest.mark.derived
@pytest.mark.parametrize(
    ("turns", "halves"), [(0.0, 0), (0.49, 0), (0.5, 1), (1.25, 2), (0.1 * 30, 6), (12.0, 24)]
)
def test_only_whole_half_turns_count(turns: float, halves: int) -> None:
    """A half turn that was only begun is not counted; rounding does not lose a whole one."""
    assert half_turns(turns) == halves


@pytest.mark.derived
def test_after_the_loss_the_bale_turns_by_the_other_advance() -> None:
    """Up to the loss the bale turns k a wrap turn, from there on by the one-roll value."""
    lost = replace(PLAN, turns=(3.0, 1.0), bale_turn_one_roll=0.0625)
    going_on = round_centres(lost)[:6]
    turned = [0.0, 0.0625, 0.125, 0.125 + 0.03125, 0.125 + 0.0625, 0.125 + 0.09375]
    assert going_on == pytest.approx([0.5 * j - turned[j] for j in range(6)])


@pytest.mark.derived
@pytest.mark.parametrize(
    ("turns", "roll_m", "layers"), [(3.2, 1.30, 3), (4.0, 1.23, 4), (3.5, 0.615, 1), (0.9, 1.3, 0)]
)
def test_binding_film_counts_whole_layers(turns: float, roll_m: float, layers: int) -> None:
    """Binding turns round down; a roll half as wide as the bale gives half of them."""
    assert whole_layers(turns, roll_m, 1.23) == layers


@pytest.mark.derived
@pytest.mark.parametrize(
    ("change", "place"),
    [
        ({"strip_m": math.nan}, "strip_m"),
        ({"strip_m": -0.6}, "strip_m"),
        ({"strip_m": 600.0}, "strip_m"),
        ({"bale_turn": 0.0}, "bale_turn"),
        ({"bale_turn": 1.5}, "bale_turn"),
        ({"turns": ()}, "turns"),
        ({"turns": (0.0, 0.0)}, "turns"),
        ({"turns": (12.0, 12.0, 12.0)}, "turns"),
        ({"turns": (12.0, math.nan)}, "turns"),
        ({"turns": (12.0, -1.0)}, "turns"),
        ({"turns": (1e9,)}, "turns"),
        ({"need_layers": 0}, "need_layers"),
        ({"binding_layers": -1}, "binding_layers"),
        ({"bale_turn_one_roll": math.inf}, "bale_turn_one_roll"),
    ],
)
def test_nonsense_is_refused_by_name(change: dict[str, object], place: str) -> None:
    """A value that cannot be is refused with its own name."""
    with pytest.raises(BadInput, match=f"^{place}: needs"):
        replace(PLAN, **change)  # type: ignore[arg-type]
