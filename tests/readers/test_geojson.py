"""Outlines from GeoJSON: what is read, and every fault with its place and cure."""

from __future__ import annotations

import json
from typing import Any

import numpy as np
import pytest
import shapely  # type: ignore[import-untyped]
from hypothesis import given
from hypothesis import strategies as st

from balewright.quantities.errors import BadInput
from balewright.readers import geojson
from balewright.readers.geojson import crosses_itself, read_geojson

SQUARE = [[-38.0, 8.0], [-37.998, 8.0], [-37.998, 8.002], [-38.0, 8.002], [-38.0, 8.0]]
HOLE = [[-37.9995, 8.0005], [-37.9995, 8.001], [-37.999, 8.001], [-37.9995, 8.0005]]


def _feature(*rings: Any, **words: Any) -> dict[str, Any]:
    shape = {"type": "Polygon", "coordinates": list(rings)}
    return {"type": "Feature", "properties": words, "geometry": shape}


def _read(found: Any, field: str | None = None) -> Any:
    return read_geojson(json.dumps(found).encode(), "fields.geojson", field)


@pytest.mark.published
def test_a_collection_is_read_with_names_holes_and_parts() -> None:
    """RFC 7946: longitude first, outer ring counterclockwise, holes clockwise; points pass by."""
    parts = {"type": "MultiPolygon", "coordinates": [[SQUARE], [[[x + 1, y] for x, y in SQUARE]]]}
    point = {"type": "Feature", "properties": None, "geometry": {"type": "Point"}}
    drawn = _read(
        {
            "type": "FeatureCollection",
            "features": [
                _feature(SQUARE, HOLE, field="Long  field", Farm="Hollowquill", customer="Umber"),
                {"type": "Feature", "properties": {"name": 7}, "geometry": parts},
                point,
            ],
        }
    )
    one, other = drawn.outlines
    assert (one.field, one.farm, one.customer) == ("Long field", "Hollowquill", "Umber")
    assert one.rings[0][1] == (8.0, -37.998)
    assert (len(one.rings), other.field, len(other.rings)) == (2, "7", 2)
    assert (drawn.turned, drawn.passed_over) == (0, 1)
    wrong_way = _read(_feature(SQUARE[::-1], HOLE[::-1], field="Long field"))
    assert (wrong_way.turned, wrong_way.outlines[0].rings) == (2, one.rings)
    bare = _read({"type": "Polygon", "coordinates": [SQUARE]}, "Round field")
    assert bare.outlines[0].field == "Round field"


_BOW = [[-38.0, 8.0], [-37.998, 8.002], [-37.998, 8.0], [-38.0, 8.002], [-38.0, 8.0]]
_FAR = [[x + 0.1, y] for x, y in HOLE]


@pytest.mark.derived
@pytest.mark.parametrize(
    ("found", "place", "need"),
    [
        (b"[1, 2", "fields", "JSON"),
        (b'{"type": "Polygon", "coordinates": NaN}', "fields", "JSON"),
        (b"[" * 200_000, "fields", "JSON"),
        (b"\xff\xfe", "fields", "JSON"),
        ([1, 2], "whole file", "GeoJSON object"),
        ({"type": "FeatureCollection", "features": 3}, "features", "a list"),
        ({"type": "Point", "coordinates": [1, 2]}, "whole file", "at least one Polygon"),
        (_feature(SQUARE), "feature 1", "field's name"),
        (_feature(SQUARE[:-1], field="A"), "outer ring", "closed"),
        (_feature(SQUARE[:2], field="A"), "outer ring", "corners"),
        (_feature(_BOW, field="A"), "outer ring", "cross itself"),
        (_feature(SQUARE, _FAR, field="A"), "hole 1", "within its outer ring"),
        (_feature([[500_000, 5_800_000]] * 5, field="A"), "outer ring", "degrees"),
        (_feature([["8", True]] * 5, field="A"), "outer ring", "degrees"),
        (_feature([[x, y * 2 if y > 8 else y] for x, y in SQUARE], field="A"), "(A)", "100 km2"),
        ({**_feature(SQUARE, field="A"), "crs": {"name": "EPSG:25832"}}, "crs", "WGS 84"),
    ],
)
def test_faults_name_place_and_cure(found: Any, place: str, need: str) -> None:
    """Each kind of broken file is refused with where, what is needed and how to mend it."""
    content = found if isinstance(found, bytes) else json.dumps(found).encode()
    with pytest.raises(BadInput) as caught:
        read_geojson(content, "fields.geojson")
    (fault, *_) = caught.value.faults
    assert place in fault.place
    assert need in fault.need
    assert fault.cure


@pytest.mark.reference
@pytest.mark.check(model="ring that crosses itself", source="shapely")
@given(st.lists(st.tuples(st.integers(0, 9), st.integers(0, 9)), min_size=3, max_size=9))
def test_crossing_agrees_with_shapely(corners: list[tuple[int, int]]) -> None:
    """Random rings on a coarse grid, touching corners and sides among them: simple or not."""
    places = [corner for at, corner in enumerate(corners) if corner != corners[at - 1]]
    if len(places) < 3:
        return
    ring = tuple((float(a), float(b)) for a, b in [*places, places[0]])
    line = shapely.LinearRing(np.array(ring))
    if shapely.Polygon(ring).area == 0:
        return
    assert crosses_itself(ring) == (not line.is_simple)


@pytest.mark.own
def test_a_file_of_endless_borders_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """Looking for crossings takes as long as corners by corners: a file has one share of it."""
    features = [_feature(SQUARE, field=f"F{at}") for at in range(5)]
    found = {"type": "FeatureCollection", "features": features}
    monkeypatch.setattr(geojson, "MAX_PAIRS", 5 * len(SQUARE) ** 2)
    assert len(_read(found).outlines) == 5
    monkeypatch.setattr(geojson, "MAX_PAIRS", 5 * len(SQUARE) ** 2 - 1)
    with pytest.raises(BadInput, match=r"feature 5.*fewer corners in one file"):
        _read(found)
