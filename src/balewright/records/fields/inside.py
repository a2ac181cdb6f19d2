"""Whether a place lies in an outline, and how far it is from the border.

A flat piece of the earth round the outline: metres east and north of its first corner. Good to
a tenth of a per cent for outlines up to 50 km across, between 75 degrees south and north. A line
of longitude where the count starts anew may run through it.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.records.outlines import Outline

EARTH_RADIUS_M: Final = 6_371_008.8
"""Mean radius of the earth (IUGG)."""

_AT_ONCE: Final = 2_000_000
"""Pairs of place and edge looked at in one go."""

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]


def flat_m(lat: Floats, lon: Floats, origin: tuple[float, float]) -> tuple[Floats, Floats]:
    """Metres east and north of `origin` (latitude, longitude) of places near it, in degrees."""
    east = (lon - origin[1] + 180.0) % 360.0 - 180.0
    scale = np.radians(1.0) * EARTH_RADIUS_M
    return east * scale * np.cos(np.radians(origin[0])), (lat - origin[0]) * scale


def apart_m(lat1: Floats, lon1: Floats, lat2: Floats, lon2: Floats) -> Floats:
    """Great-circle distance between places in degrees, element by element."""
    north, east = np.radians(lat2 - lat1), np.radians(lon2 - lon1)
    chord = (
        np.sin(north / 2) ** 2
        + np.cos(np.radians(lat1)) * np.cos(np.radians(lat2)) * np.sin(east / 2) ** 2
    )
    angle: Floats = 2 * np.arcsin(np.sqrt(np.clip(chord, 0.0, 1.0)))
    return EARTH_RADIUS_M * angle


def is_inside(outline: Outline, lat: Floats, lon: Floats) -> Mask:
    """Whether an odd number of the outline's rings goes round each place, shape (n,).

    lat, lon: degrees, shape (n,), NaN for unknown: not inside. A place right on the border may
    be either.
    """
    return outline_depth_m(outline, lat, lon) > 0


def outline_depth_m(outline: Outline, lat: Floats, lon: Floats) -> Floats:
    """How deep each place lies in the outline: metres to the border, below zero outside.

    lat, lon: degrees, shape (n,), NaN for unknown: minus infinity. Gives shape (n,).
    """
    depth = np.full(len(lat), -np.inf)
    edges = _edges(outline)
    if not len(edges):
        return depth
    origin = outline.rings[0][0]
    known = np.flatnonzero(np.isfinite(lat) & np.isfinite(lon))
    step = max(1, _AT_ONCE // len(edges))
    for start in range(0, len(known), step):
        part = known[start : start + step]
        east, north = flat_m(lat[part], lon[part], origin)
        depth[part] = _depth(edges, east, north)
    return depth


def area_m2(outline: Outline) -> float:
    """The area within the outline, holes left out: rings that do not cross, one in the other."""
    areas = []
    for ring in _rings_m(outline):
        east, north = ring[:, 0], ring[:, 1]
        areas.append(abs(float(np.sum(east * np.roll(north, -1) - np.roll(east, -1) * north))) / 2)
    total = 0.0
    for place, area in enumerate(areas):
        first = outline.rings[place][0]
        others = [ring for at, ring in enumerate(outline.rings) if at != place]
        round_it = Outline("", tuple(others))
        is_hole = is_inside(round_it, np.array([first[0]]), np.array([first[1]]))
        total += -area if bool(is_hole[0]) else area
    return total


def _rings_m(outline: Outline) -> list[Floats]:
    """Each ring's corners in metres, shape (corners, 2), without the closing one."""
    if not outline.rings or not outline.rings[0]:
        return []
    origin = outline.rings[0][0]
    found = []
    for ring in outline.rings:
        corners = ring[:-1] if len(ring) > 1 and ring[0] == ring[-1] else ring
        places = np.array(corners, dtype=np.float64).reshape(-1, 2)
        found.append(np.stack(flat_m(places[:, 0], places[:, 1], origin), axis=1))
    return found


def _edges(outline: Outline) -> Floats:
    """Every edge as east, north of both ends, shape (edges, 4)."""
    sides = [np.hstack((ring, np.roll(ring, -1, axis=0))) for ring in _rings_m(outline)]
    return np.concatenate([np.empty((0, 4)), *sides])


def _depth(edges: Floats, east: Floats, north: Floats) -> Floats:
    e1, n1, e2, n2 = (edges[:, column][None, :] for column in range(4))
    e, n = east[:, None], north[:, None]
    crosses = (n1 > n) != (n2 > n)
    rise = np.where(n2 == n1, 1.0, n2 - n1)
    odd = (np.count_nonzero(crosses & (e < (e2 - e1) * (n - n1) / rise + e1), axis=1) % 2) == 1
    length2 = (e2 - e1) ** 2 + (n2 - n1) ** 2
    along = ((e - e1) * (e2 - e1) + (n - n1) * (n2 - n1)) / np.where(length2 == 0, 1.0, length2)
    along = np.clip(along, 0.0, 1.0)
    border = np.hypot(e - e1 - along * (e2 - e1), n - n1 - along * (n2 - n1)).min(axis=1)
    depth: Floats = np.where(odd, border, -border)
    return depth
