"""`balewright layers` for a bale as it is: the options, and the way to the answer."""

from __future__ import annotations

import argparse
from typing import Final

from balewright.cli.layers_course import SLIVER
from balewright.cli.layers_options import too_many_turns
from balewright.cli.ranges import Number, add_numbers, faults_of, value_of
from balewright.quantities.errors import BadInput, Fault

_METRES: Final = "Give metres, as in 1.25."
_NUMBERS: Final = {
    "--diameter-left-m": Number(
        0.3, 3, "diameter at the left end; none: as in the middle", cure=_METRES
    ),
    "--diameter-right-m": Number(
        0.3, 3, "diameter at the right end; none: as in the middle", cure=_METRES
    ),
    "--diameter-ends-m": Number(0.3, 3, "or: diameter at both ends, of a barrel", cure=_METRES),
    "--shoulder-m": Number(
        0,
        0.3,
        "radius of the rounded shoulders",
        cure="Give the radius of the rounding in metres, as in 0.08.",
    ),
    "--off-height-m": Number(
        -1.5,
        1.5,
        "how far above mid-height the film runs, below it negative",
        cure="Give metres above the bale's middle, below it negative.",
    ),
    "--tilt-deg": Number(
        -28,
        28,
        "lean of the wrapping ring along the bale, degrees",
        cure="Give degrees, as in 2.",
    ),
    "--slip": Number(
        -0.9,
        0.9,
        "how much less the bale turns at the end: 0.2 is a fifth less",
        cure="Give a fraction: 0.2 where it turns a fifth less at the end.",
        share=True,
    ),
    "--tail-width": Number(
        0,
        1,
        "width of a fresh film's start, as a share of the strip; assumed 0.5",
        cure="Give a fraction of the strip's width, as in 0.5.",
        share=True,
    ),
    "--tail-half-turns": Number(
        0,
        100,
        "half wrap turns that this tail lasts",
        cure="Give a whole number of half wrap turns, as in 2.",
        whole=True,
    ),
    "--band-turns": Number(
        0,
        40,
        "turns round the girth that the wrapper lays first, spread over it",
        cure="Give a whole number of turns round the girth, as in 4.",
        whole=True,
    ),
}


def add_real_options(parser: argparse.ArgumentParser) -> None:
    """The options that make a bale a real one."""
    group = parser.add_argument_group("a real bale (--diameter-m is its middle)")
    add_numbers(group, _NUMBERS)
    group.add_argument("--skew", action="store_true", help="count that the bale turns under strips")


def is_real(options: argparse.Namespace) -> bool:
    """Whether any option makes this more than a plain cylinder under straight strips."""
    return bool(options.skew) or any(value_of(options, one) is not None for one in _NUMBERS)


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
    faults = faults_of(options, {**_NUMBERS, **SLIVER})
    faults += too_many_turns(options, "a real bale")
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
