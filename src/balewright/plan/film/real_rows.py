"""The layers of a real bale in rows, for drawing: bands round it, and rings on its flat sides."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from balewright.plan.film.arcs import SPOT
from balewright.plan.film.course import Course
from balewright.plan.film.laying import Laying, strips_of
from balewright.plan.film.real_circles import (
    Meridian,
    Ring,
    body_meridian,
    flat_ring,
    ring_of,
    shoulder_meridian,
)
from balewright.plan.film.shape import Floats, Shape
from balewright.plan.film.slices import Rule
from balewright.quantities.checks import require_count


@dataclass(frozen=True)
class Row:
    """Layers on one circle, standing for the stretch it lies in the middle of.

    low_m, high_m: of that stretch, as way over the surface from the middle of the bale (of a flat
    side: from its middle to its rim); along_m, radius_m: of the circle; starts: rising places in
    turns; layers: from each on to the next, the last round to the first.
    """

    low_m: float
    high_m: float
    along_m: float
    radius_m: float
    starts: tuple[float, ...]
    layers: tuple[int, ...]


@dataclass(frozen=True)
class Rows:
    """Rows of the round side from left to right, and of flat sides 1 and 2 from the middle out."""

    round_side: tuple[Row, ...]
    flats: tuple[tuple[Row, ...], tuple[Row, ...]]


def layer_rows(shape: Shape, laying: Laying, course: Course, rows: int, rings: int) -> Rows:
    """The wrap film of a real bale as rows; rows, rings: how many, 4 to 400."""
    require_count("rows", rows, 4, 400)
    require_count("rings", rings, 4, 400)
    strips = strips_of(laying, course)
    found: list[Row] = []
    for part, (at, low, high) in enumerate(_parts(shape, rows)):
        side = (1, 0, 2)[part] if shape.shoulder_m > 0.0 else 0
        ring = ring_of(shape, laying, strips, laying.bands, (side, at))
        found += _rows_of(ring, low, high)
    edges = np.linspace(0.0, 1.0, rings + 1)
    flats = []
    for side in (0, 1):
        radius_m = shape.flat_radius_m(side) * edges
        middles = (radius_m[1:] + radius_m[:-1]) / 2.0
        rule = Rule(middles, middles * 0.0, middles * 0.0)
        ring = flat_ring(shape, laying, strips, side, rule)
        flats.append(tuple(_rows_of(ring, radius_m[:-1], radius_m[1:])))
    return Rows(tuple(found), (flats[0], flats[1]))


def _parts(shape: Shape, rows: int) -> list[tuple[Meridian, Floats, Floats]]:
    """Left shoulder, body and right shoulder with the stretches of their rows."""
    edges = np.linspace(-shape.half_body_m, shape.half_body_m, rows + 1)
    ways = shape.body_path_m(edges)
    body = body_meridian(shape, _bare_rule((edges[1:] + edges[:-1]) / 2.0))
    parts = [(body, ways[:-1], ways[1:])]
    if shape.shoulder_m == 0.0:
        return parts
    arc_m = shape.shoulder_m * math.pi / 2.0
    few = max(2, round(rows * arc_m / (ways[-1] - ways[0])))
    angles = np.linspace(0.0, math.pi / 2.0, few + 1)
    rule = _bare_rule((angles[1:] + angles[:-1]) / 2.0)
    out = shape.shoulder_m * angles
    left, right = (shoulder_meridian(shape, rule, side) for side in (0, 1))
    parts.insert(0, (left, ways[0] - out[1:], ways[0] - out[:-1]))
    parts.append((right, ways[-1] + out[:-1], ways[-1] + out[1:]))
    return parts


def _bare_rule(places: Floats) -> Rule:
    return Rule(places, np.zeros_like(places), np.zeros_like(places))


def _rows_of(ring: Ring, low: Floats, high: Floats) -> list[Row]:
    found = []
    for rows in ring.chunks():
        circles = ring.count(rows)
        for place, row in enumerate(rows.tolist()):
            starts, layers = _joined(
                circles.edges[place].tolist(),
                circles.layers[place].tolist(),
                circles.lengths[place].tolist(),
            )
            radius_m = float(ring.girth_m[row]) / (2.0 * math.pi)
            along_m = float(ring.along_m[row])
            found.append(Row(float(low[row]), float(high[row]), along_m, radius_m, starts, layers))
    return sorted(found, key=lambda row: row.low_m)


def _joined(
    edges: list[float], layers: list[int], lengths: list[float]
) -> tuple[tuple[float, ...], tuple[int, ...]]:
    """Arcs without those under a spot, neighbours of the same layers joined."""
    starts: list[float] = []
    kept: list[int] = []
    for edge, count, length in zip(edges, layers, lengths, strict=True):
        if length > SPOT and (not kept or kept[-1] != count):
            starts.append(edge)
            kept.append(count)
    if len(kept) > 1 and kept[0] == kept[-1]:
        starts.pop(0)
        kept.pop(0)
    return tuple(starts), tuple(kept)
