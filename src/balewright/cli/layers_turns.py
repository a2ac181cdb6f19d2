"""What `balewright layers` works out beside the count: turns, film, the cliff."""

from __future__ import annotations

from typing import Final

from balewright.cli.layers_options import Asked
from balewright.plan.film.cliff import REACH_M, OnDiameter, find_cliff
from balewright.plan.film.strip import FilmUse, film_use, roll_metres_m
from balewright.plan.film.turns import turns_after_loss, turns_needed
from balewright.quantities.errors import BadInput

_MOST_FOR_CLIFF: Final = 200.0
LEAST_BALE_TURN: Final = 0.001


def enough_turns(asked: Asked) -> int | None:
    """Turns from the start, or after the loss; None where no number of turns is enough."""
    wrapping = asked.wrapping
    try:
        if asked.lost_at is not None:
            return turns_after_loss(asked.bale, wrapping, asked.lost_at)
        return turns_needed(
            asked.bale,
            wrapping.strip_m,
            wrapping.bale_turn,
            len(wrapping.turns),
            wrapping.need_layers,
        )
    except BadInput:  # the values are good; this turning never covers the bale
        return None


def metres_m(asked: Asked) -> float | None:
    """Film off the rolls for this bale; None where the stretch is not known."""
    if asked.stretch_frac is None:
        return None
    return roll_metres_m(asked.bale, sum(asked.wrapping.turns), asked.stretch_frac)


def film_of_bale(asked: Asked) -> FilmUse | None:
    """Grams and rolls; None where the roll is not known."""
    if asked.film is None:
        return None
    made = asked.wrapping.turns
    return film_use(asked.film, asked.bale, sum(made) / len(made), len(made))


def seeks_cliff(asked: Asked) -> bool:
    """Whether the cliff is looked for: not at turns no bale gets, nor of one that hardly turns."""
    diameter_m = asked.bale.diameter_m
    wrapping = asked.wrapping
    slowest = min(wrapping.bale_turn, wrapping.bale_turn_one_roll or 1.0)
    slower = slowest * diameter_m / (diameter_m + REACH_M)
    return asked.turns <= _MOST_FOR_CLIFF and slower >= LEAST_BALE_TURN


def cliff_of(asked: Asked) -> OnDiameter | None:
    """Where a fatter bale falls short; None where it does not, or was not looked for."""
    return find_cliff(asked.bale, asked.wrapping) if seeks_cliff(asked) else None
