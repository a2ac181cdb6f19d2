"""`balewright power`: what the machine takes at the PTO, and whether the tractor does."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any, Final

from balewright.cli.answer import print_json, print_table
from balewright.cli.drawing import write_drawing
from balewright.cli.given import three_ends
from balewright.cli.ranges import Number, add_numbers, check_numbers
from balewright.plan.power.answer import Load, PowerAnswer, Tractor, power_of
from balewright.plan.power.need import Chamber, Ground
from balewright.quantities.interval import Interval
from balewright.quantities.reason import because
from balewright.quantities.si import KG_PER_T, KM_H_PER_M_S, S_PER_H
from balewright.words.say import say, say_value

_WORK: Final = {
    "--windrow-kg-m": Number(0.2, 30.0, "fresh crop in a metre of windrow, kg", required=True),
    "--speed-km-h": Number(0.5, 20.0, "forward speed, km/h", required=True),
    "--knives": Number(0, 60, "knives that are in", 0, whole=True),
    "--machine-kg": Number(300, 60_000, "the machine with bales in it, kg", required=True),
    "--oil-l-min": Number(0, 300, "oil its wrapper takes, l/min, 0 with its own pump", 0),
    "--oil-bar": Number(0, 400, "at that pressure, bar", 0),
    "--slope": Number(0, 0.6, "steepest slope, rise over run: 0.10 or 10%", 0, share=True),
}
_TRACTOR: Final = {
    "--tractor-kw": Number(5, 1000, "rated PTO power of the tractor, kW", required=True),
    "--tractor-kg": Number(500, 40_000, "the tractor, kg", required=True),
    "--tractor-oil-l-min": Number(0, 500, "oil the tractor gives, l/min"),
    "--tractor-oil-bar": Number(0, 400, "at that pressure, bar"),
}
_NUMBERS: Final = {**_WORK, **_TRACTOR}


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """The options of this command."""
    work = parser.add_argument_group("the machine and its work")
    chambers = ("variable", "fixed")
    work.add_argument("--chamber", choices=chambers, required=True, help="kind of chamber")
    add_numbers(work, _WORK)
    grounds = [one.name.lower() for one in Ground]
    work.add_argument(
        "--ground", choices=grounds, default="firm", help="under the wheels; default firm"
    )
    tractor = parser.add_argument_group("the tractor")
    add_numbers(tractor, _TRACTOR)
    tractor.add_argument(
        "--free-return", choices=("yes", "no"), help="whether it has a line without pressure"
    )
    add = parser.add_argument_group("answer").add_argument
    add("--svg", type=Path, metavar="FILE", help="draw it into FILE")
    add("--json", action="store_true", help="one JSON object with a version in it")
    parser.set_defaults(answer=answer)


def answer(options: argparse.Namespace) -> int:
    """Reckon, then print words and a table or JSON, and draw where asked; the exit code."""
    check_numbers(options, _NUMBERS)
    found = power_of(_load(options), _tractor(options))
    if options.svg is not None:
        from balewright.pictures.plot import on_paper
        from balewright.pictures.power_chart import draw_power

        write_drawing(options.svg, on_paper(draw_power(found, say)))
    if options.json:
        print_json("power", _as_json(found))
    else:
        _print(found)
    return 0


def _load(options: argparse.Namespace) -> Load:
    speed_m_s = options.speed_km_h / KM_H_PER_M_S
    return Load(
        chamber=Chamber[options.chamber.upper()],
        feed_t_h=options.windrow_kg_m * speed_m_s * S_PER_H / KG_PER_T,
        knives_in=options.knives,
        speed_m_s=speed_m_s,
        machine_kg=options.machine_kg,
        oil_l_min=options.oil_l_min,
        oil_bar=options.oil_bar,
        slope_frac=options.slope,
        ground=Ground[options.ground.upper()],
    )


def _tractor(options: argparse.Namespace) -> Tractor:
    return Tractor(
        pto_kw=options.tractor_kw,
        mass_kg=options.tractor_kg,
        oil_l_min=options.tractor_oil_l_min,
        oil_bar=options.tractor_oil_bar,
        free_return=None if options.free_return is None else options.free_return == "yes",
    )


def _print(found: PowerAnswer) -> None:
    for caution in found.cautions:
        print(f"! {say(caution)}")
    print()
    for sentence in found.words:
        print(say(sentence))
    print()
    columns = ("part", "low", "best", "high")
    rows = [_row(name, part) for name, part in found.need.items() if part.high > 0.0]
    rows.append(_row("total", found.need.total))
    rows.append(_row("reserve", found.reserve))
    print_table([say(because(f"power.column.{name}")) for name in columns], rows)
    print()
    print(say(because("power.steady")))


def _row(name: str, part: Interval) -> list[str]:
    values = (part.low, part.best, part.high)
    return [
        say(because(f"power.part.{name}")),
        *(say_value("part_kw", value) for value in values),
    ]


def _as_json(found: PowerAnswer) -> dict[str, Any]:
    return {
        "power": found.power.value,
        "need_kw": three_ends(found.need.total),
        "parts_kw": {name: three_ends(part) for name, part in found.need.items()},
        "tractor_kw": found.tractor_kw,
        "reserve_kw": three_ends(found.reserve),
        "oil_flow": found.flow.value,
        "oil_pressure": found.pressure.value,
        "free_return": found.free_return.value,
        "sentences": [say(reason) for reason in found.words],
        "cautions": [say(reason) for reason in found.cautions],
    }
