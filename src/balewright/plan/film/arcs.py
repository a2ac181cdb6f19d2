"""Half-open arcs laid on a circle, counted exactly: no sampling, only sorted edges.

Places on the circle are fractions of it, 0 up to 1. An arc holds its start and not its end, so
strips laid edge to edge neither double nor leave a gap. Edges that fall within `SPOT` of each
other are one edge: a spot narrower than that does not count, and rounding makes none.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import fsum
from typing import Final

#: Spots under this share of the circle do not count (4 nanometres on a bale).
SPOT: Final = 1e-9


@dataclass(frozen=True)
class Arcs:
    """A circle cut where the number of layers changes.

    starts: rising places, at least one; layers[i] lie from starts[i] up to the next start, the
    last ones on round to the first. Neighbours differ unless there is only one.
    """

    starts: tuple[float, ...]
    layers: tuple[int, ...]

    def lengths(self) -> tuple[float, ...]:
        """The length of each arc, as a fraction of the circle; together 1."""
        ends = (*self.starts[1:], self.starts[0] + 1.0)
        return tuple(end - start for start, end in zip(self.starts, ends, strict=True))

    def at(self, place_frac: float) -> int:
        """Layers at one place of the circle."""
        return self.layers[bisect_right(self.starts, place_frac % 1.0) - 1]

    def thinnest(self) -> int:
        """The fewest layers on any arc."""
        return min(self.layers)

    def mean(self) -> float:
        """Layers averaged over the circle."""
        return fsum(n * length for n, length in zip(self.layers, self.lengths(), strict=True))

    def short_frac(self, need: int) -> float:
        """Share of the circle with fewer than `need` layers."""
        counted = zip(self.layers, self.lengths(), strict=True)
        return fsum(length for n, length in counted if n < need)

    def slivers(self, need: int) -> Iterator[tuple[float, float]]:
        """Start and length of every connected stretch with fewer than `need` layers."""
        short = [n < need for n in self.layers]
        lengths = self.lengths()
        if all(short):
            yield self.starts[0], 1.0
            return
        first_good = short.index(False)
        run: tuple[float, float] | None = None
        for step in range(1, len(short) + 1):
            place = (first_good + step) % len(short)
            if short[place]:
                begun, so_far = run if run is not None else (self.starts[place], 0.0)
                run = (begun, so_far + lengths[place])
            elif run is not None:
                yield run
                run = None


def lay_arcs(centres: Iterable[float], half_frac: float) -> Arcs:
    """The circle after laying one arc [centre - half_frac, centre + half_frac) on each centre.

    centres: any real numbers, taken modulo 1; half_frac: above 0 and below 0.5. Exact up to
    rounding; thousands of arcs take milliseconds. Source key: `geometry`.
    """
    layers = 0  # on the stretch that runs through place 0
    edges: list[tuple[float, int]] = []
    for centre in centres:
        start, end = (centre - half_frac) % 1.0, (centre + half_frac) % 1.0
        layers += start > end
        edges += [(start, 1), (end, -1)]
    edges.sort()
    starts: list[float] = []
    counts: list[int] = []
    for place, step in edges:
        layers += step
        if starts and place - starts[-1] <= SPOT:
            counts[-1] = layers
        else:
            starts.append(place)
            counts.append(layers)
    if len(starts) > 1 and starts[0] + 1.0 - starts[-1] <= SPOT:
        starts.pop()
        counts.pop()
    return _join_equal(starts, counts, layers)


def _join_equal(starts: list[float], counts: list[int], through_zero: int) -> Arcs:
    """Drop the edges at which nothing changes (one strip's end on another's start)."""
    kept = [place for place in range(len(starts)) if counts[place] != counts[place - 1]]
    if not kept:
        return Arcs((0.0,), (counts[0] if counts else through_zero,))
    return Arcs(tuple(starts[i] for i in kept), tuple(counts[i] for i in kept))
