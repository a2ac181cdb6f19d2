"""How many layers of film lie where on a bale as it is: any shape, strips as they really lie."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.plan.film.arcs import SPOT
from balewright.plan.film.course import Course
from balewright.plan.film.flats import count_flat
from balewright.plan.film.laying import (
    Girth,
    Laying,
    Strips,
    flat_lines_m,
    require_fit,
    strips_of,
)
from balewright.plan.film.real_circles import SIDES, Ring, flat_ring, laid_round_m2, round_rings
from balewright.plan.film.real_count import Cover, RealCount, Side, SideCount, Spot
from balewright.plan.film.revolved import straight_short_m2
from balewright.plan.film.shape import Floats, Shape, areas_m2, film_path_of
from balewright.plan.film.slices import areas_by_layers
from balewright.quantities.checks import require_count

__all__ = ["Cover", "RealCount", "Side", "SideCount", "Spot", "count_real_bale"]

_NEARLY: Final = 0.98
"""Arcs as wide as this share of the widest are taken for as wide."""


@dataclass(frozen=True)
class _Asked:
    shape: Shape
    laying: Laying
    strips: Strips
    need: int


def count_real_bale(shape: Shape, laying: Laying, course: Course, need_layers: int) -> RealCount:
    """Count the layers on every spot of a real bale.

    need_layers: 1 to 40. Arcs on each circle round the bale are exact; areas are sums over
    circles with their error, or in closed form where strips are straight. Spots under 1e-9 of a
    side do not count, and a short spot that fits between two circles (about 1 cm) can be missed
    where strips are skewed or tilted. Raises BadInput where a strip reaches round half of the
    bale or film runs past it. Source key: `real-bale`.
    """
    require_count("need_layers", need_layers, 1, 40)
    require_fit(shape, laying)
    asked = _Asked(shape, laying, strips_of(laying, course), need_layers)
    wrap = _cover(asked, laying.bands)
    bound = _cover(asked, (*laying.bands, *laying.binding)) if laying.binding else wrap
    round_m2 = laid_round_m2(shape, laying, asked.strips, laying.bands)
    over_m2, gathered_m2 = _over_flats(asked)
    return RealCount(
        shape=shape,
        need_layers=need_layers,
        wrap=wrap,
        bound=bound,
        film_m2=round_m2 + over_m2,
        gathered_m2=gathered_m2,
        path_m=film_path_of(shape),
    )


def _over_flats(asked: _Asked) -> tuple[float, float]:
    """Film laid over the flat sides, width times length, and what of it gathers at the rims."""
    laid = gathered = 0.0
    for side in (0, 1):
        strips, radius_m = asked.strips, asked.shape.flat_radius_m(side)
        over = strips.over(side)
        width_m = strips.width_m[over]
        line_m = flat_lines_m(asked.shape, asked.laying, strips, side)[over]
        film = width_m * 2.0 * np.sqrt(np.maximum(0.0, radius_m**2 - line_m**2))
        edges = np.clip(np.stack([line_m - width_m / 2, line_m + width_m / 2]) / radius_m, -1, 1)
        below = radius_m**2 * (edges * np.sqrt(1.0 - edges**2) + np.arcsin(edges))
        laid += float(film.sum())
        gathered += float((film - (below[1] - below[0])).sum())
    return laid, gathered


def _cover(asked: _Asked, girths: tuple[Girth, ...]) -> Cover:
    """All sides of the bale, with these bands round the girth."""
    areas = areas_m2(asked.shape)
    exact: tuple[float, ...] | None = None
    if asked.laying.is_straight and not girths:
        exact = straight_short_m2(
            asked.shape, asked.strips.place_turn, asked.laying.strip_m, asked.need
        )
    counts = []
    rings = round_rings(asked.shape, asked.laying, asked.strips, girths)
    for place, ring in enumerate(rings):
        count = _count(ring, areas[place], asked.need)
        if exact is not None:
            count = _with_short(count, exact[place])
        counts.append(count)
    for side in (0, 1):
        ring = flat_ring(asked.shape, asked.laying, asked.strips, side)
        count = _count(ring, areas[3 + side], asked.need)
        counts.append(_exact_flat(asked, count, side) if asked.laying.is_straight else count)
    return Cover(tuple(count for count in counts if count.area_m2 > 0.0))


def _with_short(count: SideCount, short_m2: float) -> SideCount:
    """The same side with its area short in closed form."""
    is_short = short_m2 > SPOT * count.area_m2 and count.sliver_m > 0.0
    return replace(count, short_m2=short_m2 if is_short else 0.0, error_m2=0.0)


def _exact_flat(asked: _Asked, count: SideCount, side: int) -> SideCount:
    """The same flat side, as plane geometry has it for strips through its middle."""
    strips = asked.strips
    directions = 2.0 * strips.normal_turn[strips.over(side)] - 0.5
    across_m = 2.0 * asked.shape.flat_radius_m(side)
    flat = count_flat(directions.tolist(), across_m, asked.laying.strip_m, asked.need)
    return replace(
        count,
        short_m2=flat.short_frac * count.area_m2,
        error_m2=0.0,
        sliver_m=flat.sliver_m,
        spot=replace(count.spot, layers=flat.thinnest),
    )


def _count(ring: Ring, area_m2: float, need: int) -> SideCount:
    """One side from its circles."""
    side = SIDES[ring.side]
    fine = coarse = np.zeros(1)
    slivers_m, fewest = [], []
    for rows in ring.chunks():
        circles = ring.count(rows)
        fine = _added(fine, areas_by_layers(circles, ring.fine_m2[rows]))
        coarse = _added(coarse, areas_by_layers(circles, ring.coarse_m2[rows]))
        slivers_m.append(circles.widest(need)[0] * ring.girth_m[rows])
        fewest.append(np.where(circles.lengths > SPOT, circles.layers, np.inf).min(axis=1))
    reached = np.cumsum(fine) > SPOT * area_m2
    thinnest = int(np.argmax(reached)) if reached.any() else 0
    short_m2 = float(fine[:need].sum())
    is_short = thinnest < need and short_m2 > 0.0
    return SideCount(
        side=side,
        area_m2=area_m2,
        short_m2=min(short_m2, area_m2) if is_short else 0.0,
        error_m2=abs(short_m2 - float(coarse[:need].sum())),
        sliver_m=float(np.concatenate(slivers_m).max()) if is_short else 0.0,
        layers_m2=tuple(fine.tolist()),
        spot=_thin_spot(ring, np.concatenate(fewest) <= thinnest, thinnest),
    )


def _added(one: Floats, other: Floats) -> Floats:
    """Two histograms of different length, added."""
    total = np.zeros(max(len(one), len(other)))
    total[: len(one)] += one
    total[: len(other)] += other
    return total


def _thin_spot(ring: Ring, is_thin: NDArray[np.bool_], thinnest: int) -> Spot:
    """The widest arc with the fewest layers; among arcs nearly as wide, well inside of them."""
    rows = np.flatnonzero(is_thin)
    if not len(rows):
        rows = np.zeros(1, dtype=np.int64)
    counted = [ring.count(chunk).widest(thinnest + 1) for chunk in ring.chunks(rows)]
    runs, ends = (np.concatenate(column) for column in zip(*counted, strict=True))
    wide_m = runs * ring.girth_m[rows]
    near = np.flatnonzero(wide_m >= _NEARLY * wide_m.max())
    stretches = np.split(near, np.flatnonzero(np.diff(rows[near]) > 1) + 1)
    longest = max(stretches, key=len)
    pick = longest[len(longest) // 2]
    row = rows[pick]
    return Spot(
        side=SIDES[ring.side],
        layers=thinnest,
        along_m=float(ring.along_m[row]),
        radius_m=float(ring.girth_m[row]) / (2.0 * math.pi),
        place_turn=float(ends[pick] - runs[pick] / 2.0) % 1.0,
        wide_m=float(wide_m[pick]),
    )
