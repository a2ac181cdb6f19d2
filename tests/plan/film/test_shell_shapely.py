"""What lies near the film against a profile worn down by a geometry library."""

from __future__ import annotations

import math

import numpy as np
import pytest
from shapely.geometry import Polygon, box

from balewright.plan.film.shape import Shape, shell_share_frac


def profile(shape: Shape) -> Polygon:
    """The bale cut lengthwise through its axis: body by its radii, shoulders as quarter circles."""
    half, rho = shape.length_m / 2 - shape.shoulder_m, shape.shoulder_m
    along = np.linspace(-half, half, 801)
    t = along / half
    left, middle, right = shape.left_m / 2, shape.middle_m / 2, shape.right_m / 2
    body = left * t * (t - 1) / 2 + middle * (1 - t**2) + right * t * (t + 1) / 2
    turn = np.linspace(0.0, math.pi / 2, 201)
    upper = [
        *zip(-half - rho * np.cos(turn), left - rho + rho * np.sin(turn), strict=True),
        *zip(along, body, strict=True),
        *zip(half + rho * np.sin(turn), right - rho + rho * np.cos(turn), strict=True),
    ]
    whole = Polygon([*upper, *((x, -y) for x, y in reversed(upper))])
    return whole.simplify(1e-9)  # corners on a straight line wear unevenly


def turned_m3(cut: Polygon) -> float:
    """Volume of the solid that the upper half of a cut sweeps out (Pappus)."""
    half = cut.intersection(box(-9.0, 0.0, 9.0, 9.0))
    return float(2 * math.pi * half.centroid.y * half.area)


@pytest.mark.reference
@pytest.mark.check(model="film.shell", source="shapely")
@pytest.mark.parametrize("depth_m", [0.04, 0.10, 0.20])
@pytest.mark.parametrize(
    ("shape", "near"),
    [
        (Shape(1.25, 1.25, 1.25, 1.20), 1e-9),
        (Shape(1.25, 1.25, 1.25, 1.20, 0.12), 3e-5),
        (Shape(1.22, 1.28, 1.22, 1.20), 1e-3),
        (Shape(1.20, 1.23, 1.26, 1.20), 2e-4),
    ],
    ids=["sharp", "rounded", "barrel", "cone"],
)
def test_share_near_the_film(shape: Shape, near: float, depth_m: float) -> None:
    """Wearing the profile down by the depth leaves the core whose share is taken off one.

    Cylinders to rounding, and to the corners of the polygon where shoulders are round. The library
    wears square to the surface, ours square to the axis: that moves the share by less than a tenth
    of a per cent on the barrel (slope 0.1 at its ends) and a fiftieth on the cone (0.025).
    """
    whole = profile(shape)
    core = whole.buffer(-depth_m, join_style="mitre")
    theirs = 1.0 - turned_m3(core) / turned_m3(whole)
    assert shell_share_frac(shape, depth_m) == pytest.approx(theirs, abs=near)
