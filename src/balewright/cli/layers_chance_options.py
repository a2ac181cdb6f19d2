"""The options of `balewright layers` that ask for a chance, and what is wrong with them."""

from __future__ import annotations

import argparse
import math
from functools import partial
from pathlib import Path
from typing import Final

from balewright.quantities.errors import BadInput, Fault

_METRES: Final = "Give metres, as in 0.03."
_FRACTION: Final = "Give a fraction: 0.03 for 3 points."
#: option -> lowest, highest, cure.
_RANGES: Final = {
    "--diameter-spread-m": (0.0, 0.5, _METRES),
    "--advance-spread-m": (0.0, 0.5, _METRES),
    "--strip-spread-m": (0.0, 0.3, _METRES),
    "--stretch-spread": (0.0, 0.5, _FRACTION),
    "--neck-in-spread": (0.0, 0.3, "Give it as the exponent is given, as in 0.02."),
    "--chance": (0.01, 0.9999, "Give a fraction: 0.95 for 95 of 100 bales."),
    "--allow-short-area": (0.0, 1.0, "Give a fraction: 0.01 for 1 per cent of a side."),
    "--allow-sliver-mm": (0.0, 1000.0, "Give millimetres, as in 10."),
}

_MOST_TURNS: Final = 200.0


def add_chance_options(parser: argparse.ArgumentParser) -> None:
    """The options that ask for a chance."""
    number = partial(parser.add_argument, type=float, metavar="N")
    number("--chance", help="share of bales that must have their layers; 0.95 where not given")
    number("--diameter-spread-m", help="how diameters differ: standard deviation in metres")
    number("--advance-spread-m", help="the same of the bale surface that passes in a wrap turn")
    number("--strip-spread-m", help="the same of a strip measured on bales")
    number("--stretch-spread", help="the same of the stretch, as a fraction")
    number("--neck-in-spread", help="the same of the neck-in exponent")
    parser.add_argument(
        "--spread-from", type=Path, metavar="FILE", help="or: bale records that show these"
    )
    number("--allow-short-area", help="with --chance: a share of a side that may stay short")
    parser.add_argument(
        "--everywhere", action="store_true", help="with --chance: ask it of the flat sides too"
    )


def asks_chance(options: argparse.Namespace) -> bool:
    """Whether a chance is asked for."""
    given = [_value(options, option) for option in _RANGES if option != "--allow-sliver-mm"]
    plainly = options.everywhere or options.spread_from is not None
    return plainly or any(value is not None for value in given)


def check_chance(options: argparse.Namespace) -> None:
    """Raise BadInput with every fault of these options at once."""
    faults = []
    for option, (low, high, cure) in _RANGES.items():
        value = _value(options, option)
        if value is not None and not (math.isfinite(value) and low <= value <= high):
            faults.append(Fault(option, f"a number from {low:g} to {high:g}", f"{value:g}", cure))
    for option in ("--stretch-spread", "--neck-in-spread"):
        if _value(options, option) is not None and options.film_width_m is None:
            cure = "A strip measured on bales has its own deviation: --strip-spread-m."
            faults.append(Fault(option, "--film-width-m beside it", "none", cure))
    if options.strip_spread_m is not None and options.strip_m is None:
        cure = "Film known by its roll differs by --stretch-spread and --neck-in-spread."
        faults.append(Fault("--strip-spread-m", "--strip-m beside it", "none", cure))
    if options.allow_short_area and options.allow_sliver_mm:
        need = "either it or --allow-sliver-mm"
        faults.append(Fault("--allow-short-area", need, "both", "Leave one of them out."))
    if math.isfinite(options.turns) and options.turns > _MOST_TURNS:
        need = f"{_MOST_TURNS:g} wrap turns at most beside --chance"
        cure = "No bale gets so many; leave the chance out to count them."
        faults.append(Fault("--turns", need, f"{options.turns:g}", cure))
    if options.event:
        cure = "Ask for one of the two; a lost roll can be told with --lost-at."
        faults.append(Fault("--chance", "no --event beside it", "both", cure))
    if faults:
        raise BadInput(*faults)


def _value(options: argparse.Namespace, option: str) -> float | None:
    value: float | None = getattr(options, option[2:].replace("-", "_"))
    return value
