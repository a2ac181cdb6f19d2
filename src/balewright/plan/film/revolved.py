"""Straight strips on the round side of any shape, in closed form.

A circle of radius r is short of n layers beyond the angle to its n-th nearest strip, a zigzag
whose corners do not depend on r. The area short is therefore a sum over corners a of the integral
of max(0, r a - w/2) along the way over the round side, one sign for the high corners and the
other for the low ones; where r a = w/2 is known, so every piece is smooth and its rule exact.
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np

from balewright.plan.film.shape import Floats, Shape

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(12)


def nearest_corners(places_turn: Floats, layers: int) -> tuple[Floats, Floats]:
    """The angle to the n-th nearest strip, as its low and its high corners, in radians.

    places_turn: middles of the strips, in turns; layers: 1 to the number of strips.
    """
    ordered = np.sort(places_turn % 1.0)
    both = np.concatenate([ordered, ordered + 1.0]) * 2.0 * math.pi
    first = np.arange(len(ordered))
    low: Floats = (both[first + layers - 1] - both[first]) / 2.0
    high: Floats = (both[first + layers] - both[first]) / 2.0
    return low, high


def straight_short_m2(
    shape: Shape, places_turn: Floats, strip_m: float, layers: int
) -> tuple[float, float, float]:
    """Area with fewer than `layers`: of the body, the left and the right shoulder.

    places_turn: middles of the strips, in turns round the bale; strip_m: above 0, narrower than
    half the girth. Valid for strips of one width in planes through the axis. Source key:
    `geometry`.
    """
    if layers > len(places_turn):
        corners = (np.zeros(1), np.full(1, math.pi))  # all of it: one corner, half way round
        return _all_sides(shape, corners, 0.0)
    return _all_sides(shape, nearest_corners(places_turn, layers), strip_m)


def _all_sides(
    shape: Shape, corners: tuple[Floats, Floats], strip_m: float
) -> tuple[float, float, float]:
    low, high = corners
    areas = []
    for integral in (_body, _left, _right):
        summed = integral(shape, high, strip_m).sum() - integral(shape, low, strip_m).sum()
        areas.append(2.0 * max(0.0, float(summed)))
    return areas[0], areas[1], areas[2]


def _body(shape: Shape, corners: Floats, strip_m: float) -> Floats:
    """Integral of max(0, r a - w/2) along the body, for each corner a."""
    half = shape.half_body_m
    ends = np.array([-half, 0.0, half])
    radii = shape.body_radius_m(ends)
    taper = (radii[2] - radii[0]) / 2.0 / half
    bulge = (radii[2] + radii[0] - 2.0 * radii[1]) / 2.0 / half**2
    wanted = strip_m / 2.0 / np.maximum(corners, 1e-9)
    rest = radii[1] - wanted
    if abs(bulge) * half**2 < 1e-12 * radii[1]:
        first = second = -rest / taper if abs(taper) > 1e-15 else np.full_like(rest, half)
    else:
        root = np.sqrt(np.maximum(0.0, taper**2 - 4.0 * bulge * rest))
        first, second = (-taper - root) / (2.0 * bulge), (-taper + root) / (2.0 * bulge)
    cuts = np.sort(np.clip(np.stack([first, second]), -half, half), axis=0)
    edges = np.concatenate([np.full((1, len(corners)), -half), cuts, np.full_like(cuts[:1], half)])
    total = np.zeros(len(corners))
    for low, high in pairwise(edges):
        along = (low + high)[:, None] / 2.0 + (high - low)[:, None] / 2.0 * _NODES
        stretch = np.sqrt(1.0 + shape.body_slope(along) ** 2)
        over = np.maximum(0.0, shape.body_radius_m(along) * corners[:, None] - strip_m / 2.0)
        total += (high - low) / 2.0 * ((over * stretch) @ _WEIGHTS)
    return total


def _left(shape: Shape, corners: Floats, strip_m: float) -> Floats:
    return _shoulder(shape, corners, strip_m, 0)


def _right(shape: Shape, corners: Floats, strip_m: float) -> Floats:
    return _shoulder(shape, corners, strip_m, 1)


def _shoulder(shape: Shape, corners: Floats, strip_m: float, side: int) -> Floats:
    """The same over a quarter of a torus: r = core + rho cos(u), u from 0 to a right angle."""
    rho_m, core_m = shape.shoulder_m, shape.flat_radius_m(side)
    if rho_m == 0.0:
        return np.zeros(len(corners))
    wanted = strip_m / 2.0 / np.maximum(corners, 1e-9)
    until = np.arccos(np.clip((wanted - core_m) / rho_m, 0.0, 1.0))
    reach = corners * (core_m * until + rho_m * np.sin(until)) - strip_m / 2.0 * until
    above = corners * (core_m + rho_m) > strip_m / 2.0
    integral: Floats = np.where(above, rho_m * reach, 0.0)
    return integral
