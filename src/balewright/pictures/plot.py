"""The frame of a plot as SVG: axes, grid, lines, bands and words, the same in every picture.

Words and axes are drawn in `currentColor`, so a plot put into a page takes the page's ink, light
or dark; series have mid-tones that read on both. `on_paper` gives a plot a white ground of its
own, for a file or a printed page. A plot is 360 units wide: the width of a phone.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from balewright.pictures.svg import element, text

WIDTH: Final = 360.0
BLUE: Final = "#3578bd"
ORANGE: Final = "#d0761f"
GREEN: Final = "#3d8b5f"
PURPLE: Final = "#8a63b3"
GREY: Final = "#808891"
SERIES: Final = (BLUE, ORANGE, GREEN, PURPLE, GREY)
_LEFT, _RIGHT, _TOP, _BOTTOM = 44.0, 10.0, 36.0, 34.0
_TICKS: Final = 5

Points = Sequence[tuple[float, float]]
Look = dict[str, str | float]


@dataclass(frozen=True)
class Axis:
    """A range in people's units and what stands beside it. low < high."""

    low: float
    high: float
    title: str

    def ticks(self) -> list[float]:
        """About five round numbers inside."""
        rough = (self.high - self.low) / _TICKS
        power = 10.0 ** math.floor(math.log10(rough))
        step = next(power * m for m in (1.0, 2.0, 2.5, 5.0, 10.0) if power * m >= rough * 0.999)
        first = math.ceil(self.low / step - 1e-9)
        last = math.floor(self.high / step + 1e-9)
        return [round(place * step, 10) for place in range(first, last + 1)]


@dataclass(frozen=True)
class Plot:
    """A plot's frame: two axes in a field `height` units high; `title` stands above it."""

    x: Axis
    y: Axis
    title: str
    height: float = 200.0

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Where a point lies, in units of the picture; outside the axes it is held at the edge."""
        across = _share(x, self.x) * (WIDTH - _LEFT - _RIGHT)
        up = _share(y, self.y) * (self.height - _TOP - _BOTTOM)
        return _LEFT + across, self.height - _BOTTOM - up

    def frame(self) -> str:
        """Title, grid, numbers and the names of the axes."""
        parts = [words(4, 14, self.title, size=13, weight="600")]
        for value in self.y.ticks():
            _, up = self.at(self.x.low, value)
            parts.append(rule((_LEFT, up), (WIDTH - _RIGHT, up), faint=True))
            parts.append(words(_LEFT - 5, up + 4, _number(value), anchor="end"))
        for value in self.x.ticks():
            across, low = self.at(value, self.y.low)
            parts.append(rule((across, low), (across, low + 4)))
            parts.append(words(across, low + 15, _number(value), anchor="middle"))
        parts.append(rule(self.at(self.x.low, self.y.low), self.at(self.x.high, self.y.low)))
        middle = (_LEFT + WIDTH - _RIGHT) / 2.0
        parts.append(words(middle, self.height - 4, self.x.title, anchor="middle"))
        parts.append(words(_LEFT - 40, _TOP - 6, self.y.title))
        return "".join(parts)

    def line(self, points: Points, colour: str, dashed: bool = False) -> str:
        """A line through the points, in order."""
        style: dict[str, str | float] = {
            "points": _path([self.at(x, y) for x, y in points]),
            "fill": "none",
            "stroke": colour,
            "stroke-width": 2.25,
            "stroke-linejoin": "round",
        }
        if dashed:
            style["stroke-dasharray"] = "5 4"
        return element("polyline", style)

    def band(self, low: Points, high: Points, colour: str) -> str:
        """The field between two lines of the same places."""
        round_it = [*low, *reversed(high)]
        places = _path([self.at(x, y) for x, y in round_it])
        return element("polygon", {"points": places, "fill": colour, "fill-opacity": "0.18"})

    def stretch(self, low: float, high: float, colour: str = GREY) -> str:
        """A stretch of the x axis, over the whole height."""
        (left, bottom), (right, _) = self.at(low, self.y.low), self.at(high, self.y.low)
        across = max(right - left, 3.0)
        left = min(left, (left + right - across) / 2.0)
        return element(
            "rect",
            {"x": left, "y": _TOP, "width": across, "height": bottom - _TOP, "fill": colour,
             "fill-opacity": "0.16"},
        )  # fmt: skip

    def mark(self, x: float, y: float, colour: str) -> str:
        """A point that matters."""
        across, up = self.at(x, y)
        return element(
            "circle",
            {"cx": across, "cy": up, "r": 4.5, "fill": colour, "stroke": "currentColor",
             "stroke-width": 1},
        )  # fmt: skip

    def upright(self, x: float, colour: str = "currentColor") -> str:
        """A dashed upright line at a place of the x axis."""
        across, low = self.at(x, self.y.low)
        look: Look = {"x1": across, "y1": _TOP, "x2": across, "y2": low}
        look |= {"stroke": colour, "stroke-width": 1.25, "stroke-dasharray": "3 3"}
        return element("line", look)


def words(  # noqa: PLR0913 - a label's place, text and look
    x: float, y: float, said: str, *, anchor: str = "start", size: float = 11, weight: str = "400"
) -> str:
    """Words with their baseline at y; anchor: start, middle or end."""
    look: Look = {"x": x, "y": y, "font-size": size, "text-anchor": anchor}
    look["fill"] = "currentColor"
    if weight != "400":
        look["font-weight"] = weight
    return element("text", look, text(said))


def rule(start: tuple[float, float], end: tuple[float, float], faint: bool = False) -> str:
    """A thin straight line in the page's ink."""
    look: Look = {"x1": start[0], "y1": start[1], "x2": end[0], "y2": end[1]}
    look |= {"stroke": "currentColor", "stroke-width": 1, "stroke-opacity": 0.15 if faint else 0.8}
    return element("line", look)


def legend(y: float, entries: Sequence[tuple[str, str]]) -> str:
    """Coloured bars with their names, one below the other from y on, 16 units each."""
    parts = []
    for place, (colour, said) in enumerate(entries):
        line = y + 16.0 * place
        parts.append(
            element("rect", {"x": 4, "y": line - 8, "width": 18, "height": 8, "rx": 2,
                             "fill": colour})
        )  # fmt: skip
        parts.append(words(28, line, said))
    return "".join(parts)


def shift(x: float, y: float, *inside: str) -> str:
    """Parts moved together, such as one plot below another."""
    return element("g", {"transform": f"translate({x:g} {y:g})"}, *inside)


def picture(height: float, title: str, told: str, *inside: str) -> str:
    """A whole picture: its name, and in words what it shows, for those who do not see it."""
    return element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "viewBox": f"0 0 {WIDTH:g} {height:g}",
            "role": "img",
            "font-family": "'Source Sans 3', 'Source Sans Pro', system-ui, sans-serif",
        },
        element("title", {}, text(title)),
        element("desc", {}, text(told)),
        *inside,
    )


def on_paper(drawn: str) -> str:
    """A picture with a white ground and dark ink of its own, for a file."""
    head, rest = drawn.split("</desc>", 1)
    ground = element("rect", {"width": "100%", "height": "100%", "fill": "#ffffff"})
    inked = element("g", {"color": "#1f1b24"}, rest.removesuffix("</svg>"))
    return f"{head}</desc>{ground}{inked}</svg>"


def _share(value: float, axis: Axis) -> float:
    return min(1.0, max(0.0, (value - axis.low) / (axis.high - axis.low)))


def _path(places: Sequence[tuple[float, float]]) -> str:
    return " ".join(f"{x:.1f},{y:.1f}" for x, y in places)


def _number(value: float) -> str:
    return f"{value:,.6g}".replace(",", "\N{NARROW NO-BREAK SPACE}")
