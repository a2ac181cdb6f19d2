"""Losses and costs over layers: both schools of trials as bands, the flat of the least marked."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from balewright.pictures.plot import (
    BLUE,
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
from balewright.pictures.svg import element
from balewright.plan.keeping.answer import KeepingAnswer
from balewright.plan.keeping.keep import Kept, School
from balewright.plan.keeping.least_cost import FEWEST_LAYERS, LeastCost
from balewright.quantities.interval import Interval
from balewright.quantities.reason import Reason, ReasonValue, because

Say = Callable[[Reason], str]

COLOURS: Final = {School.WELL_MADE: BLUE, School.BARRIER_TRIALS: ORANGE}
_HIGH: Final = 218.0
_ROW: Final = 16.0


def draw_keeping(answer: KeepingAnswer, say: Say) -> str:
    """Losses over layers, and costs below where prices were given, as one SVG.

    say: a reason (`keeping.*`) to a sentence. Stands alone or inside a page, light or dark.
    """

    def said(key: str, **values: ReasonValue) -> str:
        return say(because(f"keeping.{key}", **values))

    parts = [_losses(answer, said)]
    high = _HIGH
    entries = [(COLOURS[school], said(f"school.{school.name.lower()}")) for school in School]
    if answer.least is not None:
        parts.append(shift(0, high + 8.0, _costs(answer, answer.least, said)))
        high += _HIGH + 8.0
        entries.append((GREY, said("chart.film")))
    parts.append(legend(high + 18.0, entries))
    high += 18.0 + _ROW * len(entries)
    notes = ["chart.spread", *(["chart.flat"] if answer.least is not None else [])]
    for note in notes:
        parts.append(words(4, high + 2.0, said(note)))
        high += _ROW
    told = said(
        "chart.told",
        layers=answer.kept.layers,
        well_frac=answer.kept.of(School.WELL_MADE).total_frac.best,
        barrier_frac=answer.kept.of(School.BARRIER_TRIALS).total_frac.best,
    )
    if answer.least is not None:
        low, most = answer.least.advised
        one = ".one" if low == most else ""
        told += " " + said(f"advised{one}", least_low=low, least_high=most)
    return picture(high, said("chart.title"), told, *parts)


def _losses(answer: KeepingAnswer, said: Callable[..., str]) -> str:
    top = max(one.total_frac.high for one in answer.by_layers if one.layers >= FEWEST_LAYERS)
    most = 100.0 * min(1.0, max(0.05, top * 1.1))
    fewest, last = answer.by_layers[0].layers, answer.by_layers[-1].layers
    plot = Plot(
        Axis(float(fewest), float(last), said("chart.x")),
        Axis(0.0, most, said("chart.per_cent")),
        said("chart.loss"),
        _HIGH,
    )
    drawn = [plot.frame(), _floor(plot, said("chart.floor"))]
    for school, colour in COLOURS.items():
        ends = [(one.layers, _total(one, school)) for one in answer.by_layers]
        drawn.append(
            plot.band(
                [(n, 100.0 * part.low) for n, part in ends],
                [(n, 100.0 * part.high) for n, part in ends],
                colour,
            )
        )
        drawn.append(plot.line([(n, 100.0 * part.best) for n, part in ends], colour))
    return "".join([*drawn, _asked(plot, answer, said)])


def _costs(answer: KeepingAnswer, least: LeastCost, said: Callable[..., str]) -> str:
    most = max(cost.total_money(school).high for cost in least.costs for school in School)
    fewest, last = answer.by_layers[0].layers, answer.by_layers[-1].layers
    plot = Plot(
        Axis(float(fewest), float(last), said("chart.x")),
        Axis(0.0, max(most * 1.1, 1e-6), said("chart.money")),
        said("chart.cost"),
        _HIGH,
    )
    drawn = [plot.frame(), _floor(plot, said("chart.floor"))]
    drawn.append(plot.line([(one.layers, one.film_money) for one in least.costs], GREY, True))
    for optimum in least.optima:
        colour = COLOURS[optimum.school]
        money = [(one.layers, one.total_money(optimum.school)) for one in least.costs]
        costs = [(layers, spread.best) for layers, spread in money]
        lows = [(layers, spread.low) for layers, spread in money]
        drawn.append(plot.band(lows, [(n, spread.high) for n, spread in money], colour))
        drawn.append(plot.line(costs, colour))
        drawn.append(_flat(plot, optimum.near, dict(costs), colour))
        drawn.append(plot.mark(optimum.layers, optimum.money, colour))
        across, up = plot.at(optimum.layers, optimum.money)
        label = said("chart.least", layers=optimum.layers)
        drawn.append(words(across + 2.0, up - 10.0, label, weight="600"))
    return "".join([*drawn, _asked(plot, answer, said)])


def _flat(plot: Plot, near: tuple[int, int], costs: dict[int, float], colour: str) -> str:
    """A thick pale line over the layers that cost nearly the least."""
    places = [plot.at(n, costs[n]) for n in range(near[0], near[1] + 1)]
    if len(places) == 1:
        across, up = places[0]
        places = [(across - 5.0, up), (across + 5.0, up)]
    points = " ".join(f"{x:.1f},{y:.1f}" for x, y in places)
    return element(
        "polyline",
        {"points": points, "fill": "none", "stroke": colour, "stroke-width": 14,
         "stroke-opacity": "0.3", "stroke-linecap": "round"},
    )  # fmt: skip


def _floor(plot: Plot, said: str) -> str:
    """The field under four layers, which no source advises."""
    left, _ = plot.at(plot.x.low, 0.0)
    right, _ = plot.at(FEWEST_LAYERS, 0.0)
    return plot.stretch(plot.x.low, FEWEST_LAYERS) + words(
        (left + right) / 2.0, plot.height - 42.0, said, anchor="middle", size=10
    )


def _asked(plot: Plot, answer: KeepingAnswer, said: Callable[..., str]) -> str:
    layers = answer.kept.layers
    if not plot.x.low <= layers <= plot.x.high:
        return ""
    across, top = plot.at(layers, plot.y.high)
    end = across > WIDTH - 90.0
    label = said("chart.asked", layers=layers)
    beside = words(
        across + (-5.0 if end else 5.0), top + 9.0, label, anchor="end" if end else "start"
    )
    return plot.upright(layers) + beside


def _total(kept: Kept, school: School) -> Interval:
    return kept.of(school).total_frac
