"""Hay acid over moisture: what every source asks for, and where this hay is."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from balewright.pictures.plot import BLUE, ORANGE, PURPLE, Axis, Look, Plot, legend, picture, words
from balewright.pictures.svg import element
from balewright.plan.keeping.additive import SourceRate, acid_dose
from balewright.quantities.reason import Reason, because

Say = Callable[[Reason], str]

_HIGH: Final = 230.0
_KENTUCKY: Final = "kentucky-acid-rates"
_EASSON: Final = "easson-nash-1978"
_DAKOTA: Final = "north-dakota-acid"
_LOOKS: Final = ((_KENTUCKY, BLUE), (_EASSON, ORANGE), (_DAKOTA, PURPLE))


def draw_dose_chart(moisture_frac: float, say: Say) -> str:
    """Every source's rate over moisture as an SVG, with an upright line at `moisture_frac` (0..1).

    say: a reason (`additive.chart.*`) to a sentence. The sources are read from `acid_dose` itself,
    so the picture cannot say anything else than the answer.
    """
    title = say(because("additive.chart.title"))
    x = Axis(15.0, 55.0, say(because("additive.chart.x")))
    y = Axis(0.0, 28.0, say(because("additive.chart.y")))
    plot = Plot(x, y, title, _HIGH)
    dose = acid_dose(moisture_frac)
    here = say(because("additive.chart.here_none", moisture_frac=moisture_frac))
    if dose is not None:
        best = f"{dose.kg_t.best:.3g}"
        here = say(because("additive.chart.here", moisture_frac=moisture_frac, best_said=best))
    parts = [plot.frame(), *_kentucky(plot), *_easson(plot), *_dakota(plot)]
    percent = moisture_frac * 100.0
    if plot.x.low <= percent <= plot.x.high:
        parts.append(plot.upright(percent))
    if dose is not None:
        parts.append(plot.mark(percent, dose.kg_t.best, "currentColor"))
        across, up = plot.at(percent, dose.kg_t.best)
        said = f"{dose.kg_t.best:.3g}\N{NO-BREAK SPACE}kg/t"
        parts.append(words(across - 8.0, up - 8.0, said, anchor="end", weight="600", size=12))
    named = [(colour, say(Reason(f"additive.chart.{key.split('-')[0]}"))) for key, colour in _LOOKS]
    parts.append(legend(_HIGH + 14.0, named))
    told = say(because("additive.chart.desc", here=here))
    return picture(_HIGH + 14.0 + 16.0 * len(named), title, told, *parts)


def _asked(source: str, percent: float) -> SourceRate | None:
    dose = acid_dose(percent / 100.0)
    rates = () if dose is None else dose.rates
    return next((rate for rate in rates if rate.source == source), None)


def _kentucky(plot: Plot) -> list[str]:
    found = []
    for low, high in ((20.0, 25.0), (25.001, 30.0)):
        rate = _asked(_KENTUCKY, (low + high) / 2.0)
        if rate is not None:
            found.append(plot.line([(low, rate.low_kg_t), (high, rate.low_kg_t)], BLUE))
    return found


def _easson(plot: Plot) -> list[str]:
    low, high = [], []
    for percent in (30.0, 35.0, 40.0, 45.0, 50.0):
        rate = _asked(_EASSON, percent)
        if rate is not None:
            low.append((percent, rate.low_kg_t))
            high.append((percent, rate.high_kg_t or rate.low_kg_t))
    return [plot.band(low, high, ORANGE), plot.line(low, ORANGE), plot.line(high, ORANGE)]


def _dakota(plot: Plot) -> list[str]:
    """A point with an arrow up: at least."""
    rate = _asked(_DAKOTA, 32.0)
    if rate is None:
        return []
    across, up = plot.at(32.0, rate.low_kg_t)
    points = (
        f"{across - 4:.1f},{up - 22:.1f} {across + 4:.1f},{up - 22:.1f} {across:.1f},{up - 30:.1f}"
    )
    look: Look = {"stroke": PURPLE, "stroke-width": 2}
    return [
        plot.mark(32.0, rate.low_kg_t, PURPLE),
        element("line", {"x1": across, "x2": across, "y1": up - 5.0, "y2": up - 23.0, **look}),
        element("polygon", {"points": points, "fill": PURPLE}),
    ]
