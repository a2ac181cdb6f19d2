"""How near the cliff: the same turns on a fatter bale.

A machine's surface advance stays what it is when the bale grows, so the bale turns less, the
girth is longer, and strips that just met come apart all at once.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

from balewright.plan.film.layers import Bale, Wrapping, count_round, counted_share

_STEP_M: Final = 0.005
#: How much fatter a bale is tried: more than a chamber differs from bale to bale.
REACH_M: Final = 0.30


@dataclass(frozen=True)
class OnDiameter:
    """What the same turns and the same surface advance give at one diameter (round side)."""

    diameter_m: float
    thinnest: int
    short_frac: float
    sliver_m: float


def count_at(bale: Bale, wrapping: Wrapping, diameter_m: float) -> OnDiameter:
    """Layers at another diameter, the surface advance of the machine held.

    bale: at which `wrapping.bale_turn` holds; diameter_m: 0.3 to 3. Source key: `geometry`.
    """
    slower = bale.diameter_m / diameter_m
    one_roll = wrapping.bale_turn_one_roll
    there = replace(
        wrapping,
        bale_turn=wrapping.bale_turn * slower,
        bale_turn_one_roll=None if one_roll is None else one_roll * slower,
    )
    arcs = count_round(replace(bale, diameter_m=diameter_m), there)
    widest = max((length for _, length in arcs.slivers(wrapping.need_layers)), default=0.0)
    return OnDiameter(
        diameter_m=diameter_m,
        thinnest=arcs.thinnest(),
        short_frac=counted_share(arcs.short_frac(wrapping.need_layers)),
        sliver_m=math.pi * diameter_m * widest,
    )


def find_cliff(bale: Bale, wrapping: Wrapping) -> OnDiameter | None:
    """The first diameter, in steps of 5 mm, at which the need is no longer met.

    The bale's own diameter when it is short already; None when 0.30 m more changes nothing.
    """
    for step in range(round(REACH_M / _STEP_M) + 1):
        diameter_m = bale.diameter_m + step * _STEP_M
        if diameter_m > 3.0:
            return None
        there = count_at(bale, wrapping, diameter_m)
        if there.short_frac > 0.0:
            return there
    return None
