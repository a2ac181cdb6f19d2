"""One flat side of the layer map: nested shapes of layers, and bars along a rim that is short."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from balewright.pictures.film_colours import MOST_ABOVE, film_colour
from balewright.pictures.film_frame import paint
from balewright.pictures.flat_shapes import Corner, outline, short_rim
from balewright.pictures.svg import Attributes, element
from balewright.plan.film.flats import FlatCount

_BAR: Final = 7.0
_LEAST_BAR: Final = 2.5


@dataclass(frozen=True)
class FlatDrawing:
    """Shapes of one flat side, for a circle of radius 1.

    levels: (layers, corners), from few to many, each over the one before; short: pieces of the
    rim, from and to in radians; mirrored: the side that is seen from the bale's other end.
    """

    ground: int
    need: int
    levels: tuple[tuple[int, tuple[Corner, ...]], ...]
    short: tuple[tuple[float, float], ...]
    mirrored: bool

    def at(self, middle: tuple[float, float], radius: float) -> list[str]:
        """The drawing as SVG elements round `middle`."""
        disc: Attributes = {"cx": middle[0], "cy": middle[1], "r": radius}
        parts = [element("circle", {**disc, **paint(film_colour(self.ground, self.need))})]
        for layers, corners in self.levels:
            path: Attributes = {"d": self._path(corners, middle, radius)}
            parts.append(element("path", {**path, **paint(film_colour(layers, self.need))}))
        rim: Attributes = {"fill": "none", "stroke": "currentColor", "stroke-width": "1"}
        parts.append(element("circle", {**disc, **rim}))
        return parts + [self._bar(piece, middle, radius) for piece in self.short]

    def _place(self, angle: float, middle: tuple[float, float], reach: float) -> str:
        """Angle 0 is at the top; it grows clockwise, on the mirrored side the other way."""
        across = reach * math.sin(angle) * (-1.0 if self.mirrored else 1.0)
        return f"{middle[0] + across:.2f} {middle[1] - reach * math.cos(angle):.2f}"

    def _path(self, corners: tuple[Corner, ...], middle: tuple[float, float], radius: float) -> str:
        places = [self._place(c.angle_rad, middle, radius * c.reach) for c in corners]
        steps = [f"M{places[0]}"]
        for here, to in zip(corners, [*places[1:], places[0]], strict=True):
            steps.append(f"{self._arc(radius)}{to}" if here.along_rim else f"L{to}")
        return "".join(steps) + "Z"

    def _arc(self, radius: float, back: bool = False) -> str:
        sweep = int(self.mirrored == back)
        return f"A{radius:.2f} {radius:.2f} 0 0 {sweep} "

    def _bar(self, piece: tuple[float, float], middle: tuple[float, float], radius: float) -> str:
        """A bar outside the rim along a stretch that is short, wide enough to be seen."""
        inner = radius + 3.0
        outer = inner + _BAR
        centre = (piece[0] + piece[1]) / 2.0
        half = max(piece[1] - piece[0], _LEAST_BAR / outer) / 2.0
        angles = (centre - half, centre, centre + half)
        there = [self._place(angle, middle, outer) for angle in angles]
        back = [self._place(angle, middle, inner) for angle in angles]
        outside, inside = self._arc(outer), self._arc(inner, back=True)
        shape = f"M{there[0]}{outside}{there[1]}{outside}{there[2]}"
        shape += f"L{back[2]}{inside}{back[1]}{inside}{back[0]}Z"
        return element("path", {"d": shape, "class": "layer-map-short"})


def draw_flat(flat: FlatCount, diameter_m: float, need: int, side: int) -> FlatDrawing:
    """The shapes of flat side 1 or 2, as it is seen from outside."""
    last = min(flat.crossings, need + MOST_ABOVE)
    return FlatDrawing(
        ground=flat.thinnest,
        need=need,
        levels=tuple(
            (layers, tuple(outline(flat, diameter_m, layers)))
            for layers in range(flat.thinnest + 1, last + 1)
        ),
        short=tuple(short_rim(flat, diameter_m, need)) if flat.short_frac > 0.0 else (),
        mirrored=side == 2,
    )
