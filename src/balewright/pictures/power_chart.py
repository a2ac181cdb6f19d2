"""What a machine takes at the PTO, part by part, against the tractor, with the spread."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from balewright.pictures.plot import (
    BLUE,
    GREEN,
    GREY,
    ORANGE,
    PURPLE,
    WIDTH,
    Look,
    picture,
    rule,
    words,
)
from balewright.pictures.svg import element
from balewright.plan.power.answer import PowerAnswer
from balewright.quantities.interval import Interval
from balewright.quantities.reason import Reason, because

Say = Callable[[Reason], str]

_LEFT: Final = 8.0
_RIGHT: Final = 12.0
_BAR_TOP: Final = 74.0
_BAR: Final = 38.0
_ROW: Final = 19.0
_COLOURS: Final = {
    "baling": BLUE,
    "chopping": PURPLE,
    "oil": ORANGE,
    "pulling": GREEN,
    "slope": GREY,
}
_LEAST_KW: Final = 0.05
"""Parts below this are not drawn."""


def draw_power(answer: PowerAnswer, say: Say) -> str:
    """The need as a stacked bar of its likely parts, with spread and tractor, as an SVG.

    say: a reason (`power.*`) to words. A line over the bar runs from all parts low to all parts
    high, an upright one stands at the tractor's power; the rows below give each part's interval.
    A screen reader hears all of it.
    """
    total, given_kw = answer.need.total, answer.tractor_kw
    scale = (WIDTH - _LEFT - _RIGHT) / (1.04 * max(total.high, given_kw))
    said = {"low_kw": total.low, "best_kw": total.best, "high_kw": total.high}
    parts = [(name, part) for name, part in answer.need.items() if part.high >= _LEAST_KW]
    rows_at = _BAR_TOP + _BAR + 54.0
    height = rows_at + _ROW * len(parts) + 14.0
    told = "; ".join(_row(name, part, say) for name, part in parts)
    head = say(because("power.picture.head"))
    verdict = say(because(f"power.verdict.{answer.power.name.lower()}"))
    return picture(
        height,
        say(because("power.picture.title", given_kw=given_kw, **said)),
        say(because("power.picture.desc", parts=told, given_kw=given_kw, verdict=verdict, **said)),
        words(_LEFT, 16, f"{head}: {verdict}", size=14, weight="600"),
        words(_LEFT, 34, say(because("power.picture.sum", **said)), size=12.5),
        *_bar(parts, scale),
        *_spread(total.low * scale, total.high * scale),
        *_tractor(given_kw, scale, say),
        words(_LEFT, _BAR_TOP + _BAR + 30, say(because("power.picture.spread")), size=11.5),
        *_rows(parts, rows_at, say),
    )


def _row(name: str, kw: Interval, say: Say) -> str:
    part = say(because(f"power.part.{name}"))
    return say(because("power.picture.range", part=part, low_kw=kw.low, high_kw=kw.high))


def _bar(parts: list[tuple[str, Interval]], scale: float) -> list[str]:
    drawn, at = [], _LEFT
    for name, part in parts:
        wide = part.best * scale
        look: Look = {"x": at, "y": _BAR_TOP, "width": max(wide - 1.0, 0.5), "height": _BAR}
        drawn.append(element("rect", {**look, "fill": _COLOURS[name]}))
        if wide >= 26.0:
            middle: Look = {"x": at + wide / 2.0, "y": _BAR_TOP + 24.0, "font-size": 12}
            middle |= {"fill": "#ffffff", "text-anchor": "middle", "font-weight": "600"}
            drawn.append(element("text", middle, f"{part.best:.0f}"))
        at += wide
    return drawn


def _spread(low: float, high: float) -> list[str]:
    """The line from the low to the high end, over the bar."""
    y = _BAR_TOP - 9.0
    ends = (_LEFT + low, _LEFT + high)
    return [
        rule((ends[0], y), (ends[1], y)),
        *(rule((end, y - 5.0), (end, y + 5.0)) for end in ends),
    ]


def _tractor(given_kw: float, scale: float, say: Say) -> list[str]:
    """The upright line at the tractor's power, named."""
    x = _LEFT + given_kw * scale
    line: Look = {"x1": x, "x2": x, "y1": _BAR_TOP - 20.0, "y2": _BAR_TOP + _BAR + 12.0}
    line |= {"stroke": "currentColor", "stroke-width": 2.5}
    anchor = "end" if x > WIDTH * 0.6 else "start"
    said = say(because("power.picture.tractor", given_kw=given_kw))
    place = x + (-5.0 if anchor == "end" else 5.0)
    return [element("line", line), words(place, _BAR_TOP - 19.0, said, anchor=anchor, size=12)]


def _rows(parts: list[tuple[str, Interval]], top: float, say: Say) -> list[str]:
    drawn = []
    for place, (name, part) in enumerate(parts):
        y = top + _ROW * place
        box: Look = {"x": _LEFT, "y": y - 10.0, "width": 18, "height": 12, "rx": 2}
        drawn.append(element("rect", {**box, "fill": _COLOURS[name]}))
        drawn.append(words(_LEFT + 26.0, y, say(because(f"power.part.{name}")), size=12.5))
        said = f"{part.low:.0f} \N{EN DASH} {part.high:.0f}\N{NO-BREAK SPACE}kW"
        drawn.append(words(WIDTH - _RIGHT, y, said, anchor="end", size=12.5))
    return drawn
