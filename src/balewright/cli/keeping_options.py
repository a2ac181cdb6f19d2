"""The options of `balewright keeping`, and the question they make."""

from __future__ import annotations

import argparse
import math
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Final

from balewright.plan.film.strip import DEFAULT_NECK_IN, Bale, Film
from balewright.plan.keeping.answer import KeepingQuestion
from balewright.plan.keeping.climate import CLIMATES, Climate, Stay
from balewright.plan.keeping.keep import Mishaps, Stored
from balewright.plan.keeping.least_cost import Prices
from balewright.plan.keeping.oxygen import cover_of
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.si import M_PER_MM, M_PER_UM

_METRES: Final = "Give metres, as in 1.25."
_SHARE: Final = "Give a fraction: 0.55 for 55 per cent."
_MONEY: Final = "Give money in your own currency."
#: option -> lowest, highest, cure.
_RANGES: Final = {
    "--diameter-m": (0.3, 3.0, _METRES),
    "--length-m": (0.3, 3.0, _METRES),
    "--dry-matter-kg-m3": (50.0, 400.0, "Give kilograms of dry matter in a cubic metre, as 180."),
    "--moisture": (0.05, 0.9, _SHARE),
    "--months": (0.0, 48.0, "Give months, as in 9."),
    "--wrapped-in": (1.0, 12.0, "Give the month as a number: 6 for June."),
    "--layers": (1.0, 40.0, "Give a whole number of layers: 4, 6 and 8 are usual."),
    "--film-thickness-um": (5.0, 100.0, "Give micrometres on the roll, as in 25."),
    "--stretch": (0.0, 2.0, "Give a fraction: 0.70 for 70 per cent."),
    "--neck-in": (0.0, 0.5, "Give the exponent: 0 keeps the width, 0.5 narrows freely."),
    "--times-tighter": (1.0, 1000.0, "Give 1 for plain film, 20 for one that lets a twentieth in."),
    "--sun-share": (0.0, 1.0, _SHARE),
    "--sun-excess-k": (0.0, 50.0, "Give kelvin, as in 15."),
    "--waited-h": (0.0, 240.0, "Give hours between baling and wrapping."),
    "--warmed-k": (0.0, 60.0, "Give kelvin by which the bale warmed before wrapping."),
    "--holes": (0.0, 1000.0, "Give a whole number of open holes."),
    "--hole-mm": (0.0, 100.0, "Give the diameter of one hole in millimetres."),
    "--film-money-kg": (0.0, 1000.0, _MONEY),
    "--dm-money-t": (0.0, 100_000.0, _MONEY),
    "--near": (0.0, 1.0, _SHARE),
}


def add_options(parser: argparse.ArgumentParser) -> None:
    """The options of this command."""
    add = parser.add_argument
    number = partial(parser.add_argument, type=float, metavar="N")
    number("--diameter-m", required=True, help="diameter of the bale")
    number("--length-m", required=True, help="width of the bale, along its axis")
    number("--moisture", required=True, help="wet basis: 0.55 for 55 per cent")
    number("--months", required=True, help="how long it lies")
    add("--layers", type=int, metavar="N", default=6, help="layers of film; default 6")
    number("--dry-matter-kg-m3", default=180.0, help="density of dry matter; default 180")
    add("--climate", choices=tuple(CLIMATES), default="cool-moist", help="default cool-moist")
    add("--monthly-c", metavar="C,C,...", help="or your own twelve monthly means, January first")
    add("--wrapped-in", type=int, metavar="MONTH", default=6, help="1 to 12; default 6")
    number("--sun-share", help="share of film and time in the sun; default 0.15, assumed")
    number("--sun-excess-k", help="how much hotter film is there; default 15 K, assumed")
    number("--film-thickness-um", default=25.0, help="film on the roll; default 25")
    number("--stretch", default=0.70, help="pre-stretch; default 0.70")
    number("--neck-in", default=DEFAULT_NECK_IN, help=f"default {DEFAULT_NECK_IN}, see layers")
    number("--times-tighter", default=1.0, help="how much less oxygen than plain film; default 1")
    number("--waited-h", default=0.0, help="hours unwrapped; default 0")
    number("--warmed-k", help="kelvin it warmed meanwhile, where measured")
    add("--holes", type=int, metavar="N", default=0, help="open holes in the film; default 0")
    number("--hole-mm", default=1.0, help="their diameter; default 1")
    number("--film-money-kg", help="price of a kilogram of film: with the next, gives costs")
    number("--dm-money-t", help="what a tonne of dry matter in the bale is worth")
    number("--near", default=0.05, help="costs this close count as the same; default 0.05")
    add("--svg", type=Path, metavar="FILE", help="draw losses and costs into FILE")
    add("--mould-svg", type=Path, metavar="FILE", help="draw mould by source into FILE")
    add("--json", action="store_true", help="one JSON object with a version in it")


def ask(options: argparse.Namespace) -> KeepingQuestion:
    """Every option checked, then the question. Raises BadInput with every fault at once."""
    means, faults = _own_means(options.monthly_c)
    faults += _outside(options)
    if (options.film_money_kg is None) != (options.dm_money_t is None):
        need = "--film-money-kg and --dm-money-t together"
        faults.append(Fault("--dm-money-t", need, "one of them", "Give both prices, or neither."))
    if faults:
        raise BadInput(*faults)
    film = Film(
        0.75, options.film_thickness_um * M_PER_UM, 1500.0, options.stretch, options.neck_in
    )  # width and length of a roll do not change how thick it lies
    stored = Stored(
        Bale(options.diameter_m, options.length_m),
        cover_of(film, options.times_tighter),
        options.dry_matter_kg_m3,
        options.moisture,
        Stay(_climate(options, means), options.wrapped_in, options.months),
    )
    mishaps = Mishaps(options.waited_h, options.warmed_k, options.hole_mm * M_PER_MM, options.holes)
    prices = None
    if options.film_money_kg is not None:
        prices = Prices(options.film_money_kg, options.dm_money_t, options.near)
    return KeepingQuestion(stored, options.layers, film.thickness_m, mishaps, prices)


def _outside(options: argparse.Namespace) -> list[Fault]:
    faults = []
    for option, (low, high, cure) in _RANGES.items():
        value = vars(options)[option[2:].replace("-", "_")]
        if value is not None and not (math.isfinite(value) and low <= value <= high):
            faults.append(Fault(option, f"a number from {low:g} to {high:g}", f"{value:g}", cure))
    return faults


def _own_means(given: str | None) -> tuple[tuple[float, ...] | None, list[Fault]]:
    if given is None:
        return None, []
    cure = "As in --monthly-c=5,5,7,9,11,14,16,15,13,11,8,6"
    try:
        means = tuple(float(one) for one in given.split(","))
    except ValueError:
        return None, [Fault("--monthly-c", "twelve numbers with commas between", given, cure)]
    if len(means) != 12 or not all(math.isfinite(one) and -50.0 <= one <= 50.0 for one in means):
        return None, [Fault("--monthly-c", "twelve means from -50 to 50", given, cure)]
    return means, []


def _climate(options: argparse.Namespace, means: tuple[float, ...] | None) -> Climate:
    climate = CLIMATES[options.climate] if means is None else Climate("own", means)
    if options.sun_share is not None:
        climate = replace(climate, sun_share=options.sun_share)
    if options.sun_excess_k is not None:
        climate = replace(climate, sun_excess_k=options.sun_excess_k)
    return climate
