"""The options of `balewright keeping`, and the question they make."""

from __future__ import annotations

import argparse
import math
from dataclasses import replace
from pathlib import Path
from typing import Final

from balewright.cli.ranges import Number, add_numbers, faults_of
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
_BALE: Final = {
    "--diameter-m": Number(0.3, 3, "diameter of the bale, m", required=True, cure=_METRES),
    "--length-m": Number(
        0.3, 3, "width of the bale, along its axis, m", required=True, cure=_METRES
    ),
    "--moisture": Number(
        0.05, 0.9, "wet basis: 0.55 or 55%", required=True, cure=_SHARE, share=True
    ),
    "--dm-kg-m3": Number(
        50,
        400,
        "dry matter in a cubic metre of bale, kg",
        180,
        cure="Give kilograms of dry matter in a cubic metre, as 180.",
    ),
}
_FILM: Final = {
    "--layers": Number(
        1,
        40,
        "layers of film at the thinnest spot",
        6,
        cure="Give a whole number of layers: 4, 6 and 8 are usual.",
        whole=True,
    ),
    "--film-thickness-um": Number(
        5,
        100,
        "thickness of the film on the roll, µm",
        25,
        cure="Give micrometres on the roll, as in 25.",
    ),
    "--stretch": Number(
        0,
        2,
        "pre-stretch: 0.70 or 70%",
        0.70,
        cure="Give a fraction: 0.70 for 70 per cent.",
        share=True,
    ),
    "--neck-in": Number(
        0,
        0.5,
        "exponent of neck-in, see layers",
        DEFAULT_NECK_IN,
        cure="Give the exponent: 0 keeps the width, 0.5 narrows freely.",
    ),
    "--times-tighter": Number(
        1,
        1000,
        "how much less oxygen than plain film",
        1,
        cure="Give 1 for plain film, 20 for one that lets a twentieth in.",
    ),
}
_STAY: Final = {
    "--months": Number(0, 48, "how long it lies", required=True, cure="Give months, as in 9."),
    "--wrapped-in": Number(
        1,
        12,
        "month of wrapping, 6 for June",
        6,
        cure="Give the month as a number: 6 for June.",
        whole=True,
    ),
    "--sun-share": Number(
        0, 1, "share of film and time in the sun; assumed 0.15", cure=_SHARE, share=True
    ),
    "--sun-excess-k": Number(
        0, 50, "how much hotter film is there, K; assumed 15", cure="Give kelvin, as in 15."
    ),
}
_WRONG: Final = {
    "--waited-h": Number(
        0, 240, "hours unwrapped", 0, cure="Give hours between baling and wrapping."
    ),
    "--warmed-k": Number(
        0,
        60,
        "kelvin it warmed meanwhile, where measured",
        cure="Give kelvin by which the bale warmed before wrapping.",
    ),
    "--holes": Number(
        0,
        1000,
        "open holes in the film",
        0,
        cure="Give a whole number of open holes.",
        whole=True,
    ),
    "--hole-mm": Number(
        0,
        100,
        "diameter of one hole, mm",
        1,
        cure="Give the diameter of one hole in millimetres.",
    ),
}
_PRICES: Final = {
    "--film-money-kg": Number(
        0, 1000, "price of a kilogram of film; both prices give costs", cure=_MONEY
    ),
    "--dm-money-t": Number(0, 100_000, "worth of a tonne of dry matter in the bale", cure=_MONEY),
    "--near": Number(
        0, 1, "costs this close to the least count as the same", 0.05, cure=_SHARE, share=True
    ),
}
_NUMBERS: Final = {**_BALE, **_FILM, **_STAY, **_WRONG, **_PRICES}


def add_options(parser: argparse.ArgumentParser) -> None:
    """The options of this command."""
    add_numbers(parser.add_argument_group("the bale"), _BALE)
    add_numbers(parser.add_argument_group("the film"), _FILM)
    stay = parser.add_argument_group("the stay")
    add_numbers(stay, _STAY)
    add = stay.add_argument
    add("--climate", choices=tuple(CLIMATES), default="cool-moist", help="default cool-moist")
    add("--monthly-c", metavar="C,C,...", help="or your own twelve monthly means, January first")
    add_numbers(parser.add_argument_group("what went wrong"), _WRONG)
    add_numbers(parser.add_argument_group("money, in your own currency"), _PRICES)
    add = parser.add_argument_group("answer").add_argument
    add("--svg", type=Path, metavar="FILE", help="draw losses and costs into FILE")
    add("--mould-svg", type=Path, metavar="FILE", help="draw mould by source into FILE")
    add("--json", action="store_true", help="one JSON object with a version in it")


def ask(options: argparse.Namespace) -> KeepingQuestion:
    """Every option checked, then the question. Raises BadInput with every fault at once."""
    means, faults = _own_means(options.monthly_c)
    faults += faults_of(options, _NUMBERS)
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
        options.dm_kg_m3,
        options.moisture,
        Stay(_climate(options, means), options.wrapped_in, options.months),
    )
    mishaps = Mishaps(options.waited_h, options.warmed_k, options.hole_mm * M_PER_MM, options.holes)
    prices = None
    if options.film_money_kg is not None:
        prices = Prices(options.film_money_kg, options.dm_money_t, options.near)
    return KeepingQuestion(stored, options.layers, film.thickness_m, mishaps, prices)


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
