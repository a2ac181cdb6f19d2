"""The circles on each side of a real bale, and the arcs that strips and bands lay on them."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.plan.film.laying import Girth, Laying, Strips, flat_lines_m, plane_height_m
from balewright.plan.film.real_count import Side
from balewright.plan.film.shape import Floats, Shape, film_path_of
from balewright.plan.film.slices import Circles, Ints, Rule, count_circles, rule_between

SIDES: Final = tuple(Side)
_TURN: Final = 2.0 * math.pi
_PIECES: Final = 24
"""Pieces that a side is cut into, seven circles on each: about a centimetre apart."""
_MOST: Final = 2_000_000
"""Arcs held at once: a bale with thousands of turns is counted in several goes."""
_LEAST_RADIUS_M: Final = 1e-9

Arcs = Callable[[Ints], tuple[Floats, Floats, Ints]]


@dataclass(frozen=True)
class Ring:
    """The circles on one side, one row each.

    side: place in `SIDES`; along_m: from the bale's middle; girth_m: length of the circle;
    fine_m2, coarse_m2: the area each stands for, by the two rules; arcs: starts, widths and
    whole layers of chosen rows; strips: how many arcs a row has at most.
    """

    side: int
    along_m: Floats
    girth_m: Floats
    fine_m2: Floats
    coarse_m2: Floats
    arcs: Arcs
    strips: int

    def chunks(self, rows: NDArray[np.int64] | None = None) -> Iterator[Ints]:
        """All rows, or these, in goes that fit into memory."""
        which = np.arange(len(self.along_m)) if rows is None else rows
        step = max(1, _MOST // max(1, self.strips))
        for first in range(0, len(which), step):
            yield which[first : first + step]

    def count(self, rows: Ints) -> Circles:
        """Layers on these rows."""
        return count_circles(*self.arcs(rows))


@dataclass(frozen=True)
class Meridian:
    """Places on the way over the round side, one a row.

    along_m: along the axis; radius_m: from it; way_m: from the middle over the surface;
    along_rate, radius_rate: how the first two grow with the way; rule: weights along the way.
    """

    along_m: Floats
    radius_m: Floats
    way_m: Floats
    along_rate: Floats
    radius_rate: Floats
    rule: Rule


def body_meridian(shape: Shape, rule: Rule) -> Meridian:
    """The body at the rule's places along the axis."""
    slope = shape.body_slope(rule.places)
    stretch = np.sqrt(1.0 + slope**2)
    return Meridian(
        rule.places,
        shape.body_radius_m(rule.places),
        shape.body_path_m(rule.places),
        1.0 / stretch,
        slope / stretch,
        Rule(rule.places, rule.fine * stretch, rule.coarse * stretch),
    )


def shoulder_meridian(shape: Shape, rule: Rule, side: int) -> Meridian:
    """One shoulder at the rule's angles, 0 at the body to a right angle at the flat side."""
    sign, rho_m = (-1.0, 1.0)[side], shape.shoulder_m
    angle = rule.places
    body_m = shape.half_path_m(side) - rho_m * math.pi / 2.0
    return Meridian(
        sign * (shape.half_body_m + rho_m * np.sin(angle)),
        shape.flat_radius_m(side) + rho_m * np.cos(angle),
        sign * (body_m + rho_m * angle),
        np.cos(angle),
        -sign * np.sin(angle),
        Rule(angle, rule.fine * rho_m, rule.coarse * rho_m),
    )


def round_arcs(shape: Shape, laying: Laying, strips: Strips, at: Meridian) -> tuple[Floats, Floats]:
    """Middle and width of every strip on these circles, in turns: one row a circle."""
    height_m = plane_height_m(laying, at.along_m)
    rise = math.tan(laying.tilt_rad) * at.along_rate
    reach_m = np.sqrt(at.radius_m**2 - height_m**2)
    lean = (rise * at.radius_m - height_m * at.radius_rate) / reach_m
    rate = strips.round_rate / film_path_of(shape)
    slope = lean[:, None] + _TURN * at.radius_m[:, None] * rate[None, :]
    widths = strips.width_m[None, :] * np.sqrt(1.0 + slope**2) / (_TURN * at.radius_m)[:, None]
    shift = np.arcsin(height_m / at.radius_m)[:, None] / _TURN + rate[None, :] * at.way_m[:, None]
    return strips.place_turn[None, :] + strips.face[None, :] * shift, widths


def round_rings(
    shape: Shape, laying: Laying, strips: Strips, girths: tuple[Girth, ...]
) -> Iterator[Ring]:
    """The circles of the body and, where there are any, of the shoulders left and right."""
    for side, at in enumerate(_meridians(shape, laying, girths)):
        yield ring_of(shape, laying, strips, girths, (side, at))


def ring_of(
    shape: Shape,
    laying: Laying,
    strips: Strips,
    girths: tuple[Girth, ...],
    part: tuple[int, Meridian],
) -> Ring:
    """The circles of one part of the round side: its place in `SIDES`, and where they lie."""
    side, at = part
    girth_m = _TURN * at.radius_m

    def arcs(rows: Ints) -> tuple[Floats, Floats, Ints]:
        here = _rows(at, rows)
        middles, widths = round_arcs(shape, laying, strips, here)
        begun, wide, whole = _girth_arcs(girths, here.way_m)
        starts = np.concatenate([middles - widths / 2.0, begun], axis=1)
        return starts, np.concatenate([widths, wide], axis=1), whole

    fine_m2, coarse_m2 = at.rule.fine * girth_m, at.rule.coarse * girth_m
    many = 2 * (len(strips) + len(girths))
    return Ring(side, at.along_m, girth_m, fine_m2, coarse_m2, arcs, many)


def _rows(at: Meridian, rows: Ints) -> Meridian:
    return Meridian(
        at.along_m[rows],
        at.radius_m[rows],
        at.way_m[rows],
        at.along_rate[rows],
        at.radius_rate[rows],
        at.rule,
    )


def _meridians(shape: Shape, laying: Laying, girths: tuple[Girth, ...]) -> Iterator[Meridian]:
    edges_m = {edge for girth in girths for edge in (girth.from_m, girth.to_m)}
    half = shape.half_body_m
    ends = shape.body_path_m(np.array([-half, half]))
    inside = [_along_body(shape, edge) for edge in edges_m if ends[0] < edge < ends[1]]
    same = shape.is_cylinder and laying.is_straight
    breaks = sorted({-half, half, *inside} | (set() if same else {0.0}))
    many = len(breaks) - 1
    pieces = 1 if same else max(2, round(_PIECES / many))
    yield body_meridian(shape, rule_between(breaks, [pieces] * many))
    for side in (0, 1) if shape.shoulder_m > 0.0 else ():
        ways = [((-1.0, 1.0)[side] * edge - abs(ends[side])) for edge in edges_m]
        angles = [way / shape.shoulder_m for way in ways]
        right = math.pi / 2.0
        breaks = sorted({0.0, right, *(angle for angle in angles if 0.0 < angle < right)})
        many = len(breaks) - 1
        rule = rule_between(breaks, [max(2, _PIECES // 3 // many)] * many)
        yield shoulder_meridian(shape, rule, side)


def _along_body(shape: Shape, way_m: float) -> float:
    """The place along the axis that is so far over the body, by Newton's rule."""
    along = np.array([way_m])
    for _ in range(8):
        rate = np.sqrt(1.0 + shape.body_slope(along) ** 2)
        along = along - (shape.body_path_m(along) - way_m) / rate
    return float(along[0])


def _girth_arcs(girths: tuple[Girth, ...], way_m: Floats) -> tuple[Floats, Floats, Ints]:
    """Start and width of the turns only begun, and the whole layers of each circle."""
    starts = np.zeros((len(way_m), len(girths)))
    widths = np.zeros_like(starts)
    whole = np.zeros(len(way_m), dtype=np.int64)
    for column, girth in enumerate(girths):
        inside = (way_m > girth.from_m) & (way_m < girth.to_m)
        starts[:, column] = girth.start_turn
        widths[:, column] = np.where(inside, girth.begun_turn, 0.0)
        whole += np.where(inside, girth.whole, 0)
    return starts, widths, whole


def laid_round_m2(shape: Shape, laying: Laying, strips: Strips, girths: tuple[Girth, ...]) -> float:
    """Film on the round side, width times length of every strip and band that lies on it."""
    total = 0.0
    for at in _meridians(shape, laying, ()):
        reach = _TURN * at.radius_m * at.rule.fine
        for first in range(0, len(strips), 4096):
            some = slice(first, first + 4096)
            few = Strips(*(column[some] for column in vars(strips).values()))
            total += float(reach @ round_arcs(shape, laying, few, at)[1].sum(axis=1))
    for at in _meridians(shape, laying, girths) if girths else ():
        _, widths, whole = _girth_arcs(girths, at.way_m)
        total += float((_TURN * at.radius_m * at.rule.fine) @ (widths.sum(axis=1) + whole))
    return total


def flat_ring(
    shape: Shape, laying: Laying, strips: Strips, side: int, chosen: Rule | None = None
) -> Ring:
    """The circles of flat side 0 or 1, from its middle to its rim; chosen: radii of your own."""
    over = strips.over(side)
    line_m = flat_lines_m(shape, laying, strips, side)[over]
    normal, half_m = strips.normal_turn[over], strips.width_m[over] / 2.0
    radius_m = shape.flat_radius_m(side)
    rule = chosen or _flat_rule(line_m, half_m, radius_m)
    radii = np.maximum(rule.places, _LEAST_RADIUS_M)

    def arcs(rows: Ints) -> tuple[Floats, Floats, Ints]:
        from_middle = radii[rows][:, None]
        near = np.arccos(np.clip((line_m + half_m)[None, :] / from_middle, -1.0, 1.0)) / _TURN
        far = np.arccos(np.clip((line_m - half_m)[None, :] / from_middle, -1.0, 1.0)) / _TURN
        starts = np.concatenate([normal + near, normal - far], axis=1)
        widths = np.concatenate([far - near, far - near], axis=1)
        return starts, widths, np.zeros(len(rows), dtype=np.int64)

    girth_m = _TURN * radii
    along_m = np.full(len(radii), (-1.0, 1.0)[side] * shape.length_m / 2.0)
    fine_m2, coarse_m2 = girth_m * rule.fine, girth_m * rule.coarse
    return Ring(3 + side, along_m, girth_m, fine_m2, coarse_m2, arcs, 4 * len(line_m))


def _flat_rule(line_m: Floats, half_m: Floats, radius_m: float) -> Rule:
    """A rule from the middle to the rim, broken where a circle first leaves or meets a band.

    Where film is missing it is missing at the rim: most circles lie in the last stretch.
    """
    touched = np.abs(np.concatenate([line_m - half_m, line_m + half_m]))
    breaks = np.unique(np.round(touched[(touched > 1e-4) & (touched < radius_m - 1e-4)], 6))
    if len(breaks) > 8:
        breaks = breaks[np.linspace(0, len(breaks) - 1, 8).astype(int)]
    places = [0.0, *breaks.tolist(), radius_m]
    pieces = [2] * (len(places) - 2) + [_PIECES]
    return rule_between(places, pieces, rooted=True)
