"""The outline of n layers on a flat side, exact: straight strip edges and pieces of the rim.

Layers only fall from the middle to the rim, so the part with at least n layers is one shape round
the middle: out to the rim where the n-th nearest strip is near enough, else to a strip's edge.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from balewright.plan.film.arcs import lay_arcs
from balewright.plan.film.flats import FlatCount, nearest_angles


@dataclass(frozen=True)
class Corner:
    """A corner of an outline; reach 1 is the rim. along_rim: the rim leads on to the next one."""

    angle_rad: float
    reach: float
    along_rim: bool


def outline(flat: FlatCount, diameter_m: float, layers: int) -> list[Corner]:
    """The corners of the part with at least `layers` layers, in rising angle.

    Angles count from where the round side's place 0 meets the rim. layers: 1 to flat.crossings.
    """
    half_strip = flat.strip_m / diameter_m
    if half_strip >= 1.0:
        return [Corner(quarter * math.pi / 2.0, 1.0, True) for quarter in range(4)]
    at_rim = math.asin(half_strip)
    low, high = nearest_angles(flat.directions, layers)
    corners: list[Corner] = []
    for place, direction in enumerate(flat.directions):
        start = math.pi * direction
        middle, nearest = start + low[place], low[place]
        if nearest < at_rim:
            before = min(at_rim, high[place - 1]) - nearest
            after = min(at_rim, high[place]) - nearest
            corners.append(Corner(middle - before, 1.0, True))
            corners.append(Corner(middle + after, 1.0, False))
        else:
            corners.append(Corner(middle, half_strip / math.sin(nearest), False))
        if high[place] > at_rim:
            between = half_strip / math.sin(high[place])
            corners.append(Corner(start + high[place], between, False))
    other_half = [Corner(c.angle_rad + math.pi, c.reach, c.along_rim) for c in corners]
    return corners + other_half


def short_rim(flat: FlatCount, diameter_m: float, need_layers: int) -> list[tuple[float, float]]:
    """Where the rim has fewer than `need_layers`: from and to, in radians, rising."""
    if need_layers > flat.crossings:
        return [(0.0, 2.0 * math.pi)]
    if flat.strip_m >= diameter_m:
        return []
    arcs = lay_arcs(flat.directions, math.asin(flat.strip_m / diameter_m) / math.pi)
    pieces = [
        (math.pi * start, math.pi * (start + length)) for start, length in arcs.slivers(need_layers)
    ]
    return [(start + turn, end + turn) for turn in (0.0, math.pi) for start, end in pieces]
