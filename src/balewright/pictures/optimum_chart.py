"""What costs least, as curves: cost along layers, density and speed, and what less loss costs."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from balewright.pictures.plot import (
    BLUE,
    GREEN,
    GREY,
    ORANGE,
    WIDTH,
    Axis,
    Plot,
    legend,
    picture,
    shift,
    words,
)
from balewright.plan.keeping.keep import School
from balewright.plan.optimum.best import Axis as Setting
from balewright.plan.optimum.best import BestSettings, Curve, Point
from balewright.plan.optimum.option import Option
from balewright.quantities.reason import Reason, ReasonValue, because
from balewright.quantities.si import KM_H_PER_M_S

Say = Callable[[Reason], str]

COLOURS: Final = {School.WELL_MADE: BLUE, School.BARRIER_TRIALS: ORANGE}
_SCALE: Final = {Setting.LAYERS: 1.0, Setting.DENSITY: 1.0, Setting.SPEED: KM_H_PER_M_S}
_HIGH: Final = 196.0
_GAP: Final = 8.0


def draw_optimum(best: BestSettings, say: Say) -> str:
    """Four plots, one below the other, as one SVG: layers, density, speed, and the front.

    say: a reason (`optimum.*`) to a sentence. Inside a page it takes the page's ink.
    """

    def said(key: str, **values: ReasonValue) -> str:
        return say(because(f"optimum.{key}", **values))

    top, parts = 0.0, []
    for curve in best.curves:
        if len(curve.points) > 1:
            parts.append(shift(0.0, top, _cost_along(best, curve, said)))
            top += _HIGH + _GAP
    if len(best.front) > 1:
        parts.append(shift(0.0, top, _front(best, said)))
        top += _HIGH + _GAP
    entries = [(COLOURS[school], said(f"school.{school.name.lower()}")) for school in School]
    entries += [(GREEN, said("chart.settled")), (GREY, said("chart.barred"))]
    parts.append(legend(top + 14.0, entries))
    top += 14.0 + 16.0 * len(entries)
    parts.append(words(4, top + 2.0, said("chart.bands"), size=10))
    settled = best.settled
    told = said(
        "chart.told",
        layers=settled.turned.layers,
        dry_matter_kg_m3=settled.density_kg_m3,
        speed_m_s=settled.speed_m_s,
    )
    return picture(top + 8.0, said("title"), told, *parts)


def _cost_along(best: BestSettings, curve: Curve, said: Callable[..., str]) -> str:
    scale = _SCALE[curve.axis]
    open_to_us = [point for point in curve.points if point.options]
    spreads = [
        dict(point.options)[school].money_t(school) for point in open_to_us for school in School
    ]
    least, most = min(one.low for one in spreads), max(one.high for one in spreads)
    room = max(0.08 * (most - least), 0.01 * most, 1e-6)
    plot = Plot(
        Axis(curve.points[0].at * scale, curve.points[-1].at * scale, said(f"axis.{curve.axis}")),
        Axis(max(0.0, least - room), most + room, said("chart.money")),
        said("chart.cost"),
        _HIGH,
    )
    drawn = [plot.frame(), *_barred(plot, curve.points, scale)]
    for school, colour in COLOURS.items():
        money = [
            (point.at * scale, dict(point.options)[school].money_t(school)) for point in open_to_us
        ]
        low, high = [(x, one.low) for x, one in money], [(x, one.high) for x, one in money]
        drawn.append(plot.band(low, high, colour))
        drawn.append(plot.line([(x, one.best) for x, one in money], colour))
        x, one = min(money, key=lambda place: place[1].best)
        drawn.append(plot.mark(x, one.best, colour))
    drawn.append(plot.upright(_place(best.settled, curve.axis) * scale, GREEN))
    return "".join(drawn)


def _barred(plot: Plot, points: tuple[Point, ...], scale: float) -> list[str]:
    """A grey field halfway to its neighbours round each place where nothing may be taken."""
    fields = []
    for place, point in enumerate(points):
        if point.options:
            continue
        before = points[max(0, place - 1)].at
        after = points[min(len(points) - 1, place + 1)].at
        low, high = (before + point.at) / 2.0 * scale, (point.at + after) / 2.0 * scale
        fields.append(plot.stretch(low, high, GREY))
    return fields


def _front(best: BestSettings, said: Callable[..., str]) -> str:
    places = [(one.made_money_t, 100.0 * one.worst_loss_frac) for one in best.front]
    across, up = [x for x, _ in places], [y for _, y in places]
    plot = Plot(
        _roomy(min(across), max(across), said("chart.front_x")),
        _roomy(min(up), max(up), said("chart.front_y")),
        said("chart.front"),
        _HIGH,
    )
    drawn = [plot.frame()]
    last: tuple[float, float] | None = None
    for option, (x, y) in zip(best.front, places, strict=True):
        colour = GREEN if option == best.settled else BLUE
        drawn.append(plot.mark(x, y, colour))
        here = plot.at(x, y)
        if last is None or abs(here[0] - last[0]) + abs(here[1] - last[1]) > 16.0:
            at_edge = here[0] > WIDTH - 24.0
            anchor, move = ("end", -7.0) if at_edge else ("start", 7.0)
            label = str(option.turned.layers)
            drawn.append(words(here[0] + move, here[1] - 5.0, label, anchor=anchor))
            last = here
    return "".join(drawn)


def _roomy(low: float, high: float, title: str) -> Axis:
    room = max(0.12 * (high - low), 0.02 * abs(high), 1e-6)
    return Axis(max(0.0, low - room), high + room, title)


def _place(option: Option, axis: Setting) -> float:
    if axis is Setting.LAYERS:
        return float(option.turned.layers)
    return option.density_kg_m3 if axis is Setting.DENSITY else option.speed_m_s
