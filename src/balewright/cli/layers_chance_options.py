"""The options of `balewright layers` that ask for a chance, and what is wrong with them."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Final

from balewright.cli.layers_course import SLIVER
from balewright.cli.layers_options import too_many_turns
from balewright.cli.ranges import Number, add_numbers, faults_of, value_of
from balewright.quantities.errors import BadInput, Fault

_METRES: Final = "Give metres, as in 0.03."
_POINTS: Final = "Give a fraction: 0.03 for 3 points."
_NUMBERS: Final = {
    "--chance": Number(
        0.01,
        0.9999,
        "share of bales that must have their layers; 0.95 where not given",
        cure="Give a fraction: 0.95 for 95 of 100 bales.",
        share=True,
    ),
    "--diameter-spread-m": Number(
        0, 0.5, "how diameters differ: standard deviation in metres", cure=_METRES
    ),
    "--advance-spread-m": Number(
        0, 0.5, "the same of the bale surface that passes in a wrap turn", cure=_METRES
    ),
    "--strip-spread-m": Number(0, 0.3, "the same of a strip measured on bales", cure=_METRES),
    "--stretch-spread": Number(
        0, 0.5, "the same of the stretch, as a fraction", cure=_POINTS, share=True
    ),
    "--neck-in-spread": Number(
        0,
        0.3,
        "the same of the neck-in exponent",
        cure="Give it as the exponent is given, as in 0.02.",
    ),
    "--allow-short-area": Number(
        0,
        1,
        "a share of a side that may stay short",
        cure="Give a fraction: 0.01 for 1 per cent of a side.",
        share=True,
    ),
}


def add_chance_options(parser: argparse.ArgumentParser) -> None:
    """The options that ask for a chance."""
    group = parser.add_argument_group("how surely, where bales differ (any of these asks it)")
    add_numbers(group, _NUMBERS)
    group.add_argument(
        "--spread-from", type=Path, metavar="FILE", help="or: bale records that show these"
    )
    group.add_argument("--everywhere", action="store_true", help="ask it of the flat sides too")


def asks_chance(options: argparse.Namespace) -> bool:
    """Whether a chance is asked for."""
    given = [value_of(options, option) for option in _NUMBERS]
    plainly = options.everywhere or options.spread_from is not None
    return plainly or any(value is not None for value in given)


def check_chance(options: argparse.Namespace) -> None:
    """Raise BadInput with every fault of these options at once."""
    faults = faults_of(options, {**_NUMBERS, **SLIVER})
    for option in ("--stretch-spread", "--neck-in-spread"):
        if value_of(options, option) is not None and options.film_width_mm is None:
            cure = "A strip measured on bales has its own deviation: --strip-spread-m."
            faults.append(Fault(option, "--film-width-mm beside it", "none", cure))
    if options.strip_spread_m is not None and options.strip_m is None:
        cure = "Film known by its roll differs by --stretch-spread and --neck-in-spread."
        faults.append(Fault("--strip-spread-m", "--strip-m beside it", "none", cure))
    if options.allow_short_area and options.allow_sliver_mm:
        need = "either it or --allow-sliver-mm"
        faults.append(Fault("--allow-short-area", need, "both", "Leave one of them out."))
    faults += too_many_turns(options, "--chance")
    if options.event:
        cure = "Ask for one of the two; a lost roll can be told with --lost-at."
        faults.append(Fault("--chance", "no --event beside it", "both", cure))
    if faults:
        raise BadInput(*faults)
