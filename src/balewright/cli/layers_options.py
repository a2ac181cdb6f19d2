"""The options of `balewright layers`: what may stand there, and the question they make."""

from __future__ import annotations

import argparse
import math
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Final

from balewright.plan.film.layers import (
    Bale,
    LayerCount,
    Wrapping,
    bale_turn_from_advance,
    count_layers,
    whole_layers,
)
from balewright.plan.film.strip import DEFAULT_NECK_IN, Film, strip_width_m
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.si import M_PER_UM

_METRES: Final = "Give metres, as in 1.25."
_TURNS: Final = "Give wrap turns as the machine counts them, as in 12."
#: option -> lowest, highest, cure; what a bale, a film or a machine can be.
_RANGES: Final = {
    "--diameter-m": (0.3, 3.0, _METRES),
    "--length-m": (0.3, 3.0, _METRES),
    "--strip-m": (0.01, 3.0, _METRES),
    "--film-width-m": (0.05, 1.5, "Give metres, as in 0.75."),
    "--stretch": (0.0, 2.0, "Give a fraction: 0.70 for 70 per cent."),
    "--neck-in": (0.0, 0.5, "Give the exponent: 0 keeps the width, 0.5 narrows freely."),
    "--bale-turn": (0.001, 1.0, "Give turns of the bale per wrap turn, as in 0.125."),
    "--advance-m": (0.001, 10.0, "Give metres of bale surface per wrap turn, as in 0.49."),
    "--one-roll-advance-m": (0.001, 10.0, "Give metres of bale surface per wrap turn."),
    "--turns": (0.5, 20_000.0, _TURNS),
    "--lost-at": (0.0, 20_000.0, _TURNS),
    "--layers": (1.0, 40.0, "Give a whole number of layers: 4, 6 and 8 are usual."),
    "--binding-film-turns": (0.0, 40.0, "Give turns of binding film, as in 3.5."),
    "--binding-film-width-m": (0.05, 3.0, _METRES),
    "--film-thickness-um": (5.0, 100.0, "Give micrometres, as in 25."),
    "--roll-m": (1.0, 20_000.0, "Give metres on a new roll, as in 1500."),
}


def add_options(parser: argparse.ArgumentParser) -> None:
    """The options of this command."""
    add = parser.add_argument
    number = partial(parser.add_argument, type=float, metavar="N")
    number("--diameter-m", required=True, help="diameter of the bale")
    number("--length-m", required=True, help="width of the bale, along its axis")
    number("--strip-m", help="width of the film as it lies on the bale")
    number("--film-width-m", help="or: width of the film on the roll, with --stretch")
    number("--stretch", help="pre-stretch: 0.70 for 70 per cent; gives metres of film")
    neck_in = f"film narrows to (1 + stretch)^-N of its width; default {DEFAULT_NECK_IN}"
    number("--neck-in", help=neck_in)
    number("--bale-turn", help="turns of the bale in one wrap turn (1/8 is 0.125)")
    number("--advance-m", help="or: bale surface that passes in one wrap turn")
    number("--turns", required=True, help="wrap turns")
    add("--dispensers", type=int, choices=(1, 2), default=2, help="rolls on; default 2")
    add("--layers", type=int, metavar="N", default=6, help="layers wanted everywhere; default 6")
    number("--lost-at", help="wrap turn at which one of two rolls was lost")
    number("--one-roll-advance-m", help="bale surface in a wrap turn once a roll is out")
    number("--binding-film-turns", help="turns of binding film under the wrap")
    number("--binding-film-width-m", help="width of that film; default: as wide as the bale")
    number("--film-thickness-um", help="thickness of the film on the roll, for grams")
    number("--roll-m", help="metres on a new roll, for grams and bales to a roll")
    add("--svg", type=Path, metavar="FILE", help="draw the layer map into FILE")
    add("--json", action="store_true", help="one JSON object with a version in it")


@dataclass(frozen=True)
class Asked:
    """The question, checked, and its count.

    turns: of every dispenser as planned; lost_at: where one roll was lost; stretch_frac: None
    where not given; film: None unless width, thickness and length of the roll are all given;
    neck_in_given: whether the exponent is the user's own.
    """

    bale: Bale
    wrapping: Wrapping
    count: LayerCount
    turns: float
    lost_at: float | None
    stretch_frac: float | None
    film_width_m: float | None
    film: Film | None
    neck_in_given: bool

    def with_neck_in(self, exponent: float) -> LayerCount:
        """The same count for a strip that narrowed by another exponent."""
        width_m = strip_width_m(self.film_width_m or 0.0, self.stretch_frac or 0.0, exponent)
        return count_layers(self.bale, replace(self.wrapping, strip_m=width_m))


def ask(options: argparse.Namespace) -> Asked:
    """Check every option, then count. Raises BadInput with every fault at once."""
    _check(options)
    bale = Bale(options.diameter_m, options.length_m)
    wrapping = _wrapping(options, bale)
    return Asked(
        bale=bale,
        wrapping=wrapping,
        count=count_layers(bale, wrapping),
        turns=options.turns,
        lost_at=options.lost_at,
        stretch_frac=options.stretch,
        film_width_m=options.film_width_m,
        film=_film(options),
        neck_in_given=options.neck_in is not None,
    )


def _check(options: argparse.Namespace) -> None:
    """Every fault of the options at once."""
    given = vars(options)
    faults = []
    for option, (low, high, cure) in _RANGES.items():
        value = given[option[2:].replace("-", "_")]
        if value is not None and not (math.isfinite(value) and low <= value <= high):
            faults.append(Fault(option, f"a number from {low:g} to {high:g}", f"{value:g}", cure))
    faults += _check_pair(options, "--strip-m", "--film-width-m")
    faults += _check_pair(options, "--bale-turn", "--advance-m")
    if options.film_width_m is not None and options.stretch is None:
        faults.append(
            Fault("--film-width-m", "--stretch beside it", "none", "Add --stretch 0.70, say.")
        )
    if (options.film_thickness_um is None) != (options.roll_m is None):
        need = "--film-thickness-um and --roll-m together"
        faults.append(Fault("--roll-m", need, "one of them", "Give both, with --film-width-m."))
    if options.roll_m is not None and options.film_width_m is None:
        faults.append(Fault("--roll-m", "--film-width-m beside it", "none", "Add the width."))
    if options.lost_at is not None and options.dispensers != 2:
        faults.append(
            Fault("--lost-at", "--dispensers 2", "1", "With one roll there is no other to go on.")
        )
    if options.lost_at is not None and options.lost_at > options.turns:
        need = f"a turn up to --turns ({options.turns:g})"
        faults.append(
            Fault("--lost-at", need, f"{options.lost_at:g}", "Leave it out if no roll was lost.")
        )
    if faults:
        raise BadInput(*faults)


def _check_pair(options: argparse.Namespace, one: str, other: str) -> list[Fault]:
    values = [getattr(options, name[2:].replace("-", "_")) for name in (one, other)]
    if values.count(None) == 1:
        return []
    said = "both" if None not in values else "neither"
    return [Fault(one, f"either it or {other}", said, "Give exactly one of the two.")]


def _wrapping(options: argparse.Namespace, bale: Bale) -> Wrapping:
    strip_m = options.strip_m
    if strip_m is None:
        strip_m = strip_width_m(options.film_width_m, options.stretch, _neck_in(options))
    bale_turn = options.bale_turn
    if bale_turn is None:
        bale_turn = bale_turn_from_advance(options.advance_m, bale.diameter_m)
    one_roll_m = options.one_roll_advance_m
    lost = (options.turns if options.lost_at is None else options.lost_at,)
    binding_m = options.binding_film_width_m or bale.length_m
    return Wrapping(
        strip_m=strip_m,
        bale_turn=bale_turn,
        turns=(options.turns,) + lost * (options.dispensers - 1),
        need_layers=options.layers,
        binding_layers=whole_layers(options.binding_film_turns or 0.0, binding_m, bale.length_m),
        bale_turn_one_roll=one_roll_m and bale_turn_from_advance(one_roll_m, bale.diameter_m),
    )


def _neck_in(options: argparse.Namespace) -> float:
    return DEFAULT_NECK_IN if options.neck_in is None else float(options.neck_in)


def _film(options: argparse.Namespace) -> Film | None:
    width_m, thickness_um = options.film_width_m, options.film_thickness_um
    if width_m is None or thickness_um is None or options.roll_m is None:
        return None
    return Film(
        width_m, thickness_um * M_PER_UM, options.roll_m, options.stretch, _neck_in(options)
    )
