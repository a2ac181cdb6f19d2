"""Rows and rings of layers as SVG paths: one path for each colour, on a ground of the commonest."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from balewright.pictures.film_colours import FilmColour, film_colour
from balewright.pictures.film_frame import paint
from balewright.pictures.svg import Attributes, element
from balewright.plan.film.real_rows import Row

Piece = tuple[float, float, FilmColour]
Paths = dict[FilmColour, list[str]]


def pieces(row: Row, need: int) -> Iterator[Piece]:
    """From, to and colour of every stretch of a row, in turns from 0 to 1."""
    starts = [start % 1.0 for start in row.starts]
    first = starts.index(min(starts))
    ordered = [
        (starts[(first + i) % len(starts)], row.layers[(first + i) % len(starts)])
        for i in range(len(starts))
    ]
    edges = [(0.0, ordered[-1][1]), *ordered, (1.0, 0)]
    run: Piece | None = None
    for (low, layers), (high, _) in pairwise(edges):
        colour = film_colour(layers, need)
        if run is not None and run[2] == colour:
            run = (run[0], high, colour)
            continue
        if run is not None and run[1] > run[0]:
            yield run
        run = (low, high, colour)
    if run is not None and run[1] > run[0]:
        yield run


def commonest(rows: tuple[Row, ...], need: int) -> FilmColour:
    """The colour of most of the area."""
    area: dict[FilmColour, float] = defaultdict(float)
    for row in rows:
        for low, high, colour in pieces(row, need):
            area[colour] += (high - low) * (row.high_m - row.low_m) * row.radius_m
    return max(area, key=lambda colour: area[colour])


def band_paths(
    rows: tuple[Row, ...],
    need: int,
    across: Callable[[float], float],
    down: Callable[[float], float],
) -> Paths:
    """Rows as rectangles, by colour. across: turns to x; down: way over the bale to y."""
    paths: Paths = defaultdict(list)
    held: list[tuple[str, str, FilmColour]] = []
    top = bottom = 0.0
    for row in (*rows, None):
        cells = []
        for low, high, colour in pieces(row, need) if row is not None else ():
            cells.append((f"{across(low):.1f}", f"{across(high) - across(low):.1f}", colour))
        if row is not None and cells == held:
            bottom = down(row.high_m)
            continue
        for x, wide, colour in held:
            deep = f"{bottom - top + 0.2:.1f}"
            paths[colour].append(f"M{x} {top:.1f}h{wide}v{deep}h-{wide}z")
        if row is not None:
            held, top, bottom = cells, down(row.low_m), down(row.high_m)
    return paths


@dataclass(frozen=True)
class Disc:
    """Where a flat side is drawn: turn 0 at the top, growing clockwise (mirrored: back)."""

    x: float
    y: float
    radius: float
    mirrored: bool

    def place(self, turn: float, reach: float) -> tuple[float, float]:
        """A place on it; reach: 1 is the rim."""
        angle = 2.0 * math.pi * turn * (-1.0 if self.mirrored else 1.0)
        out = self.radius * reach
        return self.x + out * math.sin(angle), self.y - out * math.cos(angle)

    def sector(self, turns: tuple[float, float], reach: tuple[float, float]) -> str:
        """A piece of a ring as a path."""
        (begin, end), (inner, outer) = turns, reach
        ahead, back = (0, 1) if self.mirrored else (1, 0)
        corners = [self.place(*at) for at in ((begin, outer), (end, outer), (end, inner))]
        a, b, c = (f"{x:.1f} {y:.1f}" for x, y in corners)
        x, y = self.place(begin, inner)
        far, near = f"{self.radius * outer:.1f}", f"{self.radius * inner:.1f}"
        return f"M{a}A{far} {far} 0 0 {ahead} {b}L{c}A{near} {near} 0 0 {back} {x:.1f} {y:.1f}z"


def ring_paths(rows: tuple[Row, ...], need: int, disc: Disc) -> Paths:
    """Rings as sectors, by colour; a sector longer than a third of the ring is cut."""
    paths: Paths = defaultdict(list)
    rim_m = rows[-1].high_m
    for row in rows:
        reach = (row.low_m / rim_m, row.high_m / rim_m)
        for low, high, colour in pieces(row, need):
            parts = max(1, math.ceil((high - low) / 0.34))
            cuts = [low + (high - low) * part / parts for part in range(parts + 1)]
            paths[colour] += [disc.sector(turns, reach) for turns in pairwise(cuts)]
    return paths


def painted(paths: Paths, ground: FilmColour) -> list[str]:
    """The paths as elements, without those in the colour of the ground."""
    parts = []
    for colour in sorted(paths, key=lambda colour: colour.name):
        if colour != ground:
            shape: Attributes = {"d": "".join(paths[colour]), **paint(colour)}
            parts.append(element("path", shape))
    return parts
