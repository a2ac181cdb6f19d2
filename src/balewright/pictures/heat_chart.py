"""Hay over time against the alarms: readings, the lowest alarm of all sources as bands, where it
goes if it goes on like this, and under it what each source says at every temperature.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from balewright.pictures.plot import WIDTH, Axis, Look, Plot, Points, picture, rule, words
from balewright.pictures.svg import element
from balewright.plan.keeping.heating import alarms_c
from balewright.plan.keeping.heating_sources import HEAT_TABLES, HeatAction, HeatTable
from balewright.plan.keeping.heating_trend import HeatReading, HeatReport
from balewright.quantities.reason import Reason, because

Say = Callable[[Reason], str]

_HIGH: Final = 250.0
_COLDEST_C: Final = 20.0
_HOTTEST_C: Final = 104.0
_AHEAD_H: Final = 24.0
_ROWS_FROM_C: Final = 45.0
_ROW: Final = 19.0
_BAR: Final = 12.0
_NAME: Final = 76.0
_INK: Final = "currentColor"
#: fill, and how much of it covers the page, so that words in the page's ink read on all of it.
_LOOKS: Final = {
    HeatAction.NOTHING: ("#2f7d4f", 0.08),
    HeatAction.WATCH: ("#d9a400", 0.20),
    HeatAction.WATCH_CLOSELY: ("#e07b1a", 0.28),
    HeatAction.OPEN_UP: ("#d4541a", 0.38),
    HeatAction.CALL: ("#c2281f", 0.46),
    HeatAction.BURNING: ("#8e1218", 0.56),
}


@dataclass(frozen=True)
class _Chart:
    plot: Plot
    readings: Sequence[HeatReading]
    report: HeatReport
    say: Say

    def short(self, action: HeatAction) -> str:
        """An action in a word or two."""
        return self.say(Reason(f"heating.short.{action.value}"))


def draw_heat_chart(readings: Sequence[HeatReading], report: HeatReport, say: Say) -> str:
    """The chart of `report` as an SVG in the page's ink, to stand alone or inside a page.

    readings: those the report was made from; say: a reason (`heating.*`) to a sentence. A screen
    reader hears the numbers of the picture in its title and description.
    """
    span_h = max(report.latest.at_h - readings[0].at_h, 1.0)
    ahead_h = min(_AHEAD_H, max(span_h, 6.0))
    hottest = max([_HOTTEST_C, *(one.temperature_c + 5.0 for one in readings)])
    coldest = min([_COLDEST_C, *(one.temperature_c - 5.0 for one in readings)])
    hot_c, action = report.latest.temperature_c, report.advice.action
    short = say(Reason(f"heating.short.{action.value}"))
    title = say(because("heating.chart.title", hot_c=hot_c, action_said=short))
    x = Axis(-span_h, ahead_h, say(because("heating.chart.axis")))
    y = Axis(coldest, hottest, say(because("heating.chart.degrees")))
    chart = _Chart(Plot(x, y, title, _HIGH), readings, report, say)
    told = _description(chart, span_h)
    inside = [*_bands(chart), chart.plot.frame(), *_cone(chart, ahead_h), *_points(chart)]
    rows = _rows(chart, _HIGH + 26.0)
    return picture(_HIGH + 80.0 + _ROW * len(HEAT_TABLES), title, told, *inside, *rows)


def _next_said(report: HeatReport) -> str:
    next_h = report.next_h
    return "-" if next_h is None else f"{next_h:.1f}".removesuffix(".0") + "\N{NO-BREAK SPACE}h"


def _description(chart: _Chart, span_h: float) -> str:
    return chart.say(
        because(
            "heating.chart.desc",
            span_h=span_h,
            count=len(chart.readings),
            hot_c=chart.report.latest.temperature_c,
            watch_c=alarms_c(HeatAction.WATCH).low,
            danger_c=alarms_c(HeatAction.OPEN_UP).low,
            call_c=alarms_c(HeatAction.CALL).low,
            fire_c=alarms_c(HeatAction.BURNING).low,
            next_said=_next_said(chart.report),
        )
    )


def _bands(chart: _Chart) -> list[str]:
    """The lowest alarms of all sources, across the plot, each with its name."""
    plot, parts = chart.plot, []
    lows = [plot.y.low, *(alarms_c(action).low for action in list(HeatAction)[1:])]
    for action, low_c, high_c in zip(HeatAction, lows, [*lows[1:], plot.y.high], strict=True):
        left, bottom = plot.at(plot.x.low, low_c)
        right, top = plot.at(plot.x.high, high_c)
        parts.append(_rect((left, top), (right - left, bottom - top), action))
        if action is not HeatAction.NOTHING:
            said = f"{chart.short(action)}, {low_c:.0f}\N{NO-BREAK SPACE}°C"
            parts.append(words(left + 5.0, bottom - 4.0, said))
    return parts


def _rect(place: tuple[float, float], size: tuple[float, float], action: HeatAction) -> str:
    fill, cover = _LOOKS[action]
    return element(
        "rect",
        {
            "x": place[0],
            "y": place[1],
            "width": size[0],
            "height": size[1],
            "fill": fill,
            "fill-opacity": cover,
            "class": f"heat-{action.value}",
        },
    )


def _cone(chart: _Chart, ahead_h: float) -> list[str]:
    """Where the rate and its ends lead from the last reading."""
    rate, hot_c = chart.report.rate_c_h, chart.report.latest.temperature_c
    if rate is None:
        return []

    def to(rate_c_h: float) -> Points:
        return [(0.0, hot_c), (ahead_h, hot_c + rate_c_h * ahead_h)]

    return [
        chart.plot.band(to(rate.low), to(rate.high), _INK),
        chart.plot.line(to(rate.best), _INK, dashed=True),
    ]


def _points(chart: _Chart) -> list[str]:
    plot, latest = chart.plot, chart.report.latest
    at = [(one.at_h - latest.at_h, one.temperature_c) for one in chart.readings]
    parts = [plot.line(at, _INK)]
    for x, y in at:
        across, up = plot.at(x, y)
        spot: Look = {"cx": across, "cy": up, "r": 3.5, "fill": _INK, "class": "heat-reading"}
        parts.append(element("circle", spot))
    return parts


def _rows(chart: _Chart, top: float) -> list[str]:
    """A bar for each source over temperature, with an upright line where the hay is now."""
    ends = (_ROWS_FROM_C, chart.plot.y.high)

    def across(degrees: float) -> float:
        share = (min(max(degrees, ends[0]), ends[1]) - ends[0]) / (ends[1] - ends[0])
        return _NAME + share * (WIDTH - _NAME - 10.0)

    parts = [words(4, top, chart.say(because("heating.chart.by_source")), size=13, weight="600")]
    top += 16.0  # the line that says where the hay is now
    for place, table in enumerate(HEAT_TABLES):
        y = top + 10.0 + _ROW * place
        name = chart.say(Reason(f"heating.name.{table.source.split('-')[0]}"))
        parts.append(words(4, y + 10.0, name))
        for action, low_c, high_c in _steps(table, ends):
            left, wide = across(low_c), across(high_c) - across(low_c)
            parts.append(_rect((left, y), (max(wide - 1.0, 0.5), _BAR), action))
    bottom = top + 10.0 + _ROW * len(HEAT_TABLES)
    for degrees in range(50, int(ends[1]) + 1, 10):
        parts.append(rule((across(degrees), bottom - 4.0), (across(degrees), bottom)))
        parts.append(words(across(degrees), bottom + 12.0, f"{degrees}", anchor="middle"))
    hot = across(chart.report.latest.temperature_c)
    look: Look = {"stroke": _INK, "stroke-width": 1.75, "stroke-dasharray": "4 3"}
    parts.append(element("line", {"x1": hot, "x2": hot, "y1": top + 6.0, "y2": bottom, **look}))
    now = chart.say(because("heating.chart.now", hot_c=chart.report.latest.temperature_c))
    anchor = "end" if hot > WIDTH * 0.8 else "middle"
    parts.append(words(max(hot, _NAME + 20.0), top + 2.0, now, anchor=anchor, weight="600"))
    return parts


def _steps(table: HeatTable, span: tuple[float, float]) -> list[tuple[HeatAction, float, float]]:
    """(action, from, to) of one source over a span; steps of one action are joined."""
    found: list[tuple[HeatAction, float, float]] = []
    here, low_c = HeatAction.NOTHING, span[0]
    for step in table.steps:
        if step.action is here or step.from_c <= span[0]:
            continue
        found.append((here, low_c, step.from_c))
        here, low_c = step.action, step.from_c
    return [*found, (here, low_c, span[1])]
