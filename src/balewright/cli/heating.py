"""`balewright heating`: how hot hay may be, what to do now, and when to read again."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any, Final

from balewright.cli.answer import print_json, print_table
from balewright.cli.drawing import write_drawing
from balewright.cli.given import (
    ends,
    number,
    pair,
    print_lines,
    share,
)
from balewright.cli.ranges import Number, add_numbers, as_options, check_numbers
from balewright.plan.keeping.heating_sources import HEAT_TABLES, HeatAction, celsius, fahrenheit
from balewright.plan.keeping.heating_storage import (
    HayBale,
    Storable,
    StorageVerdict,
    judge_storage,
)
from balewright.plan.keeping.heating_trend import HeatReading, HeatReport, Trend, follow_heat
from balewright.quantities.errors import BadInput
from balewright.quantities.reason import Reason, ReasonValue, because
from balewright.words.say import say

_EXAMPLE: Final = "12:54.5, hours and degrees"
_NUMBERS: Final = {
    "--thermometer": Number(
        0.1, 10, "degrees that a reading may be off", 1, cure="Give degrees, as in 1."
    ),
    "--confidence": Number(
        0.5,
        0.999,
        "of the rate at which it heats",
        0.9,
        cure="Give a fraction: 0.9 for 90 per cent.",
        share=True,
    ),
}
#: field of the model -> option
_OPTIONS: Final = {"at_h": "--reading", "temperature_c": "--reading"}
_BALES: Final = {bale.value.replace(" ", "-"): bale for bale in HayBale}


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """The options of this command."""
    add = parser.add_argument
    add(
        "--reading",
        action="append",
        required=True,
        metavar="HOURS:DEGREES",
        help="one reading, oldest first; give it as often as there are readings",
    )
    add("--fahrenheit", action="store_true", help="readings and --thermometer are in F")
    add_numbers(parser, _NUMBERS)
    add("--acid", action="store_true", help="the hay was treated with acid")
    add("--moisture", help="moisture when it was baled: 17%% or 0.17")
    add("--bale", choices=sorted(_BALES), default="large-round", help="default large-round")
    add("--svg", type=Path, metavar="FILE", help="draw readings and alarms into FILE")
    add("--json", action="store_true", help="one JSON object with a version in it")
    parser.set_defaults(answer=answer)


def answer(options: argparse.Namespace) -> int:
    """Judge, print a table or JSON, draw where asked; the exit code."""
    check_numbers(options, _NUMBERS)
    thermometer_c = options.thermometer / (1.8 if options.fahrenheit else 1.0)
    try:
        readings = tuple(_reading(given, options.fahrenheit) for given in options.reading)
        report = follow_heat(readings, max(thermometer_c, 0.1), options.confidence, options.acid)
    except BadInput as error:
        raise as_options(error, _OPTIONS) from None
    storage = None
    if options.moisture is not None:
        moisture_frac = share("--moisture", options.moisture)
        storage = (moisture_frac, judge_storage(_BALES[options.bale], moisture_frac))
    if options.svg is not None:
        from balewright.pictures.heat_chart import draw_heat_chart

        write_drawing(options.svg, draw_heat_chart(readings, report, say))
    if options.json:
        print_json("heating", _as_json(report, storage))
    else:
        _print(report, storage, options.bale.replace("-", " "))
    return 0


def _reading(given: str, in_fahrenheit: bool) -> HeatReading:
    hours, degrees = pair("--reading", given, _EXAMPLE)
    hot = number("--reading", degrees, _EXAMPLE)
    return HeatReading(number("--reading", hours, _EXAMPLE), celsius(hot) if in_fahrenheit else hot)


def _as_json(report: HeatReport, storage: tuple[float, StorageVerdict] | None) -> dict[str, Any]:
    advice, reach = report.advice, report.reach
    return {
        "temperature_c": report.latest.temperature_c,
        "read_as_c": advice.temperature_c,
        "action": advice.action.name.lower(),
        "asked_by": list(advice.by),
        "sources": [
            {"source": said.source, "action": said.action.name.lower()} for said in advice.says
        ],
        "cautions": [say(Reason(key)) for key in advice.cautions],
        "trend": report.trend.value,
        "rate_c_h": ends(report.rate_c_h),
        "next_alarm_c": None if reach is None else reach.alarm_c,
        "reach_earliest_h": None if reach is None else reach.earliest_h,
        "reach_best_h": None if reach is None else reach.best_h,
        "reach_latest_h": None if reach is None else reach.latest_h,
        "next_reading_h": report.next_h,
        "readings_used": report.used,
        "storage": None if storage is None else storage[1].verdict.value,
    }


def _print(report: HeatReport, storage: tuple[float, StorageVerdict] | None, bale: str) -> None:
    print_lines([say(Reason(key)) for key in report.advice.cautions])
    print()
    print_lines([*_now(report), _trend(report), *_reach(report), _next(report)])
    print()
    headings = [_said(f"column.{name}") for name in ("source", "says", "check", "calls")]
    print_table(headings, [_row(report, place) for place in range(len(HEAT_TABLES))])
    print()
    if storage is not None:
        print(_storage(*storage, bale))
    print(_said("times"))


def _said(key: str, **values: ReasonValue) -> str:
    return say(because(f"heating.{key}", **values))


def _now(report: HeatReport) -> list[str]:
    advice, hot_c = report.advice, report.latest.temperature_c
    action_said = say(Reason(f"heating.action.{advice.action.value}"))
    now = _said(
        "now",
        hot_c=hot_c,
        hot_fahrenheit=f"{fahrenheit(hot_c):.0f}",
        read_c=advice.temperature_c,
        action_said=action_said,
    )
    if advice.agree:
        return [now, _said("agree")]
    return [now, _said("by", asking=len(advice.by), sources=len(advice.says))]


def _trend(report: HeatReport) -> str:
    rate = report.rate_c_h
    if rate is None or rate.confidence is None:
        return _said("trend.few")
    if report.trend is Trend.NOT_SHOWN:
        low, high = f"{rate.low:.2f}", f"{rate.high:.2f}"
        return _said("trend.unsure", rate_said=f"{rate.best:.2f}", low_said=low, high_said=high)
    sizes = sorted((abs(rate.low), abs(rate.high)))
    values: dict[str, ReasonValue] = {
        "rate_said": f"{abs(rate.best):.2f}",
        "low_said": f"{sizes[0]:.2f}",
        "high_said": f"{sizes[1]:.2f}",
        "confidence_frac": rate.confidence,
    }
    if report.trend is Trend.RISING:
        return _said("trend.rising", **values)
    return _said("trend.falling", **values)


def _reach(report: HeatReport) -> list[str]:
    reach = report.reach
    if reach is None:
        return []
    action_said = say(Reason(f"heating.short.{reach.action.value}"))
    if reach.earliest_h == 0.0:
        return [_said("reach_now", alarm_c=reach.alarm_c, action_said=action_said)]
    values: dict[str, ReasonValue] = {"alarm_c": reach.alarm_c, "action_said": action_said}
    values["earliest_h"] = reach.earliest_h
    if reach.best_h is None:
        return [_said("reach_soonest", **values)]
    return [_said("reach", best_h=reach.best_h, **values)]


def _next(report: HeatReport) -> str:
    return _said("next_none") if report.next_h is None else _said("next", next_h=report.next_h)


def _row(report: HeatReport, place: int) -> list[str]:
    said, table = report.advice.says[place], HEAT_TABLES[place]
    check = "-" if said.step is None or said.step.check_h is None else f"{said.step.check_h:g} h"
    calls = min(step.from_c for step in table.steps if step.action >= HeatAction.CALL)
    name = say(Reason(f"heating.name.{table.source.split('-')[0]}"))
    return [name, say(Reason(f"heating.short.{said.action.value}")), check, f"{calls:.0f} °C"]


def _storage(moisture_frac: float, found: StorageVerdict, bale: str) -> str:
    values: dict[str, ReasonValue] = {"moisture_frac": moisture_frac, "bale": bale}
    if found.verdict is Storable.YES:
        return _said("moist.yes", **values)
    values |= {"low_frac": found.limit_frac.low, "high_frac": found.limit_frac.high}
    if found.verdict is Storable.NO:
        return _said("moist.no", **values)
    counts = {"agree_count": len(found.agree), "against_count": len(found.against)}
    return _said("moist.disputed", **values, **counts)
