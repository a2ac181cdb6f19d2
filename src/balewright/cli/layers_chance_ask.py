"""What `balewright layers --chance` is asked, worked out: spreads, chance, turns."""

from __future__ import annotations

import argparse
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from balewright.cli.layers_options import Asked
from balewright.plan.film.course import course_of
from balewright.plan.film.strip import DEFAULT_NECK_IN
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.si import M_PER_MM

if TYPE_CHECKING:  # what is compiled is loaded only when a chance is asked for
    from balewright.flows.measured_spreads import MeasuredSpreads
    from balewright.plan.film.chance_setting import TurnsRow, Wish
    from balewright.plan.film.recorded_spread import RecordedSpread
    from balewright.plan.film.spread import Spread
    from balewright.plan.film.tolerance import Chance, Expected, LayerChance
    from balewright.plan.film.varying import Varying

_USUAL_FRAC: Final = 0.95


@dataclass(frozen=True)
class Told:
    """The question and its answer; found and rows are empty for a lost roll, measured is None
    where no records were given."""

    asked: Asked
    measured: MeasuredSpreads | None
    wish: Wish
    chance: Chance
    expected: Expected
    layers: tuple[LayerChance, ...]
    found: TurnsRow | None
    rows: tuple[TurnsRow, ...]


def tell_chance(options: argparse.Namespace, asked: Asked) -> Told:
    """Answer what the checked options ask. Raises BadInput for records that tell nothing."""
    from balewright.plan.film.chance_setting import Wish, turns_for_chance, turns_table
    from balewright.plan.film.critical_strips import Goal
    from balewright.plan.film.tolerance import chance_of, expected_short, layer_chances
    from balewright.plan.film.varying import Draws

    measured = _measure(options, asked)
    varying, draws = _varying(options, asked, measured), Draws()
    goal = Goal(
        asked.wrapping.need_layers,
        allowed_short_frac=options.allow_short_area or 0.0,
        allowed_sliver_m=options.allow_sliver_mm * M_PER_MM,
        everywhere=options.everywhere,
    )
    wanted = _USUAL_FRAC if options.chance is None else options.chance
    wish = Wish(goal, wanted, len(asked.wrapping.turns))
    course = course_of(asked.wrapping)
    turns: int | None = None
    rows: tuple[TurnsRow, ...] = ()
    if asked.lost_at is None:
        turns = turns_for_chance(varying, wish, draws)
        rows = turns_table(varying, wish, turns or math.ceil(asked.turns), draws)
    return Told(
        asked=asked,
        measured=measured,
        wish=wish,
        chance=chance_of(varying, course, goal, draws),
        expected=expected_short(varying, course, goal.need_layers, draws),
        layers=layer_chances(varying, course, draws),
        found=next((row for row in rows if row.turns == turns), None),
        rows=rows,
    )


def _measure(options: argparse.Namespace, asked: Asked) -> MeasuredSpreads | None:
    if options.spread_from is None:
        return None
    from balewright.flows.measured_spreads import measured_spreads

    rolls = len(asked.wrapping.turns)
    found = measured_spreads(options.spread_from, asked.bale.length_m, rolls)
    if found.diameter is None and found.stretch is None:
        need = "records with the diameters, or the metres of film, of five bales or more"
        given = f"{options.spread_from} with {found.bales} bales"
        cure = "Give the deviations yourself, as in --diameter-spread-m 0.03."
        raise BadInput(Fault("--spread-from", need, given, cure))
    return found


def _spread(best: float, given: float | None, found: RecordedSpread | None) -> Spread:
    """What the user gave, else what the records show, else none."""
    from balewright.plan.film.spread import normal

    if given is None and found is not None:
        return found.next_bale.around(best)
    return normal(best, given or 0.0)


def _varying(
    options: argparse.Namespace, asked: Asked, measured: MeasuredSpreads | None
) -> Varying:
    from balewright.plan.film.spread import exact, normal
    from balewright.plan.film.varying import MeasuredStrip, StretchedFilm, Varying

    wrapping, bale = asked.wrapping, asked.bale
    stretch = options.stretch
    film: MeasuredStrip | StretchedFilm
    if asked.film_width_m is None:
        width = normal(wrapping.strip_m, options.strip_spread_m or 0.0)
        film = MeasuredStrip(width, None if stretch is None else exact(stretch))
    else:
        exponent = DEFAULT_NECK_IN if options.neck_in is None else options.neck_in
        film = StretchedFilm(
            asked.film_width_m,
            _spread(stretch, options.stretch_spread, measured.stretch if measured else None),
            normal(exponent, options.neck_in_spread or 0.0),
        )
    advance_m = wrapping.bale_turn * math.pi * bale.diameter_m
    return Varying(
        diameter=_spread(
            bale.diameter_m, options.diameter_spread_m, measured.diameter if measured else None
        ),
        length_m=bale.length_m,
        turning=normal(advance_m, options.advance_spread_m or 0.0),
        film=film,
        binding_layers=wrapping.binding_layers,
    )
