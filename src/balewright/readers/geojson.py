"""Outlines of fields from GeoJSON (RFC 7946): WGS 84, longitude first, outer rings and holes."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Final, NoReturn

import numpy as np

from balewright.quantities.errors import BadInput, Fault
from balewright.records.fields.inside import area_m2, is_inside
from balewright.records.outlines import Outline

MAX_BYTES: Final = 20_000_000
MAX_CORNERS: Final = 5_000
"""Corners of one ring; a field's border needs no more."""
MAX_PAIRS: Final = 20 * MAX_CORNERS**2
"""Pairs of corners in all rings of a file: 20 of the largest, thousands of usual ones."""
MAX_OUTLINES: Final = 5_000
MAX_NAME: Final = 200
LARGEST_M2: Final = 1e8
"""100 square kilometres: larger is no field but a country, or longitude and latitude swapped."""
_CLOSED: Final = 4
_WGS84: Final = ("crs84", "4326", "wgs84", "wgs 84")
_CURE: Final = "Export the fields as GeoJSON again: polygons in WGS 84 degrees."

Ring = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Drawn:
    """outlines: as read; turned: how many rings ran the wrong way round (outer rings run
    counterclockwise, holes clockwise); they mean the same and were taken; passed_over: features
    that are no areas (points, lines)."""

    outlines: tuple[Outline, ...]
    turned: int = 0
    passed_over: int = 0


def read_geojson(content: bytes, name: str, field: str | None = None) -> Drawn:
    """Read outlines.

    content: a FeatureCollection, a Feature or a geometry; name: of the file, for errors; field:
    the name of the field where the content names none (a property `field` or `name`; `farm` and
    `customer` beside it). Raises BadInput with every fault: what is no JSON, not GeoJSON, in
    another system than WGS 84, and rings that are open, cross themselves, hold no place or lie
    outside the ring they are a hole of.
    """
    reader = _Reader(name, field)
    reader.take(_parse(content, name))
    if not reader.faults and not reader.outlines:
        reader.fail("whole file", "at least one Polygon or MultiPolygon", "none", _CURE)
    if reader.faults:
        raise BadInput(*reader.faults)
    return Drawn(tuple(reader.outlines), reader.turned, reader.passed_over)


def _parse(content: bytes, name: str) -> Any:
    if len(content) > MAX_BYTES:
        need = f"at most {MAX_BYTES // 1_000_000} MB"
        cure = "Give fewer fields at once."
        raise BadInput(Fault(name, need, f"{len(content) / 1e6:.0f} MB", cure))

    def refuse(word: str) -> NoReturn:
        raise ValueError(f"the word {word}, which is no number")

    try:
        return json.loads(content.decode("utf-8-sig"), parse_constant=refuse)
    except (ValueError, RecursionError) as error:
        raise BadInput(Fault(name, "JSON in UTF-8", _not_json(error), _CURE)) from error


def _not_json(error: ValueError | RecursionError) -> str:
    if isinstance(error, RecursionError):
        return "too many brackets within brackets"
    if isinstance(error, UnicodeDecodeError):
        return f"byte {error.start}, which is no UTF-8"
    if isinstance(error, json.JSONDecodeError):
        return f"something else at line {error.lineno}, character {error.colno}"
    return str(error)


class _Reader:
    """Goes through the features and gathers outlines and faults."""

    def __init__(self, name: str, field: str | None) -> None:
        self.name = name
        self.field = field
        self.outlines: list[Outline] = []
        self.faults: list[Fault] = []
        self.turned = 0
        self.passed_over = 0
        self.pairs = 0

    def fail(self, place: str, need: str, given: object, cure: str) -> None:
        """Note a fault; the first twenty are enough for anybody."""
        if len(self.faults) < 20:
            self.faults.append(Fault(f"{self.name}, {place}", need, str(given)[:80], cure))

    def take(self, found: Any) -> None:
        """Take whatever stands at the top."""
        kind = found.get("type") if isinstance(found, Mapping) else None
        if not isinstance(found, Mapping) or not isinstance(kind, str):
            self.fail("whole file", "a GeoJSON object with a `type`", type(found).__name__, _CURE)
            return
        if not _is_wgs84(found.get("crs")):
            cure = "Export in WGS 84 (EPSG:4326), which GeoJSON needs."
            self.fail("crs", "no other system than WGS 84", json.dumps(found["crs"]), cure)
            return
        features = found.get("features") if kind == "FeatureCollection" else [found]
        if not isinstance(features, list) or len(features) > MAX_OUTLINES:
            self.fail("features", f"a list of at most {MAX_OUTLINES}", type(features), _CURE)
            return
        for number, feature in enumerate(features, start=1):
            self._feature(feature, f"feature {number}")

    def _feature(self, feature: Any, place: str) -> None:
        if not isinstance(feature, Mapping):
            self.fail(place, "an object", type(feature).__name__, _CURE)
            return
        is_feature = feature.get("type") == "Feature"
        shape = feature.get("geometry") if is_feature else feature
        words = feature.get("properties") if is_feature else None
        words = words if isinstance(words, Mapping) else {}
        polygons = list(_polygons(shape))
        if not polygons:
            self.passed_over += 1
            return
        field = _word(words, "field", "name") or self.field
        if field is None or len(field) > MAX_NAME:
            cure = "Give the feature a property `field`, or name the field where you add the file."
            need = f"a field's name of at most {MAX_NAME} letters"
            self.fail(place, need, field or "none", cure)
            return
        before = len(self.faults)
        rings = [
            ring
            for part, polygon in enumerate(polygons, start=1)
            for ring in self._polygon(polygon, f"{place} ({field}), polygon {part}")
        ]
        if len(self.faults) > before:
            return
        farm, customer = _word(words, "farm"), _word(words, "customer")
        outline = Outline(field, tuple(rings), farm, customer)
        if area_m2(outline) > LARGEST_M2:
            cure = "Check that longitude stands before latitude, and that it is one field."
            given = f"{area_m2(outline) / 1e6:.0f} km2"
            self.fail(f"{place} ({field})", "a field of at most 100 km2", given, cure)
            return
        self.outlines.append(outline)

    def _polygon(self, rings: Any, place: str) -> Iterator[Ring]:
        if not isinstance(rings, list) or not rings:
            self.fail(place, "a list of rings", rings, _CURE)
            return
        outer: Outline | None = None
        for number, given in enumerate(rings):
            where = f"{place}, {'outer ring' if number == 0 else f'hole {number}'}"
            ring = self._ring(given, where)
            if ring is None:
                return
            if outer is None:
                outer = Outline("", (ring,))
            elif not _lies_in(ring, outer):
                self.fail(where, "a hole within its outer ring", "a corner outside it", _CURE)
            if _runs_left(ring) != (number == 0):
                self.turned += 1
                ring = ring[::-1]
            yield ring

    def _ring(self, given: Any, place: str) -> Ring | None:
        if not isinstance(given, list) or not _CLOSED <= len(given) <= MAX_CORNERS:
            size = len(given) if isinstance(given, list) else type(given).__name__
            self.fail(
                place, f"{_CLOSED} to {MAX_CORNERS} corners, the first one again", size, _CURE
            )
            return None
        self.pairs += len(given) ** 2
        if self.pairs > MAX_PAIRS:
            self.fail(place, "fewer corners in one file", "more", "Give fewer fields at once.")
            return None
        for corner in given:
            if not _is_place(corner):
                cure = "Write longitude, then latitude, in degrees; no metres of a map."
                self.fail(place, "corners [longitude, latitude] in degrees", corner, cure)
                return None
        ring = tuple((float(corner[1]), float(corner[0])) for corner in given)
        if ring[0] != ring[-1]:
            cure = "Repeat the first corner at the end of the ring."
            self.fail(place, "a closed ring", f"{given[0]} and {given[-1]} at its ends", cure)
            return None
        if crosses_itself(ring):
            cure = "Draw the border again so that it does not cross or touch itself."
            self.fail(place, "a ring that does not cross itself", "one that does", cure)
            return None
        return ring


def _is_wgs84(crs: Any) -> bool:
    return crs is None or any(word in json.dumps(crs).casefold() for word in _WGS84)


def _polygons(shape: Any) -> Iterator[Any]:
    """The coordinates of each polygon of a geometry, collections too (not within each other)."""
    if not isinstance(shape, Mapping):
        return
    members = shape.get("geometries")
    parts = members if isinstance(members, list) else [shape]
    for part in parts:
        kind = part.get("type") if isinstance(part, Mapping) else None
        if kind == "Polygon":
            yield part.get("coordinates")
        elif kind == "MultiPolygon":
            found = part.get("coordinates")
            yield from found if isinstance(found, list) else [found]


def _word(words: Mapping[Any, Any], *names: str) -> str | None:
    plain = {str(name).casefold(): value for name, value in words.items()}
    for name in names:
        value = plain.get(name)
        if isinstance(value, str | int) and not isinstance(value, bool) and str(value).strip():
            return " ".join(str(value).split())
    return None


def _is_place(corner: Any) -> bool:
    if not isinstance(corner, list) or len(corner) < 2:
        return False
    if any(isinstance(x, bool) or not isinstance(x, int | float) for x in corner[:2]):
        return False
    return bool(-180 <= corner[0] <= 180 and -90 <= corner[1] <= 90)


def _runs_left(ring: Ring) -> bool:
    """Whether a ring runs counterclockwise, seen with north up."""
    area = sum(a[1] * b[0] - b[1] * a[0] for a, b in pairwise(_centred(ring)))
    return area > 0


def _centred(ring: Ring) -> Iterator[tuple[float, float]]:
    return ((lat - ring[0][0], (lon - ring[0][1] + 180) % 360 - 180) for lat, lon in ring)


def _lies_in(ring: Ring, outer: Outline) -> bool:
    places = np.array(ring)
    return bool(is_inside(outer, places[:, 0], places[:, 1]).all())


def crosses_itself(ring: Ring) -> bool:
    """Whether two sides of a closed ring meet elsewhere than at a shared corner, or go nowhere."""
    corners = np.array(list(_centred(ring)))
    corners = corners[np.concatenate(([True], (np.diff(corners, axis=0) != 0).any(axis=1)))]
    a, b = corners[:-1], corners[1:]
    count = len(a)
    if count < _CLOSED - 1 or len({tuple(one) for one in a.tolist()}) < count:
        return True
    low, high = np.minimum(a, b), np.maximum(a, b)
    for place in range(count - 1):
        near = (low[place + 1 :] <= high[place]) & (high[place + 1 :] >= low[place])
        others = np.flatnonzero(near.all(axis=1)) + place + 1
        side = _side(a[place], b[place], np.stack((a[others], b[others])))
        back = _side(a[others], b[others], np.stack((a[place], b[place]))[:, None, :])
        apart = (others > place + 1) & ~((place == 0) & (others == count - 1))
        meets = (side[0] * side[1] <= 0) & (back[0] * back[1] <= 0) & (side != 0).any(axis=0)
        if bool((meets & apart).any()):
            return True
    return False


def _side(a: Any, b: Any, points: Any) -> Any:
    """On which side of the line from a to b points lie: sign of the cross product."""
    along, off = b - a, points - a
    return np.sign(along[..., 0] * off[..., 1] - along[..., 1] * off[..., 0])
