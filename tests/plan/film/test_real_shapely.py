"""Flat sides and the unrolled round side against polygons cut by a geometry library."""

from __future__ import annotations

import math

import numpy as np
import pytest
from shapely import Polygon
from shapely.affinity import translate
from shapely.geometry import Point
from shapely.ops import polygonize, unary_union
from shapely.prepared import prep

from balewright.plan.film.course import Course, Leg, crossings
from balewright.plan.film.crossings import Wrapping
from balewright.plan.film.flats import count_flat
from balewright.plan.film.layers import count_layers
from balewright.plan.film.laying import Laying
from balewright.plan.film.real_bale import Side, count_real_bale
from balewright.plan.film.shape import film_path_of, shape_of
from balewright.plan.film.strip import Bale

BALE = Bale(1.40, 1.23)
TURN = 0.491 / (math.pi * 1.40)
COURSE = Course((Leg(8.0, (True, True), TURN),))
MOST = 10


def areas_by_layers(ground: Polygon, films: list[Polygon]) -> np.ndarray:
    """Area of `ground` under 0, 1, 2, ... films: all cut by all edges, every piece counted."""
    laid = [film.intersection(ground) for film in films]
    edges = unary_union([ground.boundary, *(film.boundary for film in laid if film.area > 0)])
    ready = [prep(film) for film in laid if film.area > 0]
    areas = np.zeros(len(films) + 1)
    for piece in polygonize(edges):
        inside = piece.representative_point()
        areas[sum(film.contains(inside) for film in ready)] += piece.area
    return areas


def disc(radius_m: float) -> Polygon:
    """A disc of 4 x 512 corners, as large as the round one (to 1e-6)."""
    return Point(0.0, 0.0).buffer(radius_m, quad_segs=512)


def band(direction_rad: float, line_m: float, width_m: float) -> Polygon:
    """A long straight band along a direction, `line_m` off the middle to its left."""
    ahead = np.array([math.cos(direction_rad), math.sin(direction_rad)]) * 3.0
    left = np.array([-math.sin(direction_rad), math.cos(direction_rad)])
    low, high = left * (line_m - width_m / 2), left * (line_m + width_m / 2)
    return Polygon([low - ahead, low + ahead, high + ahead, high - ahead])


@pytest.mark.reference
@pytest.mark.check(model="film.flats", source="shapely")
@pytest.mark.parametrize("need", [1, 4, 7])
def test_bands_through_the_middle_of_a_disc(need: int) -> None:
    """The closed form's area short is the polygons', to the corners of the disc (1e-5)."""
    directions = [one.flat_turn for one in crossings(COURSE) if one.side == 0]
    bands = [band(math.pi * turn, 0.0, 0.55) for turn in directions]
    areas = areas_by_layers(disc(0.70), bands)
    flat = count_flat(directions, 1.40, 0.55, need)
    assert flat.short_frac == pytest.approx(areas[:need].sum() / areas.sum(), abs=1e-5)
    assert flat.mean == pytest.approx(areas @ np.arange(len(areas)) / areas.sum(), rel=1e-5)


@pytest.mark.reference
@pytest.mark.check(model="film.layers", source="shapely")
@pytest.mark.parametrize("need", [4, 6, 8])
def test_straight_strips_on_the_unrolled_side(need: int) -> None:
    """The simple count's share short and mean are those of rectangles laid over a rectangle."""
    girth_m = math.pi * 1.40
    count = count_layers(BALE, Wrapping(0.55, TURN, (12.0, 9.0), need))
    ground = Polygon([(0, 0), (girth_m, 0), (girth_m, 1), (0, 1)])
    strip = Polygon([(-0.275, -1), (0.275, -1), (0.275, 2), (-0.275, 2)])
    middles = [
        (half / 2 + roll / 2 - TURN * half / 2) % 1.0 * girth_m
        for roll, turns in ((0, 12), (1, 9))
        for half in range(2 * turns)
    ]
    films = [
        translate(strip, middle + shift) for middle in middles for shift in (-girth_m, 0, girth_m)
    ]
    areas = areas_by_layers(ground, films) / girth_m
    assert count.short_frac == pytest.approx(areas[:need].sum(), abs=1e-9)
    assert count.round_mean == pytest.approx(areas @ np.arange(len(areas)), abs=1e-9)
    assert count.thinnest == int(np.flatnonzero(areas > 1e-9)[0])


@pytest.mark.reference
@pytest.mark.check(model="film.real", source="shapely")
def test_bands_off_the_middle_of_a_disc() -> None:
    """Film 0.08 m too high, tilted, with a narrow tail: every number of layers has its area.

    Bands run along the direction the simple model names, off the middle by the plane's height on
    that side, to the left of film on its way up the front of the bale. Tolerance 2e-4 of the disc:
    the error that the circles admit.
    """
    laying = Laying(0.55, off_height_m=0.08, tilt_rad=0.06, tail_share=0.5, tail_half_turns=2)
    count = count_real_bale(shape_of(BALE), laying, COURSE, 4)
    for place, side in enumerate((Side.LEFT_FLAT, Side.RIGHT_FLAT)):
        height_m = 0.08 + (-1, 1)[place] * 0.615 * math.tan(0.06)
        bands = []
        for one in crossings(COURSE):
            if one.side == place:
                turned = TURN * (one.at_turn + 0.25)
                width_m = 0.55 * (0.5 if one.at_turn < 0.75 else 1.0)
                bands.append(band(-2 * math.pi * turned, height_m, width_m))
        areas = areas_by_layers(disc(0.70), bands)
        flat = count.wrap.on(side)
        assert flat is not None
        for need in range(1, len(areas)):
            ours = math.fsum(flat.layers_m2[:need])
            assert ours == pytest.approx(areas[:need].sum(), abs=2e-4 * flat.area_m2)
        assert flat.thinnest == int(np.flatnonzero(areas > 1e-9)[0])


@pytest.mark.reference
@pytest.mark.check(model="film.real", source="shapely")
def test_skewed_strips_on_the_unrolled_side() -> None:
    """Strips that the turning bale skews are parallelograms on the unrolled round side.

    Each is sheared by the turning while film runs along the bale: k x length / film path of the
    girth. Areas by layers agree to 1e-4 of the side, and the mean to rounding.
    """
    shape = shape_of(BALE)
    girth_m, length_m = math.pi * 1.40, 1.23
    count = count_real_bale(shape, Laying(0.55, skew_share=1.0), COURSE, 5)
    shear_m = TURN * length_m / film_path_of(shape) * girth_m
    wide_m = 0.55 * math.hypot(1.0, shear_m / length_m)
    ground = Polygon([(0, 0), (girth_m, 0), (girth_m, length_m), (0, length_m)])
    films = []
    for one in crossings(COURSE):
        middle = one.round_turn % 1.0 * girth_m
        lean = shear_m / 2 * one.forward
        strip = Polygon(
            [
                (middle - lean - wide_m / 2, 0),
                (middle - lean + wide_m / 2, 0),
                (middle + lean + wide_m / 2, length_m),
                (middle + lean - wide_m / 2, length_m),
            ]
        )
        films += [translate(strip, shift) for shift in (-girth_m, 0.0, girth_m)]
    areas = areas_by_layers(ground, films)
    side = count.wrap.on(Side.ROUND)
    assert side is not None
    for need in range(1, MOST):
        ours = math.fsum(side.layers_m2[:need])
        assert ours == pytest.approx(areas[:need].sum(), abs=1e-4 * side.area_m2)
    assert side.laid_m2 == pytest.approx(areas @ np.arange(len(areas)), rel=1e-6)
