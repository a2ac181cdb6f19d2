"""The chance that a bale gets its layers, when bales, film and machine differ from one to the next.

For every drawn bale the narrowest strip that is enough is known exactly (`critical_strips`), and
wider ones are enough too. So the part that moves the strip's width most, neck-in, stretch or the
width itself, is not drawn at all: its chance of being good enough is read from its distribution.
That turns a yes or no into a smooth number and saves most of the draws.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from balewright.plan.film.course import Course
from balewright.plan.film.critical_strips import Goal, critical_strips
from balewright.plan.film.many_bales import ManyBales, count_many, many_bales, repeat_course
from balewright.plan.film.many_legs import Floats
from balewright.plan.film.varying import Drawn, Draws, MeasuredStrip, Varying, draw, value_of

_WIDTH_PARTS: Final = ("strip", "stretch", "neck_in")
#: Chances nearer to 0 or 1 than this are not told apart from it.
_SURE_FRAC: Final = 1e-6
_MOST_LAYERS: Final = 40


@dataclass(frozen=True)
class Chance:
    """chance_frac: of a bale that meets the goal; error_frac: its standard error, from scramblings
    drawn apart (0 where nothing is left to draw, and where all agree)."""

    chance_frac: float
    error_frac: float


@dataclass(frozen=True)
class Expected:
    """Averages over the bales.

    short_frac: of the round side, with its standard error; film_m: metres off all rolls a bale,
    and their standard deviation from bale to bale; None where the stretch is not known.
    """

    short_frac: float
    short_error_frac: float
    film_m: float | None
    film_deviation_m: float | None


@dataclass(frozen=True)
class LayerChance:
    """The chance that the thinnest spot has `layers` or more, with its standard error."""

    layers: int
    chance_frac: float
    error_frac: float


def chance_of(varying: Varying, course: Course, goal: Goal, draws: Draws) -> Chance:
    """The chance that a bale meets the goal.

    varying: the bales; course: what the wrapper does, told for the best values (its turnings of
    the bale at `varying.best_bale_turn`; all of them move together); draws: how many, and the
    seed. With nothing that varies it is 1 or 0, as `count_course` has it. Never falls with more
    turns or wider film, draws being equal. Valid for bales that vary independently of each other
    in each part, straight strips at mid-height; a day on which all bales are fat is not in it.
    Source key: `geometry`.
    """
    held = _held(varying)
    drawn = draw(varying, draws, held)
    critical_m = critical_strips(_bales(varying, drawn, course), goal)
    chances = drawn.averages(_enough(varying, drawn, held, critical_m))
    return Chance(float(chances.mean()), _error(chances))


def expected_short(varying: Varying, course: Course, need_layers: int, draws: Draws) -> Expected:
    """Share of the round side short of `need_layers`, and film, averaged over the bales.

    Arguments as `chance_of`; need_layers: 1 to 40.
    """
    drawn = draw(varying, draws)
    many = _bales(varying, drawn, course)
    strip_m = varying.parts_width(varying.parts(), drawn.values)
    wide = replace(many.with_strip(strip_m), need_layers=np.full(many.legs.cases, need_layers))
    shares = drawn.averages(count_many(wide, flats=False).short_frac)
    mean_m, deviation_m = _film_m(varying, drawn, many)
    return Expected(float(shares.mean()), _error(shares), mean_m, deviation_m)


def layer_chances(varying: Varying, course: Course, draws: Draws) -> tuple[LayerChance, ...]:
    """How the layers at the thinnest spot of the round side are spread, binding film counted.

    For every number of layers that is neither sure nor out of reach (to 1e-6), with the last sure
    one before them; the chances fall from one to the next. Arguments as `chance_of`.
    """
    held = _held(varying)
    drawn = draw(varying, draws, held)
    many = _bales(varying, drawn, course)

    def having(layers: int) -> LayerChance:
        critical_m = critical_strips(many, Goal(layers))
        chances = drawn.averages(_enough(varying, drawn, held, critical_m))
        return LayerChance(layers, float(chances.mean()), _error(chances))

    sure, beyond = LayerChance(0, 1.0, 0.0), _MOST_LAYERS + 1
    while beyond - sure.layers > 1:
        middle = having((sure.layers + beyond) // 2)
        if middle.chance_frac > 1.0 - _SURE_FRAC:
            sure = middle
        else:
            beyond = middle.layers
    found = [sure]
    while found[-1].chance_frac >= _SURE_FRAC and found[-1].layers < _MOST_LAYERS:
        found.append(having(found[-1].layers + 1))
    return tuple(one for one in found if one.chance_frac >= _SURE_FRAC)


def _held(varying: Varying) -> str | None:
    """The part that moves the strip's width most; None where none of them varies."""
    _, on_share = varying.pulls()
    pulls = {name: abs(on_share[name]) for name in _WIDTH_PARTS if name in on_share}
    held = max(pulls, key=lambda name: pulls[name])
    return held if pulls[held] > 0.0 else None


def _bales(varying: Varying, drawn: Drawn, course: Course) -> ManyBales:
    """The drawn bales as cases; their strips are a stand-in."""
    rows, parts = len(drawn.weight), varying.parts()
    diameter_m = drawn.values.get("diameter", np.full(rows, parts["diameter"].best))
    turning = drawn.values.get("turning", np.full(rows, parts["turning"].best))
    bale_turn = turning if varying.turning_is_k else turning / (math.pi * diameter_m)
    slowest = min(min(leg.bale_turn, leg.end_bale_turn or 1.0) for leg in course.legs)
    fastest = max(max(leg.bale_turn, leg.end_bale_turn or 0.0) for leg in course.legs)
    faster = np.clip(bale_turn / varying.best_bale_turn, 0.001 / slowest, 1.0 / fastest)
    return many_bales(
        diameter_m=diameter_m,
        length_m=varying.length_m,
        strip_m=0.05,
        need_layers=1,
        dispensers=course.dispensers,
        legs=repeat_course(course, faster),
        binding_layers=varying.binding_layers,
    )


def _enough(varying: Varying, drawn: Drawn, held: str | None, critical_m: Floats) -> Floats:
    """For each drawn bale the chance that its strip is wide enough."""
    parts = varying.parts()
    if held is None:
        wide = varying.parts_width(parts, drawn.values) >= critical_m
        return np.asarray(wide, dtype=np.float64) * np.ones(len(critical_m))
    film = varying.film
    if isinstance(film, MeasuredStrip):
        return 1.0 - parts["strip"].chance_below(critical_m)
    with np.errstate(divide="ignore", over="ignore", invalid="ignore"):
        narrowing = np.log(film.width_m / critical_m)
        if held == "neck_in":
            stretch = value_of("stretch", parts, drawn.values)
            most = narrowing / np.log1p(stretch)
        else:
            exponent = value_of("neck_in", parts, drawn.values)
            most = np.expm1(narrowing / exponent)
    unnarrowed = np.where(narrowing >= 0.0, np.inf, -np.inf)  # no stretch, or no neck-in
    return parts[held].chance_below(np.where(np.isnan(most), unnarrowed, most))


def _film_m(
    varying: Varying, drawn: Drawn, many: ManyBales
) -> tuple[float, float] | tuple[None, None]:
    stretched = varying.film.pre_stretch
    if stretched is None:
        return None, None
    stretch = drawn.values.get("stretch", np.asarray(stretched.best))
    laid_m = _roll_turns(many) * 2.0 * (many.diameter_m + varying.length_m) / (1.0 + stretch)
    mean_m = float(drawn.averages(laid_m).mean())
    square = float(drawn.averages((laid_m - mean_m) ** 2).mean())
    return mean_m, math.sqrt(square)


def _roll_turns(many: ManyBales) -> Floats:
    """Wrap turns of all rolls together, those in which a roll did not run left out."""
    legs = many.legs
    rolls = (legs.running & 1) + (legs.running >> 1)
    return np.asarray(np.add.reduceat(legs.turns * rolls, legs.first[:-1]))


def _error(of: Floats) -> float:
    return float(of.std(ddof=1) / math.sqrt(len(of)))
