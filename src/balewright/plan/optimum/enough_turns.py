"""Wrap turns for each number of layers, so that as many bales get them as are wanted to."""

from __future__ import annotations

from collections.abc import Iterable

from balewright.plan.film.chance_setting import Wish, turns_for_chance
from balewright.plan.film.course import Course, Leg
from balewright.plan.film.critical_strips import Goal
from balewright.plan.film.tolerance import chance_of
from balewright.plan.film.varying import Draws, Varying
from balewright.plan.optimum.asked import Turned

#: A standard error of about 0.001: a setting moves in whole turns, which differ by far more.
_DRAWS = Draws(log2=8, scramblings=4)
_MOST_TURNS = 100


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
        if turns is not None and turns <= _MOST_TURNS:
            leg = Leg(float(turns), (True,) * dispensers, varying.best_bale_turn)
            chance = chance_of(varying, Course((leg,)), wish.goal, _DRAWS)
            found.append(Turned(number, float(turns), chance.chance_frac))
    return tuple(found)
