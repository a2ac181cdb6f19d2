"""`balewright layers` for a bale as it is: the options, and the way to the answer."""

from __future__ import annotations

import argparse
import math
from typing import Final

from balewright.quantities.errors import BadInput, Fault

_MOST_SLIVER_MM: Final = 1000.0
_METRES: Final = "Give metres, as in 1.25."
#: option -> lowest, highest, cure
_RANGES: Final = {
    "--diameter-left-m": (0.3, 3.0, _METRES),
    "--diameter-right-m": (0.3, 3.0, _METRES),
    "--diameter-ends-m": (0.3, 3.0, _METRES),
    "--shoulder-m": (0.0, 0.3, "Give the radius of the rounding in metres, as in 0.08."),
    "--off-height-m": (-1.5, 1.5, "Give metres above the bale's middle, below it negative."),
    "--tilt-deg": (-28.0, 28.0, "Give degrees, as in 2."),
    "--slip": (-0.9, 0.9, "Give a fraction: 0.2 where it turns a fifth less at the end."),
    "--tail-width": (0.0, 1.0, "Give a fraction of the strip's width, as in 0.5."),
    "--tail-half-turns": (0.0, 100.0, "Give a whole number of half wrap turns, as in 2."),
    "--band-turns": (0.0, 40.0, "Give a whole number of turns round the girth, as in 4."),
}


def add_real_options(parser: argparse.ArgumentParser) -> None:
    """The options that make a bale a real one."""
    group = parser.add_argument_group("a real bale (--diameter-m is its middle)")

    def number(name: str, words: str) -> None:
        group.add_argument(name, type=float, metavar="N", help=words)

    number("--diameter-left-m", "diameter at the left end; default: as in the middle")
    number("--diameter-right-m", "diameter at the right end; default: as in the middle")
    number("--diameter-ends-m", "or: diameter at both ends, of a barrel")
    number("--shoulder-m", "radius of the rounded shoulders")
    number("--off-height-m", "how far above (or below) mid-height the film runs")
    number("--tilt-deg", "lean of the wrapping ring along the bale")
    group.add_argument("--skew", action="store_true", help="count that the bale turns under strips")
    number("--slip", "how much less the bale turns at the end: 0.2 is a fifth less")
    number("--tail-width", "width of a fresh film's start, as a share of the strip; default 0.5")
    number("--tail-half-turns", "half wrap turns that this tail lasts")
    number("--band-turns", "turns round the girth that the wrapper lays first, spread over it")


def is_real(options: argparse.Namespace) -> bool:
    """Whether any option makes this more than a plain cylinder under straight strips."""
    names = (name[2:].replace("-", "_") for name in _RANGES)
    return bool(options.skew) or any(getattr(options, name) is not None for name in names)


def answer_real(options: argparse.Namespace) -> int:
    """Count, then print a table or JSON, and draw where asked; the exit code."""
    from balewright.cli.layers_real_ask import ask_real
    from balewright.cli.layers_real_table import draw_real, print_real, print_real_json

    check_real(options)
    real = ask_real(options)
    if options.svg is not None:
        draw_real(real, options.svg)
    if options.json:
        print_real_json(real)
    else:
        print_real(real)
    return 0


def check_real(options: argparse.Namespace) -> None:
    """Every fault of these options at once; raises BadInput."""
    faults = []
    for option, (low, high, cure) in _RANGES.items():
        value = getattr(options, option[2:].replace("-", "_"))
        if value is not None and not (math.isfinite(value) and low <= value <= high):
            faults.append(Fault(option, f"a number from {low:g} to {high:g}", f"{value:g}", cure))
    sliver_mm = options.allow_sliver_mm
    if not (math.isfinite(sliver_mm) and 0.0 <= sliver_mm <= _MOST_SLIVER_MM):
        need, cure = f"a number from 0 to {_MOST_SLIVER_MM:g}", "Give millimetres, as in 10."
        faults.append(Fault("--allow-sliver-mm", need, f"{sliver_mm:g}", cure))
    for option in ("--tail-half-turns", "--band-turns"):
        value = getattr(options, option[2:].replace("-", "_"))
        if value is not None and math.isfinite(value) and value != math.floor(value):
            faults.append(Fault(option, "a whole number", f"{value:g}", _RANGES[option][2]))
    if options.diameter_ends_m is not None and (
        options.diameter_left_m is not None or options.diameter_right_m is not None
    ):
        need = "either it or --diameter-left-m and --diameter-right-m"
        faults.append(Fault("--diameter-ends-m", need, "both", "Give the one or the other."))
    if options.tail_width is not None and options.tail_half_turns is None:
        cure = "Add --tail-half-turns 2, say."
        faults.append(Fault("--tail-width", "--tail-half-turns beside it", "none", cure))
    if options.event and options.lost_at is not None:
        cure = f"Say it as an event: --event 'roll 2 runs out at {options.lost_at:g}'."
        faults.append(Fault("--event", "no --lost-at beside it", "both", cure))
    if faults:
        raise BadInput(*faults)
