"""Layers on a flat side of a bale: bands over a disc, counted exactly.

A strip of width w crosses the disc along a diameter. On the ray at angle phi, a band of direction
psi reaches out to r = w / (2 sin d), d being the angle between them; so a point has n layers up to
the r of the n-th nearest direction. Between breakpoints the area beyond that r has a closed form
(the integral of w^2 / (4 sin^2 d) is -w^2/4 cot d). Layers only fall from the middle to the rim.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from balewright.plan.film.arcs import SPOT, lay_arcs


@dataclass(frozen=True)
class FlatCount:
    """Layers on one flat side.

    crossings: strips over it; thinnest: fewest layers, always at the rim; mean: over the disc;
    short_frac: share of its area short of the need; sliver_m: the widest connected stretch of the
    rim that is short; depth_m: how far that shortness reaches in from the rim; band_m2: what one
    strip covers; rim_m2: film of one strip that gathers at the rim instead (w D less the band);
    strip_m, directions: width of the strips and where they point, in half turns, rising, for
    drawing.
    """

    crossings: int
    thinnest: int
    mean: float
    short_frac: float
    sliver_m: float
    depth_m: float
    band_m2: float
    rim_m2: float
    strip_m: float
    directions: tuple[float, ...]


def chord_band_m2(diameter_m: float, strip_m: float) -> float:
    """Area of the disc within half a strip of a diameter; the whole disc for a wider strip."""
    radius_m, half_m = diameter_m / 2.0, min(strip_m, diameter_m) / 2.0
    triangle = half_m * math.sqrt(max(0.0, radius_m**2 - half_m**2))
    return 2.0 * (triangle + radius_m**2 * math.asin(half_m / radius_m))


def count_flat(
    directions: Sequence[float], diameter_m: float, strip_m: float, need_layers: int
) -> FlatCount:
    """Layers on one flat side from the directions of its strips.

    directions: in half turns; diameter_m, strip_m: above 0; need_layers: at least 1. Valid for
    straight strips of one width. Source key: `geometry`.
    """
    ordered = sorted(direction % 1.0 for direction in directions)
    disc_m2 = math.pi * diameter_m**2 / 4.0
    band_m2 = chord_band_m2(diameter_m, strip_m)
    rim = _edge_reach(diameter_m, strip_m)
    thinnest, sliver_m = len(ordered), 0.0
    if rim < math.pi / 2.0:
        arcs = lay_arcs(ordered, rim / math.pi)
        thinnest = arcs.thinnest()
        widest = max((length for _, length in arcs.slivers(need_layers)), default=0.0)
        sliver_m = widest * math.pi * diameter_m / 2.0
        if widest >= 1.0:  # short all round: the two halves of the rim join
            sliver_m *= 2.0
    elif need_layers > len(ordered):
        sliver_m = math.pi * diameter_m
    while (
        thinnest < len(ordered)
        and _short_m2(ordered, diameter_m, strip_m, thinnest + 1) <= SPOT * disc_m2
    ):
        thinnest += 1
    short_m2 = _short_m2(ordered, diameter_m, strip_m, need_layers)
    is_short = short_m2 > SPOT * disc_m2
    return FlatCount(
        crossings=len(ordered),
        thinnest=thinnest,
        mean=len(ordered) * band_m2 / disc_m2,
        short_frac=short_m2 / disc_m2 if is_short else 0.0,
        sliver_m=sliver_m if is_short else 0.0,
        depth_m=_short_depth_m(ordered, diameter_m, strip_m, need_layers) if is_short else 0.0,
        band_m2=band_m2,
        rim_m2=strip_m * diameter_m - band_m2,
        strip_m=strip_m,
        directions=tuple(ordered),
    )


def _edge_reach(diameter_m: float, strip_m: float) -> float:
    """The angle from a band's direction to where its edge meets the rim, in radians."""
    return math.asin(min(1.0, strip_m / diameter_m))


def nearest_angles(ordered: Sequence[float], layers: int) -> tuple[list[float], list[float]]:
    """The angle to the n-th nearest direction, as its turning points along the rim, in radians.

    The n nearest directions of a ray are n neighbours in `ordered` (rising, in half turns), so
    that angle is a zigzag of slope one: lowest in the middle of each window of n neighbours,
    highest halfway between two windows. Gives the low points, and the high point after each.
    layers: 1 to len(ordered).
    """
    both = [math.pi * direction for direction in ordered]
    both += [direction + math.pi for direction in both]
    windows = range(len(ordered))
    low = [(both[first + layers - 1] - both[first]) / 2.0 for first in windows]
    high = [(both[first + layers] - both[first]) / 2.0 for first in windows]
    return low, high


def _short_m2(ordered: Sequence[float], diameter_m: float, strip_m: float, layers: int) -> float:
    """Area with fewer than `layers` bands over it."""
    if layers > len(ordered):
        return math.pi * diameter_m**2 / 4.0
    rim = _edge_reach(diameter_m, strip_m)
    quarter, at_rim = strip_m**2 / 4.0, 1.0 / math.tan(rim)
    radius2 = diameter_m**2 / 4.0

    def beyond(angle_rad: float) -> float:
        """Integral of R^2 - w^2 / (4 sin^2) from the rim's angle up to `angle_rad`."""
        if angle_rad <= rim:
            return 0.0
        return radius2 * (angle_rad - rim) + quarter * (1.0 / math.tan(angle_rad) - at_rim)

    low, high = nearest_angles(ordered, layers)
    total = 2.0 * (math.fsum(map(beyond, high)) - math.fsum(map(beyond, low)))
    return max(0.0, total)


def _short_depth_m(
    ordered: Sequence[float], diameter_m: float, strip_m: float, layers: int
) -> float:
    """How far in from the rim the nearest point with fewer than `layers` bands lies."""
    if layers > len(ordered):
        return diameter_m / 2.0
    _, high = nearest_angles(ordered, layers)
    return max(0.0, diameter_m / 2.0 - strip_m / (2.0 * math.sin(max(high))))
