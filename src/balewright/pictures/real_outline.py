"""A real bale from the side: its outline, and the fewest layers at every place along it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import groupby, pairwise
from typing import Final

from balewright.pictures.film_colours import film_colour
from balewright.pictures.film_frame import paint
from balewright.pictures.svg import Attributes, element
from balewright.plan.film.laying import Laying
from balewright.plan.film.real_rows import Row
from balewright.plan.film.shape import Shape

_SMALLEST_NUMBER: Final = 14.0
_SMALL: Final = "14"


@dataclass(frozen=True)
class Frame:
    """Where the outline stands: its middle, and how high and wide it may be."""

    x: float
    y: float
    high: float
    wide: float

    def px_m(self, shape: Shape) -> float:
        """Drawn size of a metre."""
        widest_m = max(shape.left_m, shape.middle_m, shape.right_m)
        return min(self.high / widest_m, self.wide / shape.length_m)


def outline(
    rows: tuple[Row, ...], shape: Shape, laying: Laying, need: int, frame: Frame
) -> list[str]:
    """Columns in the colour of the fewest layers there, with numbers, and the film's plane."""
    size = frame.px_m(shape)
    half_m = shape.length_m / 2.0
    middles = [row.along_m for row in rows]
    cuts = [-half_m, *((a + b) / 2.0 for a, b in pairwise(middles)), half_m]
    rims = [shape.flat_radius_m(0), *_between(rows), shape.flat_radius_m(1)]
    parts = []
    for layers, group in groupby(range(len(rows)), key=lambda place: min(rows[place].layers)):
        places = list(group)
        first, last = places[0], places[-1] + 1
        corners = [(cuts[i], -rims[i]) for i in range(first, last + 1)]
        corners += [(cuts[i], rims[i]) for i in range(last, first - 1, -1)]
        colour = film_colour(layers, need)
        points = _points(corners, frame, size)
        parts.append(element("polygon", {"points": points, **paint(colour)}))
        if (cuts[last] - cuts[first]) * size >= _SMALLEST_NUMBER:
            x = frame.x + (cuts[first] + cuts[last]) / 2.0 * size
            spot: Attributes = {"x": x, "y": frame.y + frame.high / 4.0, "fill": colour.ink}
            parts.append(element("text", {**spot, "text-anchor": "middle"}, f"{layers}"))
    whole = [(cut, -rim) for cut, rim in zip(cuts, rims, strict=True)]
    whole += [(cut, rim) for cut, rim in reversed(list(zip(cuts, rims, strict=True)))]
    edge: Attributes = {"fill": "none", "stroke": "currentColor", "stroke-width": "1"}
    parts.append(element("polygon", {"points": _points(whole, frame, size), **edge}))
    return [*parts, *_plane(laying, half_m, frame, size)]


def outline_words(
    rows: tuple[Row, ...], shape: Shape, need: int, frame: Frame, said: Callable[..., str]
) -> list[str]:
    """Under the outline: diameters, and how much of the way round is short there."""
    size, half_m = frame.px_m(shape), shape.half_body_m
    below = frame.y + frame.high / 2.0 + 22.0
    marks = ((-half_m, shape.left_m), (0.0, shape.middle_m), (half_m, shape.right_m))
    parts = []
    for along_m, across_m in marks:
        anchor = "end" if along_m < 0.0 else "start" if along_m > 0.0 else "middle"
        x = frame.x + along_m * size
        place: Attributes = {"x": x, "text-anchor": anchor, "font-size": _SMALL}
        parts.append(element("text", {**place, "y": below}, said("across", across_m=across_m)))
        short_frac = _short_frac(rows, along_m, need)
        if short_frac > 0.0:
            words = said("here", short_frac=short_frac)
            parts.append(element("text", {**place, "y": below + 18.0}, words))
    centre: Attributes = {"x": frame.x, "y": below + 41.0, "text-anchor": "middle"}
    return [*parts, element("text", {**centre, "font-size": _SMALL}, said("plane"))]


def _short_frac(rows: tuple[Row, ...], along_m: float, need: int) -> float:
    """Share of the way round that is short at one place along the bale."""
    row = min(rows, key=lambda row: abs(row.along_m - along_m))
    ends = (*row.starts[1:], row.starts[0] + 1.0)
    arcs = zip(row.starts, ends, row.layers, strict=True)
    return math.fsum(end - start for start, end, layers in arcs if layers < need)


def _between(rows: tuple[Row, ...]) -> Iterator[float]:
    return ((a.radius_m + b.radius_m) / 2.0 for a, b in pairwise(rows))


def _points(corners: list[tuple[float, float]], frame: Frame, size: float) -> str:
    return " ".join(f"{frame.x + x * size:.1f},{frame.y + y * size:.1f}" for x, y in corners)


def _plane(laying: Laying, half_m: float, frame: Frame, size: float) -> list[str]:
    """A dashed line where the middle of the film runs, on a light one to be seen on dark."""
    reach_m = half_m + 0.06
    rise_m = reach_m * math.tan(laying.tilt_rad)
    line: Attributes = {
        "x1": frame.x - reach_m * size,
        "y1": frame.y - (laying.off_height_m - rise_m) * size,
        "x2": frame.x + reach_m * size,
        "y2": frame.y - (laying.off_height_m + rise_m) * size,
    }
    light: Attributes = {"stroke": "#ffffff", "stroke-width": "3"}
    dark: Attributes = {"stroke": "#1f1b24", "stroke-width": "1.5", "stroke-dasharray": "7 4"}
    return [element("line", {**line, **light}), element("line", {**line, **dark})]
