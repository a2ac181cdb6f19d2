"""A field to draw readings in, of any width: axes by bale number, bands, lines, dots.

Like `plot`, in the page's ink: it reads in light and dark.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from balewright.pictures.plot import GREY, Axis, rule, words
from balewright.pictures.svg import element

LEFT: Final = 46.0
TOP: Final = 26.0
_RIGHT: Final = 10.0
_BOTTOM: Final = 34.0

Path = Sequence[tuple[float, float]]


@dataclass(frozen=True)
class Field:
    """width, height: of the whole in units of the picture; x: rows of bales; y: the readings."""

    x: Axis
    y: Axis
    width: float
    height: float

    def across(self, x: float) -> float:
        """Where a place of the x axis lies; outside it is held at the edge."""
        share = min(1.0, max(0.0, (x - self.x.low) / (self.x.high - self.x.low)))
        return LEFT + share * (self.width - LEFT - _RIGHT)

    def up(self, y: float) -> float:
        """Where a reading lies; outside the axis it is held at the edge."""
        share = min(1.0, max(0.0, (y - self.y.low) / (self.y.high - self.y.low)))
        return self.height - _BOTTOM - share * (self.height - TOP - _BOTTOM)

    def frame(self, ticks: Sequence[tuple[float, str]]) -> str:
        """Grid, numbers of the y axis, ticks of the x axis as given, names of both."""
        floor = self.height - _BOTTOM
        parts = [words(2.0, 14.0, self.y.title, size=12)]
        for value in self.y.ticks():
            up = self.up(value)
            parts.append(rule((LEFT, up), (self.width - _RIGHT, up), faint=True))
            parts.append(words(LEFT - 5, up + 4, f"{value:.6g}", anchor="end"))
        for place, said in ticks:
            at = self.across(place)
            parts.append(rule((at, floor), (at, floor + 4)))
            parts.append(words(at, floor + 15, said, anchor="middle"))
        parts.append(rule((LEFT, floor), (self.width - _RIGHT, floor)))
        middle = (LEFT + self.width - _RIGHT) / 2.0
        parts.append(words(middle, self.height - 4, self.x.title, anchor="middle"))
        return "".join(parts)

    def stretch(self, low: float, high: float, colour: str = GREY, opacity: float = 0.16) -> str:
        """A stretch of the x axis over the whole height, at least 2 units wide."""
        left, right = self.across(low), self.across(high)
        wide = max(right - left, 2.0)
        return element(
            "rect",
            {"x": (left + right - wide) / 2.0, "y": TOP, "width": wide,
             "height": self.height - TOP - _BOTTOM, "fill": colour,
             "fill-opacity": f"{opacity:g}"},
        )  # fmt: skip

    def band(self, places: Sequence[float], low: Sequence[float], high: Sequence[float],
             colour: str) -> str:  # fmt: skip
        """The field between two lines."""
        there = [(x, y) for x, y in zip(places, high, strict=True)]
        back = [(x, y) for x, y in zip(reversed(places), reversed(low), strict=True)]
        said = " ".join(f"{self.across(x):.1f},{self.up(y):.1f}" for x, y in (*there, *back))
        return element("polygon", {"points": said, "fill": colour, "fill-opacity": "0.14"})

    def line(self, path: Path, colour: str, dashed: bool = False, width: float = 1.75) -> str:
        """A line through the points, in order."""
        said = " ".join(f"{self.across(x):.1f},{self.up(y):.1f}" for x, y in path)
        look: dict[str, str | float] = {"points": said, "fill": "none", "stroke": colour}
        look |= {"stroke-width": width, "stroke-linejoin": "round"}
        if dashed:
            look["stroke-dasharray"] = "6 4"
        return element("polyline", look)

    def dots(self, path: Path, colour: str, size: float = 3.0) -> str:
        """Dots, all in one element."""
        said = "".join(f"M{self.across(x):.1f} {self.up(y):.1f}h0" for x, y in path)
        look: dict[str, str | float] = {"d": said or "M0 0", "stroke": colour, "fill": "none"}
        return element("path", look | {"stroke-width": size, "stroke-linecap": "round"})

    def bars(self, places: Sequence[float], low: Sequence[float], high: Sequence[float],
             colour: str) -> str:  # fmt: skip
        """Upright bars, all in one element."""
        said = "".join(
            f"M{self.across(x):.1f} {self.up(a):.1f}V{self.up(b):.1f}"
            for x, a, b in zip(places, low, high, strict=True)
        )
        look: dict[str, str | float] = {"d": said or "M0 0", "stroke": colour, "fill": "none"}
        return element("path", look | {"stroke-width": 1.5, "stroke-opacity": "0.55"})

    def upright(self, x: float, said: str = "") -> str:
        """A dashed upright line with a word at its top."""
        at = self.across(x)
        look: dict[str, str | float] = {"x1": at, "y1": TOP - 4, "x2": at}
        look |= {"y2": self.height - _BOTTOM, "stroke": "currentColor", "stroke-width": 1.25}
        near_end = at > self.width - 90.0
        label = words(at + (-3 if near_end else 3), TOP - 6, said, anchor="end" if near_end
                      else "start")  # fmt: skip
        return element("line", look | {"stroke-dasharray": "3 3"}) + label
