"""The options of `balewright optimum`, and the question they make."""

from __future__ import annotations

import argparse
import itertools
from pathlib import Path
from typing import Final

from balewright.cli.ranges import Number, add_numbers, check_numbers
from balewright.cli.work_options import (
    MOST_MONEY,
    WORK_NUMBERS,
    add_work_options,
    check_prices,
    job_of,
    outlay_of,
    wrap_of,
)
from balewright.plan.film.spread import normal
from balewright.plan.film.strip import DEFAULT_NECK_IN, Film
from balewright.plan.film.varying import StretchedFilm, Varying
from balewright.plan.keeping.climate import CLIMATES, Stay
from balewright.plan.keeping.keep import Mishaps
from balewright.plan.keeping.oxygen import cover_of
from balewright.plan.optimum.asked import Choices, Question, Turned, Wanted
from balewright.plan.optimum.enough_turns import turns_by_layers
from balewright.plan.power.answer import Tractor
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.si import KM_H_PER_M_S, M_PER_MM, M_PER_UM

_FILM: Final = {
    "--advance-m": Number(0.01, 3, "bale surface that passes in a wrap turn, m", required=True),
    "--film-width-mm": Number(50, 1500, "width of the film on the roll, mm", 750),
    "--film-thickness-um": Number(5, 100, "thickness on the roll, µm", 25),
    "--neck-in": Number(0, 0.5, "exponent of neck-in, see layers", DEFAULT_NECK_IN),
    "--times-tighter": Number(1, 1000, "how much less oxygen passes than plain film", 1),
    "--diameter-spread-m": Number(0, 0.5, "standard deviation of diameters, m", 0),
    "--advance-spread-m": Number(0, 0.5, "standard deviation of the advance, m", 0),
    "--stretch-spread": Number(0, 0.5, "standard deviation of the stretch", 0, share=True),
    "--neck-in-spread": Number(0, 0.3, "standard deviation of the exponent", 0),
}
_STAY: Final = {
    "--months": Number(0, 48, "months a bale lies", required=True),
    "--wrapped-in": Number(1, 12, "month of wrapping, 6 for June", 6, whole=True),
    "--waited-h": Number(0, 240, "hours between baling and wrapping", 0),
    "--dm-money-t": Number(0, MOST_MONEY, "worth of a tonne of dry matter", required=True),
}
_WANTED: Final = {
    "--chance": Number(
        0.01, 0.9999, "share of bales with no spot short of its layers", 0.95, share=True
    ),
    "--most-loss": Number(0, 1, "most dry matter lost, by the trials that read worse", share=True),
    "--most-bale-kg": Number(10, 3000, "heaviest bale that may be made, kg"),
    "--near": Number(0, 1, "costs this close to the least count as the same", 0.02, share=True),
    "--steps": Number(2, 40, "steps of density and of speed", 9, whole=True),
}
_NUMBERS: Final = {**WORK_NUMBERS, **_FILM, **_STAY, **_WANTED}
#: option -> lowest, highest, default, what it is.
_SPANS: Final = {
    "--dm-kg-m3": (40.0, 400.0, None, "densities to choose from, kg of dry matter in a m³"),
    "--speed-km-h": (0.5, 19.0, None, "speeds to choose from, km/h"),
    "--layers": (
        4.0,
        20.0,
        "4..10",
        "layers to choose from; under 4 are never advised",
    ),
}
_ANY_TRACTOR_KG: Final = 6000.0
"""A tractor's weight takes power on slopes only, and none is asked for here."""


def add_options(parser: argparse.ArgumentParser) -> None:
    """The options of this command."""
    choose = parser.add_argument_group("what to choose from")
    for option, (low, high, default, what) in _SPANS.items():
        ends = f"{what} ({low:g}..{high:g}" + (f"; default {default})" if default else ")")
        choose.add_argument(
            option, metavar="LOW..HIGH", default=default, required=default is None, help=ends
        )
    add_numbers(parser.add_argument_group("what is wanted"), _WANTED)
    add_work_options(parser)
    add_numbers(parser.add_argument_group("how film lands and varies"), _FILM)
    stay = parser.add_argument_group("how bales lie, and what they are worth")
    add_numbers(stay, _STAY)
    stay.add_argument(
        "--climate", choices=tuple(CLIMATES), default="cool-moist", help="default cool-moist"
    )
    add = parser.add_argument_group("answer").add_argument
    add("--svg", type=Path, metavar="FILE", help="draw it into FILE")
    add("--json", action="store_true", help="one JSON object with a version in it")


def ask(options: argparse.Namespace) -> Question:
    """The question of these options. Raises BadInput with every number out of range at once."""
    check_numbers(options, _NUMBERS)
    check_prices(options, wrapped=True)
    spans = {option: _span(options, option) for option in _SPANS}
    steps = options.steps
    speeds = _between(*spans["--speed-km-h"], steps)
    choices = Choices(
        turned=_turned(options, spans["--layers"]),
        density_kg_m3=_between(*spans["--dm-kg-m3"], steps),
        speed_m_s=tuple(speed / KM_H_PER_M_S for speed in speeds),
    )
    start = wrap_of(options, choices.turned[0].turns)
    return Question(
        job=job_of(options, start, choices.density_kg_m3[0], choices.speed_m_s[0]),
        cover=cover_of(_film(options), options.times_tighter),
        stay=Stay(CLIMATES[options.climate], options.wrapped_in, options.months),
        outlay=outlay_of(options),
        dm_money_t=options.dm_money_t,
        choices=choices,
        wanted=Wanted(
            options.chance, options.most_loss, options.most_bale_kg, near_frac=options.near
        ),
        tractor=Tractor(options.tractor_kw, _ANY_TRACTOR_KG),
        mishaps=Mishaps(waited_h=options.waited_h),
    )


def _film(options: argparse.Namespace) -> Film:
    return Film(
        options.film_width_mm * M_PER_MM,
        options.film_thickness_um * M_PER_UM,
        options.film_roll_m,
        options.stretch,
        options.neck_in,
    )


def _turned(options: argparse.Namespace, layers: tuple[float, float]) -> tuple[Turned, ...]:
    varying = Varying(
        diameter=normal(options.diameter_m, options.diameter_spread_m),
        length_m=options.length_m,
        turning=normal(options.advance_m, options.advance_spread_m),
        film=StretchedFilm(
            options.film_width_mm * M_PER_MM,
            normal(options.stretch, options.stretch_spread),
            normal(options.neck_in, options.neck_in_spread),
        ),
    )
    numbers = range(round(layers[0]), round(layers[1]) + 1)
    turned = turns_by_layers(varying, options.dispensers, options.chance, numbers)
    if not turned:
        need = f"layers that 100 turns put on {options.chance:.0%} of the bales"
        cure = "Ask for fewer layers or a smaller chance; or check advance, width and spreads."
        raise BadInput(Fault("--layers", need, str(options.layers), cure))
    return turned


def _span(options: argparse.Namespace, option: str) -> tuple[float, float]:
    lowest, highest, default, what = _SPANS[option]
    given: str = getattr(options, option[2:].replace("-", "_"))
    ends = given.split("..")
    try:
        low, high = float(ends[0]), float(ends[-1])
    except ValueError:
        low, high = 1.0, 0.0
    whole = option != "--layers" or (low.is_integer() and high.is_integer())
    if len(ends) > 2 or not whole or not lowest <= low <= high <= highest:
        example = default or f"{lowest * 2:g}..{highest / 2:g}"
        need = f"LOW..HIGH from {lowest:g} to {highest:g}, or one number"
        raise BadInput(Fault(option, need, repr(given), f"It is {what}, as in {example}."))
    return low, high


def _between(low: float, high: float, steps: int) -> tuple[float, ...]:
    """So many values from low to high, both held; one where they are the same."""
    if low == high:
        return (low,)
    places = (low + (high - low) * place / (steps - 1) for place in range(steps))
    return tuple(value for value, _ in itertools.groupby(places))
