"""Boundaries of fields as task data draws them: polygons of ISO 11783-10, with their holes."""

from __future__ import annotations

from typing import Final

from balewright.readers.task_data.attributes import Reading
from balewright.records.quality import Mark

Ring = tuple[tuple[float, float], ...]

_BOUNDARY: Final = 1
"""Kind of a polygon (PLN/@A) that is a field's boundary; others are zones, water, roads."""
_RINGS: Final = (1, 2)
"""Kinds of a line (LSG/@A) that go round an area: outer ring, inner ring."""
_FEWEST: Final = 3
_FARTHEST_NORTH: Final = 90.0
_FARTHEST_EAST: Final = 180.0


def read_rings(field: Reading) -> tuple[Ring, ...]:
    """The rings of a field's boundary, as (latitude, longitude) in degrees; () where it has none.

    field: an element PFD. A ring with fewer than three corners, or with one that is no place, is
    left out with a doubt, and with an outer ring the whole polygon.
    """
    rings: list[Ring] = []
    for polygon in field.children("PLN"):
        if polygon.whole("A") == _BOUNDARY:
            rings += _polygon(polygon)
    return tuple(rings)


def _polygon(polygon: Reading) -> list[Ring]:
    rings = []
    for line in polygon.children("LSG"):
        kind = line.whole("A")
        if kind not in _RINGS:
            continue
        corners = _corners(line)
        if corners is not None:
            rings.append(corners)
        elif kind == _RINGS[0]:
            return []
    return rings


def _corners(line: Reading) -> Ring | None:
    places = [(point.number("C"), point.number("D")) for point in line.children("PNT")]
    corners = tuple(
        (lat, lon)
        for lat, lon in places
        if lat is not None
        and lon is not None
        and abs(lat) <= _FARTHEST_NORTH
        and abs(lon) <= _FARTHEST_EAST
    )
    if len(corners) < len(places):
        text = f"{len(places) - len(corners)} corner(s) of this ring are no places: it is left out"
    elif len(set(corners)) < _FEWEST:
        text = f"a ring of {len(set(corners))} different corner(s) goes round nothing: left out"
    else:
        return corners
    line.ledger.doubt(line.file, line.place, Mark.ELEMENT_UNKNOWN, text)
    return None
