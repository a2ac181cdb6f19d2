"""The setting that reaches a wanted chance at least film, and what every turn more buys."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final

from balewright.plan.film.course import Course, Leg
from balewright.plan.film.critical_strips import Goal
from balewright.plan.film.tolerance import chance_of, expected_short
from balewright.plan.film.varying import Draws, MeasuredStrip, Varying
from balewright.quantities.checks import require_between, require_count
from balewright.quantities.errors import BadInput, Fault

#: More wrap turns than this are not sought: no bale gets them.
MOST_TURNS: Final = 120


@dataclass(frozen=True)
class Wish:
    """goal: for one bale; wanted_frac: the share of bales that must meet it, 0.01 to 0.9999;
    dispensers: 1 or 2, both running to the end."""

    goal: Goal
    wanted_frac: float
    dispensers: int

    def __post_init__(self) -> None:
        require_between("wanted_frac", self.wanted_frac, 0.01, 0.9999)
        require_count("dispensers", self.dispensers, 1, 2)


@dataclass(frozen=True)
class TurnsRow:
    """What so many wrap turns give: the chance with its standard error, the chance of at most one
    layer less, the share of the round side short on average, metres of film a bale off all rolls
    (None: stretch not known)."""

    turns: int
    chance_frac: float
    error_frac: float
    one_less_frac: float
    short_frac: float
    film_m: float | None


@dataclass(frozen=True)
class Choice:
    """What the machine may be set to; None leaves it as it is. The spreads stay as wide.

    advance_m: surface that passes in a wrap turn, on a bale of the best diameter.
    """

    pre_stretch_frac: float | None = None
    advance_m: float | None = None


@dataclass(frozen=True)
class ChanceSetting:
    """A choice and the fewest whole wrap turns with which it reaches the wanted chance."""

    choice: Choice
    row: TurnsRow


def turns_row(varying: Varying, wish: Wish, turns: int, draws: Draws) -> TurnsRow:
    """What `turns` (1 to 1000) give; validity as `chance_of`. Source key: `geometry`."""
    require_count("turns", turns, 1, 1000)
    course = _course(varying, wish, turns)
    chance = chance_of(varying, course, wish.goal, draws)
    one_less_frac, need = 1.0, wish.goal.need_layers
    if need > 1:
        less = replace(wish.goal, need_layers=need - 1)
        one_less_frac = chance_of(varying, course, less, draws).chance_frac
    expected = expected_short(varying, course, need, draws)
    return TurnsRow(
        turns=turns,
        chance_frac=chance.chance_frac,
        error_frac=chance.error_frac,
        one_less_frac=one_less_frac,
        short_frac=expected.short_frac,
        film_m=expected.film_m,
    )


def turns_for_chance(varying: Varying, wish: Wish, draws: Draws) -> int | None:
    """The fewest whole wrap turns with which the chance is as wanted; None if 120 are too few.

    The same draws are used for all turns, so the chance never falls with them and halving finds
    the first. Where the chance at the answer is within some errors of the wanted one, a turn less
    may be as good: look at the table.
    """

    def is_enough(turns: int) -> bool:
        chance = chance_of(varying, _course(varying, wish, turns), wish.goal, draws)
        return chance.chance_frac >= wish.wanted_frac

    below, above = 0, 8
    while not is_enough(above):
        if above >= MOST_TURNS:
            return None
        below, above = above, min(MOST_TURNS, 2 * above)
    while above - below > 1:
        middle = (below + above) // 2
        below, above = (below, middle) if is_enough(middle) else (middle, above)
    return above


def turns_table(
    varying: Varying, wish: Wish, around: int, draws: Draws, reach: int = 3
) -> tuple[TurnsRow, ...]:
    """Turns -> chance -> film, from `reach` turns below `around` to as many above."""
    first = max(1, around - reach)
    return tuple(
        turns_row(varying, wish, turns, draws) for turns in range(first, around + reach + 1)
    )


def least_film(
    varying: Varying, wish: Wish, choices: Iterable[Choice], draws: Draws
) -> tuple[ChanceSetting, ...]:
    """Every choice that reaches the wanted chance, the one that takes least film first.

    choices: of stretch and advance among those the machine allows. Of choices that take as much
    film (to a centimetre) the surest comes first; where metres are not known, fewest turns do.
    Raises BadInput for a stretch where the strip was measured and not made from a stretch.
    """
    found = []
    for choice in choices:
        set_so = _with_choice(varying, choice)
        turns = turns_for_chance(set_so, wish, draws)
        if turns is not None:
            found.append(ChanceSetting(choice, turns_row(set_so, wish, turns, draws)))
    return tuple(sorted(found, key=_dearness))


def _dearness(setting: ChanceSetting) -> tuple[float, int, float]:
    row = setting.row
    return (round(row.film_m or 0.0, 2), row.turns, -row.chance_frac)


def _course(varying: Varying, wish: Wish, turns: int) -> Course:
    running = (True,) * wish.dispensers
    return Course((Leg(float(turns), running, varying.best_bale_turn),))


def _with_choice(varying: Varying, choice: Choice) -> Varying:
    if choice.advance_m is not None:
        girth_m = math.pi * varying.diameter.best if varying.turning_is_k else 1.0
        turning = varying.turning.around(choice.advance_m / girth_m)
        varying = replace(varying, turning=turning)
    if choice.pre_stretch_frac is None:
        return varying
    film = varying.film
    if isinstance(film, MeasuredStrip):
        raise BadInput(
            Fault(
                place="pre_stretch_frac",
                need="film known by its width on the roll, so that its strip follows the stretch",
                given="a strip measured on the bale",
                cure="Give the film's width, stretch and neck-in; or leave the stretch as it is.",
            )
        )
    stretched = replace(film, pre_stretch=film.pre_stretch.around(choice.pre_stretch_frac))
    return replace(varying, film=stretched)
