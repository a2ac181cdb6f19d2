"""Wrap turns for each number of layers, so that as many bales get them as are wanted to."""

from __future__ import annotations

from collections.abc import Iterable

from balewright.plan.film.chance_setting import Wish, turns_for_chance, turns_row
from balewright.plan.film.critical_strips import Goal
from balewright.plan.film.varying import Draws, Varying
from balewright.plan.optimum.asked import Turned

#: Enough to tell turns apart; a setting moves in whole turns.
_DRAWS = Draws(log2=8, scramblings=8)


def turns_by_layers(
    varying: Varying, dispensers: int, wanted_frac: float, layers: Iterable[int]
) -> tuple[Turned, ...]:
    """The fewest whole wrap turns for each number of layers (4 to 40), those left out that 100
    turns do not reach.

    varying: how the bales of the job differ; dispensers: 1 or 2; wanted_frac: 0.01 to 0.9999, of
    bales with no spot of the round side short. Some milliseconds for each number of layers.
    Validity and source as `chance_of`.
    """
    found = []
    for number in layers:
        wish = Wish(Goal(number), wanted_frac, dispensers)
        turns = turns_for_chance(varying, wish, _DRAWS)
        if turns is not None and turns <= 100:
            row = turns_row(varying, wish, turns, _DRAWS)
            found.append(Turned(number, float(turns), row.chance_frac))
    return tuple(found)
