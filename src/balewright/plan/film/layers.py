"""How many layers of film lie where on a bale: exact, from the strips that crossed it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from balewright.plan.film.arcs import SPOT, Arcs, lay_arcs
from balewright.plan.film.crossings import (
    Wrapping,
    bale_turn_from_advance,
    flat_directions,
    round_centres,
    whole_layers,
)
from balewright.plan.film.flats import FlatCount, count_flat
from balewright.plan.film.strip import Bale
from balewright.quantities.errors import BadInput, Fault

__all__ = [
    "Arcs",
    "Bale",
    "FlatCount",
    "LayerCount",
    "Strips",
    "Wrapping",
    "bale_turn_from_advance",
    "count_layers",
    "count_round",
    "count_strips",
    "lay_round",
    "whole_layers",
]


@dataclass(frozen=True)
class Strips:
    """Where the strips of one bale lie, however they came there.

    width_m: on the bale; centres: middle lines on the round side, in turns round the bale;
    directions: over each of the two flat sides, in half turns.
    """

    width_m: float
    centres: tuple[float, ...]
    directions: tuple[Sequence[float], Sequence[float]]


@dataclass(frozen=True)
class LayerCount:
    """Layers on a whole bale. The round side and the flat sides are told apart.

    thinnest, round_mean: of wrap film on the round side; short_frac: share of the round side with
    fewer layers than needed; sliver_m: its widest connected stretch round the bale, over the
    whole length of the bale; thin_at_frac: middle of the widest stretch with the fewest layers,
    as a fraction of the way round from where the first dispenser started; arcs: the round side
    cut where layers change; flats: the two flat sides; `thinnest_with_binding` and the `bound_`
    values count the binding film too, which lies on the round side only.
    """

    thinnest: int
    round_mean: float
    short_frac: float
    sliver_m: float
    thin_at_frac: float
    arcs: Arcs
    flats: tuple[FlatCount, FlatCount]
    thinnest_with_binding: int
    bound_short_frac: float
    bound_sliver_m: float

    @property
    def flat(self) -> FlatCount:
        """The poorer of the two flat sides."""
        return max(self.flats, key=lambda flat: (flat.short_frac, -flat.thinnest))

    @property
    def thinnest_anywhere(self) -> int:
        """Fewest layers of wrap film on any side."""
        return min(self.thinnest, *(flat.thinnest for flat in self.flats))


def count_round(bale: Bale, wrapping: Wrapping) -> Arcs:
    """The round side alone, cut where layers of wrap film change; as `count_layers`, and faster."""
    return lay_round(bale, wrapping.strip_m, round_centres(wrapping))


def lay_round(bale: Bale, strip_m: float, centres: Sequence[float]) -> Arcs:
    """The round side cut where layers change, from where the strips' middle lines lie.

    strip_m: width on the bale, above 0; centres: in turns round the bale. Raises BadInput where
    the strip would reach round more than half of the bale. Source key: `geometry`.
    """
    girth_m = math.pi * bale.diameter_m
    if strip_m >= girth_m / 2.0:
        raise BadInput(
            Fault(
                place="strip_m",
                need=f"a strip narrower than half the bale's girth ({girth_m / 2.0:.3f} m)",
                given=f"{strip_m!r}",
                cure="Check width and diameter: both are in metres.",
            )
        )
    return lay_arcs(centres, strip_m / (2.0 * girth_m))


def count_layers(bale: Bale, wrapping: Wrapping) -> LayerCount:
    """Count the layers on every spot of a bale.

    Spots under 1e-9 of a side do not count. Raises BadInput where the strip would reach round
    more than half of the bale. Valid for a round bale of one diameter, strips laid straight at
    mid-height and film that does not slip. Source key: `geometry`.
    """
    strips = Strips(wrapping.strip_m, tuple(round_centres(wrapping)), flat_directions(wrapping))
    return count_strips(bale, strips, wrapping.need_layers, wrapping.binding_layers)


def count_strips(
    bale: Bale, strips: Strips, need_layers: int, binding_layers: int = 0
) -> LayerCount:
    """Count the layers on every spot of a bale from where its strips fell; as `count_layers`.

    need_layers: at least 1; binding_layers: whole layers of binding film on the round side.
    """
    girth_m = math.pi * bale.diameter_m
    arcs = lay_round(bale, strips.width_m, strips.centres)
    still_needed = need_layers - binding_layers
    one_side, other_side = (
        count_flat(directions, bale.diameter_m, strips.width_m, need_layers)
        for directions in strips.directions
    )
    thinnest = arcs.thinnest()
    return LayerCount(
        thinnest=thinnest,
        round_mean=arcs.mean(),
        short_frac=counted_share(arcs.short_frac(need_layers)),
        sliver_m=girth_m * _widest(arcs, need_layers)[1],
        thin_at_frac=_middle(*_widest(arcs, thinnest + 1)),
        arcs=arcs,
        flats=(one_side, other_side),
        thinnest_with_binding=thinnest + binding_layers,
        bound_short_frac=counted_share(arcs.short_frac(still_needed)),
        bound_sliver_m=girth_m * _widest(arcs, still_needed)[1],
    )


def counted_share(share: float) -> float:
    """A share of a side, 0 where it is too small to count and never above 1."""
    return min(share, 1.0) if share > SPOT else 0.0


def _widest(arcs: Arcs, need: int) -> tuple[float, float]:
    """Start and length of the widest stretch short of `need`; the first of equals, (0, 0) if none.

    Stretches that differ by less than a spot are equal, so that rounding does not choose.
    """
    best = (0.0, 0.0)
    for start, length in arcs.slivers(need):
        if length > best[1] + SPOT:
            best = (start, length)
    return best


def _middle(start: float, length: float) -> float:
    return (start + length / 2.0) % 1.0
