"""Circles round a bale, many at once: the arcs on each are counted exactly, then summed.

Between two circles nothing is known, so areas carry an error: the same circles are summed by a
rule of high order (Kronrod, 7 points) and by the coarser one inside it (Lobatto, 4 points), piece
by piece, and the difference is reported. Both rules hold the ends of every piece, so a circle
that is short of film is never left out of the area.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from balewright.plan.film.arcs import SPOT
from balewright.plan.film.shape import Floats

Ints = NDArray[np.int64]

_INNER = (math.sqrt(2.0 / 3.0), 1.0 / math.sqrt(5.0))
_NODES = np.array([-1.0, -_INNER[0], -_INNER[1], 0.0, _INNER[1], _INNER[0], 1.0])
_FINE = np.array([77.0, 432.0, 625.0, 672.0, 625.0, 432.0, 77.0]) / 1470.0
_COARSE = np.array([1.0, 0.0, 5.0, 0.0, 5.0, 0.0, 1.0]) / 6.0
_INSIDE = 1.0 - 1e-9
"""Ends of a piece are looked at from inside it: a breakpoint belongs to neither neighbour."""


@dataclass(frozen=True)
class Rule:
    """Places from a to b with their weights: fine ones for the sum, coarse ones for its error."""

    places: Floats
    fine: Floats
    coarse: Floats


def rule_between(breaks: Sequence[float], pieces: Sequence[int], rooted: bool = False) -> Rule:
    """A composite rule between rising breakpoints.

    pieces: into how many each stretch is cut; rooted: whether what is summed may rise like a
    square root just after a breakpoint, as where a circle first leaves a band; the places are
    then gathered there.
    """
    places: list[Floats] = []
    fine: list[Floats] = []
    coarse: list[Floats] = []
    for low, high, many in zip(breaks[:-1], breaks[1:], pieces, strict=True):
        half = 0.5 / many
        middles = (2.0 * np.arange(many) + 1.0) * half
        inside = (middles[:, None] + half * _NODES[None, :] * _INSIDE).ravel()
        ups = [np.tile(weights * half, many) for weights in (_FINE, _COARSE)]
        if rooted:
            ups = [up * 2.0 * inside for up in ups]
            inside = inside**2
        places.append(low + (high - low) * inside)
        fine.append(ups[0] * (high - low))
        coarse.append(ups[1] * (high - low))
    return Rule(*(np.concatenate(parts) for parts in (places, fine, coarse)))


@dataclass(frozen=True)
class Circles:
    """Layers on circles, one row each.

    edges: rising places round the bale, in turns; layers[i, j] lie from edges[i, j] on to the
    next edge, the last ones on to the first; lengths: of these arcs, together 1.
    """

    edges: Floats
    layers: Ints
    lengths: Floats

    def widest(self, need: int) -> tuple[Floats, Floats]:
        """On each circle the widest connected arc with fewer than `need` layers, and its end.

        In turns; 0 where no arc is short. Arcs under a spot neither count nor part two others.
        """
        seen = self.lengths > SPOT
        good = np.tile((self.layers >= need) & seen, 2)
        lengths = np.tile(np.where(seen, self.lengths, 0.0), 2)
        way = np.cumsum(lengths, axis=1)
        since = np.maximum.accumulate(np.where(good, way, 0.0), axis=1)
        runs = np.minimum(way - since, 1.0)
        last = np.argmax(runs, axis=1)
        rows = np.arange(len(runs))
        columns = self.edges.shape[1]
        ends = self.edges[rows, last % columns] + self.lengths[rows, last % columns]
        return runs[rows, last], ends


def count_circles(starts: Floats, widths: Floats, everywhere: Ints) -> Circles:
    """Layers on circles from the arcs laid on each.

    starts, widths: one row a circle and one column an arc, in turns; any start, widths from 0 up
    (1 and more cover the whole circle); everywhere: layers all round each circle. Exact up to
    rounding. Source key: `geometry`.
    """
    rows, arcs = starts.shape
    if arcs == 0:
        bare = np.zeros((rows, 1))
        return Circles(bare, everywhere[:, None].astype(np.int64), bare + 1.0)
    full = widths >= 1.0
    wide = np.where(full, 0.0, widths)
    begin = starts % 1.0
    end = begin + wide
    through = end >= 1.0
    edges = np.concatenate([begin, np.where(through, end - 1.0, end)], axis=1)
    order = np.argsort(edges, axis=1)
    edges = np.take_along_axis(edges, order, axis=1)
    step = np.where(order < arcs, 1, -1)
    base = everywhere + full.sum(axis=1) + through.sum(axis=1)
    # Arcs of no width end where they start, in any order: between is no arc, and no count.
    layers = np.maximum(base[:, None] + np.cumsum(step, axis=1), 0)
    lengths = np.empty_like(edges)
    lengths[:, :-1] = np.diff(edges, axis=1)
    lengths[:, -1] = edges[:, 0] + 1.0 - edges[:, -1]
    return Circles(edges, layers, lengths)


def areas_by_layers(circles: Circles, weights: Floats) -> Floats:
    """Area (or whatever a whole circle's weight is) under 0, 1, 2, ... layers.

    Arcs under a spot of their circle are left out. weights: one a circle.
    """
    shares = np.where(circles.lengths > SPOT, circles.lengths, 0.0) * weights[:, None]
    summed = np.bincount(circles.layers.ravel(), weights=shares.ravel())
    return summed.astype(np.float64)
