"""The options of `balewright layers`: what may stand there, and the question they make."""

from __future__ import annotations

import argparse
import math
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from balewright.cli.ranges import Number, add_numbers, as_options, faults_of, value_of
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
from balewright.quantities.si import M_PER_MM, M_PER_UM

_MOST_TURNS: Final = 200.0
_METRES: Final = "Give metres, as in 1.25."
_TURNS: Final = "Give wrap turns as the machine counts them, as in 12."
_SURFACE: Final = "Give metres of bale surface per wrap turn, as in 0.49."
_BALE: Final = {
    "--diameter-m": Number(0.3, 3, "diameter of the bale, m", required=True, cure=_METRES),
    "--length-m": Number(
        0.3, 3, "width of the bale, along its axis, m", required=True, cure=_METRES
    ),
    "--bale-turn": Number(
        0.001,
        1,
        "turns of the bale in one wrap turn: 1/8 is 0.125",
        cure="Give turns of the bale per wrap turn, as in 0.125.",
    ),
    "--advance-m": Number(
        0.001, 10, "or: bale surface that passes in one wrap turn, m", cure=_SURFACE
    ),
}
_FILM: Final = {
    "--strip-m": Number(0.01, 3, "width of the film as it lies on the bale, m", cure=_METRES),
    "--film-width-mm": Number(
        50,
        1500,
        "or: width of the film on the roll, mm, with --stretch",
        cure="Give millimetres, as in 750.",
    ),
    "--stretch": Number(
        0,
        2,
        "pre-stretch: 0.70 or 70%; gives metres of film",
        cure="Give a fraction: 0.70 for 70 per cent.",
        share=True,
    ),
    "--neck-in": Number(
        0,
        0.5,
        f"film narrows to (1 + stretch)^-N of its width; assumed {DEFAULT_NECK_IN}",
        cure="Give the exponent: 0 keeps the width, 0.5 narrows freely.",
    ),
    "--film-thickness-um": Number(
        5,
        100,
        "thickness of the film on the roll, µm, for grams",
        cure="Give micrometres, as in 25.",
    ),
    "--film-roll-m": Number(
        1,
        20_000,
        "metres on a new roll, for grams and bales to a roll",
        cure="Give metres on a new roll, as in 1500.",
    ),
}
_WRAP: Final = {
    "--turns": Number(0.5, 20_000, "wrap turns", required=True, cure=_TURNS),
    "--layers": Number(
        1,
        40,
        "layers wanted everywhere",
        6,
        cure="Give a whole number of layers: 4, 6 and 8 are usual.",
        whole=True,
    ),
    "--lost-at": Number(0, 20_000, "wrap turn at which one of two rolls was lost", cure=_TURNS),
    "--one-roll-advance-m": Number(
        0.001, 10, "bale surface in a wrap turn once a roll is out", cure=_SURFACE
    ),
    "--binding-film-turns": Number(
        0, 40, "turns of binding film under the wrap", cure="Give turns, as in 3.5."
    ),
    "--binding-film-width-mm": Number(
        50,
        3000,
        "width of that film; none: as wide as the bale",
        cure="Give millimetres, as in 1300.",
    ),
}
_NUMBERS: Final = {**_BALE, **_FILM, **_WRAP}
#: field of the model -> option
_OPTIONS: Final = {
    "advance_m": "--advance-m",
    "bale_turn": "--bale-turn",
    "strip_m": "--strip-m",
    "turns": "--turns",
}


def add_options(parser: argparse.ArgumentParser) -> None:
    """The options of this command."""
    add_numbers(parser.add_argument_group("the bale, and how it turns"), _BALE)
    film = "the film: as it lies on the bale, or as the roll's label says"
    add_numbers(parser.add_argument_group(film), _FILM)
    wrap = parser.add_argument_group("the wrap")
    add_numbers(wrap, _WRAP)
    wrap.add_argument(
        "--dispensers", type=int, choices=(1, 2), default=2, help="rolls on; default 2"
    )
    out = parser.add_argument_group("answer")
    out.add_argument("--svg", type=Path, metavar="FILE", help="draw the layer map into FILE")
    out.add_argument("--json", action="store_true", help="one JSON object with a version in it")


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
    try:
        wrapping = _wrapping(options, bale)
        count = count_layers(bale, wrapping)
    except BadInput as error:
        raise as_options(error, _OPTIONS) from None
    return Asked(
        bale=bale,
        wrapping=wrapping,
        count=count,
        turns=options.turns,
        lost_at=options.lost_at,
        stretch_frac=options.stretch,
        film_width_m=_film_width_m(options),
        film=_film(options),
        neck_in_given=options.neck_in is not None,
    )


def _check(options: argparse.Namespace) -> None:
    """Every fault of the options at once."""
    faults = faults_of(options, _NUMBERS)
    faults += _check_pair(options, "--strip-m", "--film-width-mm")
    faults += _check_pair(options, "--bale-turn", "--advance-m")
    if options.film_width_mm is not None and options.stretch is None:
        faults.append(
            Fault("--film-width-mm", "--stretch beside it", "none", "Add --stretch 0.70, say.")
        )
    if (options.film_thickness_um is None) != (options.film_roll_m is None):
        need = "--film-thickness-um and --film-roll-m together"
        faults.append(
            Fault("--film-roll-m", need, "one of them", "Give both, with --film-width-mm.")
        )
    if options.film_roll_m is not None and options.film_width_mm is None:
        faults.append(Fault("--film-roll-m", "--film-width-mm beside it", "none", "Add the width."))
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


def too_many_turns(options: argparse.Namespace, beside: str) -> list[Fault]:
    """A fault where a chance or a real bale is asked at turns that no bale gets: it takes long."""
    if not (math.isfinite(options.turns) and options.turns > _MOST_TURNS):
        return []
    need = f"{_MOST_TURNS:g} wrap turns at most beside {beside}"
    cure = "No bale gets so many; leave the rest out to count them."
    return [Fault("--turns", need, f"{options.turns:g}", cure)]


def _check_pair(options: argparse.Namespace, one: str, other: str) -> list[Fault]:
    values = [value_of(options, name) for name in (one, other)]
    if values.count(None) == 1:
        return []
    said = "both" if None not in values else "neither"
    return [Fault(one, f"either it or {other}", said, "Give exactly one of the two.")]


def _wrapping(options: argparse.Namespace, bale: Bale) -> Wrapping:
    strip_m = options.strip_m
    if strip_m is None:
        strip_m = strip_width_m(_film_width_m(options) or 0.0, options.stretch, _neck_in(options))
    bale_turn = options.bale_turn
    if bale_turn is None:
        bale_turn = bale_turn_from_advance(options.advance_m, bale.diameter_m)
    one_roll_m = options.one_roll_advance_m
    lost = (options.turns if options.lost_at is None else options.lost_at,)
    binding_mm = options.binding_film_width_mm
    binding_m = bale.length_m if binding_mm is None else binding_mm * M_PER_MM
    return Wrapping(
        strip_m=strip_m,
        bale_turn=bale_turn,
        turns=(options.turns,) + lost * (options.dispensers - 1),
        need_layers=options.layers,
        binding_layers=whole_layers(options.binding_film_turns or 0.0, binding_m, bale.length_m),
        bale_turn_one_roll=one_roll_m and bale_turn_from_advance(one_roll_m, bale.diameter_m),
    )


def _film_width_m(options: argparse.Namespace) -> float | None:
    width_mm = options.film_width_mm
    return None if width_mm is None else float(width_mm * M_PER_MM)


def _neck_in(options: argparse.Namespace) -> float:
    return DEFAULT_NECK_IN if options.neck_in is None else float(options.neck_in)


def _film(options: argparse.Namespace) -> Film | None:
    width_m, thickness_um = _film_width_m(options), options.film_thickness_um
    if width_m is None or thickness_um is None or options.film_roll_m is None:
        return None
    return Film(
        width_m, thickness_um * M_PER_UM, options.film_roll_m, options.stretch, _neck_in(options)
    )
