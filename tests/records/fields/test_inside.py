"""Inside or outside an outline, and how deep: held against shapely."""

from __future__ import annotations

import numpy as np
import pytest
import shapely  # type: ignore[import-untyped]
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.records.fields.inside import (
    EARTH_RADIUS_M,
    apart_m,
    area_m2,
    flat_m,
    is_inside,
    outline_depth_m,
)
from balewright.records.outlines import Outline

ORIGIN = (8.0, -38.0)
DEGREE_M = EARTH_RADIUS_M * np.pi / 180


def _ring(
    centre: tuple[float, float], radii: list[float], turn: float
) -> list[tuple[float, float]]:
    """A star-shaped ring round a centre in metres east and north of the origin."""
    angles = turn + np.linspace(0, 2 * np.pi, len(radii), endpoint=False)
    east = centre[0] + np.array(radii) * np.cos(angles)
    north = centre[1] + np.array(radii) * np.sin(angles)
    scale = np.cos(np.radians(ORIGIN[0]))
    return [
        (float(ORIGIN[0] + n / DEGREE_M), float(ORIGIN[1] + e / DEGREE_M / scale))
        for e, n in zip(east, north, strict=True)
    ]


@st.composite
def fields(draw: st.DrawFn) -> Outline:
    """Fields of one or two parts, the first with one or two holes well within it."""
    radii = st.lists(st.floats(90, 300), min_size=3, max_size=12)
    outer = _ring((0, 0), draw(radii), draw(st.floats(0, 6)))
    rings = [outer]
    if len(outer) >= 6:  # below that a ring may come nearer to its centre than the holes reach
        rings += [
            _ring((east, 0), draw(st.lists(st.floats(4, 20), min_size=3, max_size=6)), 0.3)
            for east in draw(st.sampled_from([(), (0,), (-25, 25)]))
        ]
    if draw(st.booleans()):
        rings.append(_ring((900, 50), draw(radii), 0))
    closed = draw(st.booleans())
    return Outline("Long field", tuple(tuple(r + r[:1]) if closed else tuple(r) for r in rings))


def _shape(outline: Outline) -> shapely.Geometry:
    """The same in shapely, in metres: rings joined by even and odd."""
    shape = shapely.Polygon()
    for ring in outline.rings:
        places = np.array(ring)
        east, north = flat_m(places[:, 0], places[:, 1], outline.rings[0][0])
        shape = shape.symmetric_difference(shapely.Polygon(np.stack((east, north), axis=1)))
    return shape


@pytest.mark.reference
@pytest.mark.check(model="bale in a field", source="shapely")
@settings(max_examples=60)
@given(fields(), st.integers(0, 2**32 - 1))
def test_inside_and_depth_agree_with_shapely(outline: Outline, seed: int) -> None:
    """Random fields with holes and parts, 400 places each: inside, metres to the border, area."""
    chance = np.random.default_rng(seed)
    lat = ORIGIN[0] + chance.uniform(-400, 400, 400) / DEGREE_M
    lon = ORIGIN[1] + chance.uniform(-400, 1300, 400) / DEGREE_M
    shape = _shape(outline)
    east, north = flat_m(lat, lon, outline.rings[0][0])
    points = shapely.points(east, north)
    border = shapely.distance(shape.boundary, points)
    clear = border > 1e-6
    assert clear.sum() > 390
    inside = shapely.contains(shape, points)
    assert np.array_equal(is_inside(outline, lat, lon)[clear], inside[clear])
    depth = outline_depth_m(outline, lat, lon)
    assert np.allclose(depth, np.where(inside, border, -border), rtol=0, atol=1e-6)
    assert area_m2(outline) == pytest.approx(shape.area, rel=1e-9)


@pytest.mark.derived
def test_a_field_across_the_line_of_180_degrees() -> None:
    """A square round 180 east: 179.999 and -179.999 lie in it, 179.9 and unknown do not."""
    ring = ((1.0, 179.995), (1.0, -179.995), (1.01, -179.995), (1.01, 179.995))
    lon = np.array([179.999, -179.999, 179.9, np.nan])
    inside = is_inside(Outline("Far field", (ring,)), np.full(4, 1.005), lon)
    assert inside.tolist() == [True, True, False, False]


@pytest.mark.derived
def test_distance_on_the_globe() -> None:
    """A quarter of the globe is pi/2 of its radius; flat and round agree over a field to 0.1 %."""
    one = np.array
    quarter = apart_m(one([0.0]), one([0.0]), one([90.0]), one([0.0]))
    assert quarter[0] == pytest.approx(EARTH_RADIUS_M * np.pi / 2)
    lat, lon = one([60.01]), one([10.03])
    east, north = flat_m(lat, lon, (60.0, 10.0))
    round_m = apart_m(one([60.0]), one([10.0]), lat, lon)
    assert np.hypot(east, north)[0] == pytest.approx(round_m[0], rel=1e-3)


@pytest.mark.derived
def test_an_outline_without_corners_holds_nothing() -> None:
    """Nothing lies in it, whatever the place."""
    assert not is_inside(Outline("Nowhere", ()), np.array([8.0]), np.array([-38.0])).any()
