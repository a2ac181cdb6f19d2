"""Stretch as it was found: readings as points, intervals as bars, limits as a band.

Made as the layer map is: no script, no style attribute, words and lines in the page's own colour.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from balewright.pictures.svg import Attributes, element, text
from balewright.plan.film.settle import Limits
from balewright.quantities.interval import Interval
from balewright.quantities.reason import Reason, ReasonValue, because

Say = Callable[[Reason], str]

_WIDE: Final = 480.0
_EDGE: Final = 16.0
_INNER: Final = _WIDE - 2.0 * _EDGE
_TOP: Final = 40.0
_ROW: Final = 62.0
_SMALL: Final = "14"
_BAND: Final = "#9dbfe6"
_LINE: Final[Attributes] = {"stroke": "currentColor", "stroke-width": "2"}
_MARGIN: Final = 0.02
_MOST_TICKS: Final = 8


@dataclass(frozen=True)
class Found:
    """One way the stretch was found.

    words: what it is called, as a reason; best: the stretch; found: its interval, None where there
    is none; readings: single values to show as points. All as fractions.
    """

    words: Reason
    best: float
    found: Interval | None
    readings: tuple[float, ...] = ()


@dataclass(frozen=True)
class _Scale:
    low: float
    high: float

    def x(self, value: float) -> float:
        share = (value - self.low) / (self.high - self.low)
        return _EDGE + min(max(share, 0.0), 1.0) * _INNER


def draw_stretch(rows: tuple[Found, ...], limits: Limits | None, say: Say) -> str:
    """Every way the stretch was found, one under the other, over one scale, as an SVG.

    rows: one or more; limits: the label's, None where not given; say: a reason (`stretch.*`) to a
    sentence. A screen reader hears every number.
    """
    scale = _scale(rows, limits)
    bottom = _TOP + len(rows) * _ROW
    parts = [
        element("title", {}, _said(say, "title")),
        element("desc", {}, _description(rows, limits, say)),
        element("text", {"x": _EDGE, "y": 20, "font-weight": "600"}, _said(say, "heading")),
        *_band(limits, scale, bottom),
        *[part for place, row in enumerate(rows) for part in _row(row, place, scale, say)],
        *_axis(scale, bottom, say),
    ]
    if limits is not None:
        parts += _legend(bottom + 62.0, say)
    attributes: Attributes = {
        "xmlns": "http://www.w3.org/2000/svg",
        "class": "stretch-chart",
        "viewBox": f"0 0 {_WIDE:g} {bottom + (76.0 if limits is not None else 48.0):.0f}",
        "role": "img",
        "font-family": "system-ui, sans-serif",
        "font-size": "15",
        "fill": "currentColor",
    }
    return element("svg", attributes, "\n", *(part + "\n" for part in parts))


def found_words(row: Found, say: Say) -> Reason:
    """The reason that says one row in a sentence."""
    words = say(row.words)
    if row.found is None:
        return because("stretch.picture.row_one", name_said=words, best_frac=row.best)
    return because(
        "stretch.picture.row",
        name_said=words,
        best_frac=row.best,
        low_frac=row.found.low,
        high_frac=row.found.high,
    )


def _said(say: Say, key: str, **values: ReasonValue) -> str:
    return text(say(because(f"stretch.picture.{key}", **values)))


def _description(rows: tuple[Found, ...], limits: Limits | None, say: Say) -> str:
    said = " ".join(say(found_words(row, say)) for row in rows)
    if limits is None:
        return text(said)
    ends = {"low_frac": limits.low, "high_frac": limits.high}
    return f"{text(said)} {_said(say, 'limits', **ends)}"


def _scale(rows: tuple[Found, ...], limits: Limits | None) -> _Scale:
    values = [row.best for row in rows]
    values += [value for row in rows for value in row.readings]
    values += [end for row in rows if row.found for end in (row.found.low, row.found.high)]
    values += [limits.low, limits.high] if limits is not None else []
    return _Scale(
        math.floor((min(values) - _MARGIN) * 20.0) / 20.0,
        math.ceil((max(values) + _MARGIN) * 20.0) / 20.0,
    )


def _band(limits: Limits | None, scale: _Scale, bottom: float) -> list[str]:
    if limits is None:
        return []
    left, right = scale.x(limits.low), scale.x(limits.high)
    box: Attributes = {"x": left, "y": _TOP, "width": right - left, "height": bottom - _TOP}
    paint: Attributes = {"class": "stretch-chart-limits", "fill": _BAND, "fill-opacity": "0.45"}
    return [element("rect", {**box, **paint})]


def _row(row: Found, place: int, scale: _Scale, say: Say) -> list[str]:
    y = _TOP + place * _ROW
    parts = [element("text", {"x": _EDGE, "y": y + 18.0}, text(say(found_words(row, say))))]
    level = y + 36.0
    if row.found is not None:
        low, high = scale.x(row.found.low), scale.x(row.found.high)
        parts.append(element("line", {"x1": low, "x2": high, "y1": level, "y2": level, **_LINE}))
        for tip in (low, high):
            ends: Attributes = {"x1": tip, "x2": tip, "y1": level - 5.0, "y2": level + 5.0}
            parts.append(element("line", {**ends, **_LINE}))
    for value in row.readings:
        spot: Attributes = {"cx": scale.x(value), "cy": level + 14.0, "r": 3.5}
        hollow: Attributes = {"fill": "none", "stroke": "currentColor", "stroke-width": "1.5"}
        parts.append(element("circle", {**spot, **hollow}))
    x = scale.x(row.best)
    tips = f"{x:.2f},{level - 6:.2f} {x + 6:.2f},{level:.2f} {x:.2f},{level + 6:.2f}"
    return [*parts, element("polygon", {"points": f"{tips} {x - 6:.2f},{level:.2f}"})]


def _axis(scale: _Scale, y: float, say: Say) -> list[str]:
    thin: Attributes = {"stroke": "currentColor", "stroke-width": "1"}
    parts = [element("line", {"x1": _EDGE, "x2": _WIDE - _EDGE, "y1": y, "y2": y, **thin})]
    points = round((scale.high - scale.low) * 100.0)
    step = next(step for step in (5, 10, 20, 50, 100) if points / step <= _MOST_TICKS)
    first = math.ceil(round(scale.low * 100.0) / step) * step
    for percent in range(first, round(scale.high * 100.0) + 1, step):
        x = scale.x(percent / 100.0)
        parts.append(element("line", {"x1": x, "x2": x, "y1": y, "y2": y + 6.0, **thin}))
        anchor = "start" if x < 30.0 else "end" if x > _WIDE - 30.0 else "middle"
        spot: Attributes = {"x": x, "y": y + 21.0, "text-anchor": anchor, "font-size": _SMALL}
        parts.append(element("text", spot, f"{percent}"))
    caption: Attributes = {"x": _WIDE / 2.0, "y": y + 40.0, "text-anchor": "middle"}
    return [*parts, element("text", {**caption, "font-size": _SMALL}, _said(say, "axis"))]


def _legend(y: float, say: Say) -> list[str]:
    box: Attributes = {"x": _EDGE, "y": y - 10.0, "width": 24.0, "height": 14.0}
    paint: Attributes = {"class": "stretch-chart-limits", "fill": _BAND, "fill-opacity": "0.45"}
    words: Attributes = {"x": _EDGE + 32.0, "y": y + 2.0, "font-size": _SMALL}
    return [element("rect", {**box, **paint}), element("text", words, _said(say, "legend"))]
