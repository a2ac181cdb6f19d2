"""Shapes and closed forms against a library's numerical integration."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad

from balewright.plan.film.arcs import lay_arcs
from balewright.plan.film.revolved import straight_short_m2
from balewright.plan.film.shape import Shape, areas_m2, film_path_of, round_path_m, volume_m3

SHAPES = [
    Shape(1.20, 1.32, 1.26, 1.23, 0.07),
    Shape(1.35, 1.25, 1.31, 1.18),
    Shape(1.20, 1.25, 1.30, 1.23, 0.12),
]


def radius(shape: Shape, along_m: float) -> float:
    """The body's radius, by Lagrange through both ends and the middle."""
    half = shape.length_m / 2 - shape.shoulder_m
    t = along_m / half
    left, middle, right = shape.left_m / 2, shape.middle_m / 2, shape.right_m / 2
    return left * t * (t - 1) / 2 + middle * (1 - t**2) + right * t * (t + 1) / 2


def slope(shape: Shape, along_m: float) -> float:
    """Its derivative, by a difference that is exact for a parabola."""
    return (radius(shape, along_m + 1e-3) - radius(shape, along_m - 1e-3)) / 2e-3


@pytest.mark.reference
@pytest.mark.check(model="film.shape", source="scipy-integrate")
@pytest.mark.parametrize("shape", SHAPES, ids=["barrel", "waist", "cone"])
def test_path_area_and_volume(shape: Shape) -> None:
    """Way over the body, its area, the volume and the film path, each integrated by the library."""
    half, rho = shape.length_m / 2 - shape.shoulder_m, shape.shoulder_m
    way = quad(lambda x: math.hypot(1, slope(shape, x)), -half, half)[0]
    assert round_path_m(shape) == pytest.approx(way + math.pi * rho, rel=1e-9)
    body = quad(
        lambda x: 2 * math.pi * radius(shape, x) * math.hypot(1, slope(shape, x)), -half, half
    )[0]
    assert areas_m2(shape)[0] == pytest.approx(body, rel=1e-9)
    volume = quad(lambda x: math.pi * radius(shape, x) ** 2, -half, half)[0]
    flats = 0.0
    for across_m in (shape.left_m, shape.right_m):
        core = across_m / 2 - rho
        flats += 2 * core
        volume += quad(lambda z: math.pi * (core + math.sqrt(rho**2 - z**2)) ** 2, 0, rho)[0]  # noqa: B023
    assert volume_m3(shape) == pytest.approx(volume, rel=1e-9)
    assert film_path_of(shape) == pytest.approx(2 * (way + math.pi * rho) + flats, rel=1e-9)


@pytest.mark.reference
@pytest.mark.check(model="film.revolved", source="scipy-integrate")
@pytest.mark.parametrize("shape", SHAPES, ids=["barrel", "waist", "cone"])
@pytest.mark.parametrize("need", [1, 2, 4])
def test_area_short_under_straight_strips(shape: Shape, need: int) -> None:
    """The closed form is the library's integral of what single circles leave short.

    Each circle is counted by the one-circle code of the plain bale, the whole body by the
    library's adaptive rule; kinks cost it some digits, and 1e-6 m2 are allowed.
    """
    strip_m = 0.5
    places = [(j * 0.439 + j**2 * 0.003) % 1.0 for j in range(14)]

    def short_m(along_m: float) -> float:
        girth_m = 2 * math.pi * radius(shape, along_m)
        share = lay_arcs(places, strip_m / 2 / girth_m).short_frac(need)
        return share * girth_m * math.hypot(1, slope(shape, along_m))

    half = shape.length_m / 2 - shape.shoulder_m
    summed = quad(short_m, -half, half, limit=400, epsabs=1e-8)[0]
    ours = straight_short_m2(shape, np.array(places), strip_m, need)[0]
    assert ours == pytest.approx(summed, abs=1e-6)
    assert 0.0 < ours < areas_m2(shape)[0]
