"""The shape of a bale that is no cylinder: tapered, barrelled, with rounded shoulders.

A surface of revolution. The body's radius is a parabola through the two ends and the middle, so a
cylinder, a cone, a barrel, a waist and anything between are one shape. A shoulder is a quarter of
a torus between the body's end and the flat side. Places along the bale are counted from its
middle: the left end, at flat side 1, is negative.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.plan.film.strip import Bale
from balewright.quantities.checks import require_between
from balewright.quantities.errors import BadInput, Fault

Floats = NDArray[np.float64]

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(24)
#: The steepest body that is one: a taper of 0.35 m on either side of a metre.
_STEEPEST: Final = 0.7
_SHARP_M: Final = 1e-6


@dataclass(frozen=True)
class Shape:
    """A bale as a surface of revolution.

    left_m, middle_m, right_m: diameters where the left shoulder begins, in the middle, and where
    the right shoulder begins, 0.3 to 3; length_m: along the axis, shoulders included, 0.3 to 3;
    shoulder_m: radius of the rounded shoulders, 0 (sharp, as is all under 1e-6) to 0.3.
    """

    left_m: float
    middle_m: float
    right_m: float
    length_m: float
    shoulder_m: float = 0.0

    def __post_init__(self) -> None:
        for name in ("left_m", "middle_m", "right_m", "length_m"):
            require_between(name, getattr(self, name), 0.3, 3.0)
        widest_m = min(0.3, 0.45 * self.length_m, 0.45 * min(self.left_m, self.right_m))
        require_between("shoulder_m", self.shoulder_m, 0.0, widest_m)
        if self.shoulder_m < _SHARP_M:
            object.__setattr__(self, "shoulder_m", 0.0)
        steepest = max(abs(self._slope(self.half_body_m)), abs(self._slope(-self.half_body_m)))
        if steepest > _STEEPEST:
            raise BadInput(
                Fault(
                    place="left_m",
                    need="diameters that differ by less along the bale",
                    given=f"{self.left_m:g}, {self.middle_m:g} and {self.right_m:g}",
                    cure="Check the diameters at the ends and in the middle: all in metres.",
                )
            )

    @property
    def half_body_m(self) -> float:
        """Half the length of the body, along the axis, without the shoulders."""
        return self.length_m / 2.0 - self.shoulder_m

    @property
    def _bend(self) -> tuple[float, float]:
        """Radius = middle + first x + second x^2: the two factors."""
        half = self.half_body_m
        taper = (self.right_m - self.left_m) / 4.0 / half
        bulge = (self.left_m + self.right_m - 2.0 * self.middle_m) / 4.0 / half**2
        return taper, bulge

    def _slope(self, along_m: float) -> float:
        taper, bulge = self._bend
        return taper + 2.0 * bulge * along_m

    @property
    def is_cylinder(self) -> bool:
        """Whether the body has one diameter; its shoulders may still be round."""
        return self.left_m == self.middle_m == self.right_m

    def body_radius_m(self, along_m: Floats) -> Floats:
        """Radius of the body at places along it, from -half_body_m to half_body_m."""
        taper, bulge = self._bend
        return self.middle_m / 2.0 + taper * along_m + bulge * along_m**2

    def body_slope(self, along_m: Floats) -> Floats:
        """How the radius grows along the axis, metre by metre."""
        taper, bulge = self._bend
        return taper + 2.0 * bulge * along_m

    def body_path_m(self, along_m: Floats) -> Floats:
        """Way over the body from its middle to these places, negative to the left."""
        reached = np.asarray(along_m, dtype=np.float64)[..., None] * (1.0 + _NODES) / 2.0
        stretch = np.sqrt(1.0 + self.body_slope(reached) ** 2)
        way: Floats = stretch @ _WEIGHTS * np.asarray(along_m) / 2.0
        return way

    def end_radius_m(self, side: int) -> float:
        """Radius of the body's end at flat side 0 (left) or 1 (right)."""
        return (self.left_m, self.right_m)[side] / 2.0

    def flat_radius_m(self, side: int) -> float:
        """Radius of flat side 0 (left) or 1 (right): what the shoulder leaves of it."""
        return self.end_radius_m(side) - self.shoulder_m

    def half_path_m(self, side: int) -> float:
        """Way over the round side from its middle to flat side 0 or 1, the shoulder included."""
        end = np.array([(-self.half_body_m, self.half_body_m)[side]])
        return abs(float(self.body_path_m(end)[0])) + self.shoulder_m * math.pi / 2.0


def shape_of(bale: Bale, shoulder_m: float = 0.0) -> Shape:
    """A cylinder as a shape; shoulder_m: 0 to 0.3."""
    across_m = bale.diameter_m
    return Shape(across_m, across_m, across_m, bale.length_m, shoulder_m)


def round_path_m(shape: Shape) -> float:
    """Way of the film over the round side once, shoulders included."""
    return shape.half_path_m(0) + shape.half_path_m(1)


def film_path_of(shape: Shape) -> float:
    """Way of the film once round the bale, at mid-height.

    Twice along the round side and over each flat side once: 2 (D + L) for a sharp cylinder, and
    (2 - pi/2) times its radius less at each of four rounded corners. Source key: `geometry`.
    """
    flats_m = 2.0 * (shape.flat_radius_m(0) + shape.flat_radius_m(1))
    return 2.0 * round_path_m(shape) + flats_m


def volume_m3(shape: Shape) -> float:
    """Volume of the bale. Source key: `geometry`."""
    radius_m = shape.body_radius_m(shape.half_body_m * _NODES)
    body = math.pi * shape.half_body_m * float(_WEIGHTS @ radius_m**2)
    rounding = shape.shoulder_m
    for side in (0, 1):
        core_m = shape.flat_radius_m(side)
        body += math.pi * (core_m**2 * rounding + core_m * math.pi * rounding**2 / 2.0)
        body += math.pi * rounding**3 * 2.0 / 3.0
    return body


def areas_m2(shape: Shape) -> tuple[float, float, float, float, float]:
    """Area of the body, of the shoulders left and right, and of the flat sides left and right.

    Source key: `geometry`.
    """
    along_m = shape.half_body_m * _NODES
    stretch = np.sqrt(1.0 + shape.body_slope(along_m) ** 2)
    radius_m = shape.body_radius_m(along_m)
    body = 2.0 * math.pi * shape.half_body_m * float(_WEIGHTS @ (radius_m * stretch))
    flats = [math.pi * shape.flat_radius_m(side) ** 2 for side in (0, 1)]
    rounding = shape.shoulder_m
    shoulders = [
        2.0 * math.pi * rounding * (shape.flat_radius_m(side) * math.pi / 2.0 + rounding)
        for side in (0, 1)
    ]
    return body, shoulders[0], shoulders[1], flats[0], flats[1]


def shell_share_frac(shape: Shape, depth_m: float) -> float:
    """Share of the bale's volume that lies within `depth_m` of the film.

    depth_m: 0 to half of the thinnest way through the bale. Measured square to the axis on the
    body and along it at the flat sides; the body's taper shifts that by less than the square of
    its slope. Raises BadInput outside. Source key: `geometry`.
    """
    thinnest_m = min(shape.left_m, shape.middle_m, shape.right_m, shape.length_m) / 2.0
    require_between("depth_m", depth_m, 0.0, thinnest_m - 0.001)
    half_m = shape.half_body_m
    inner_m = shape.length_m / 2.0 - depth_m
    rounding_m = max(0.0, shape.shoulder_m - depth_m)
    reach_m = min(half_m, inner_m - rounding_m)
    core_m3 = 0.0
    for side, sign in ((0, -1.0), (1, 1.0)):
        along_m = sign * reach_m * (1.0 + _NODES) / 2.0
        radius_m = shape.body_radius_m(along_m) - depth_m
        core_m3 += math.pi * reach_m / 2.0 * float(_WEIGHTS @ radius_m**2)
        if rounding_m > 0.0:
            flat_m = shape.end_radius_m(side) - shape.shoulder_m
            core_m3 += math.pi * (flat_m**2 + flat_m * math.pi * rounding_m / 2.0) * rounding_m
            core_m3 += math.pi * rounding_m**3 * 2.0 / 3.0
    return 1.0 - core_m3 / volume_m3(shape)
