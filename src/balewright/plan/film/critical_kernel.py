"""The narrowest strip that is enough, for many bales at once, compiled.

Where strips fall does not depend on their width, and no spot loses a layer when strips get wider.
So for every case there is one width from which on the goal is met: for no spot at all it is the
widest distance from a middle line to the n-th after it; for a share or a sliver that may stay
short it is halved for. `critical_strips` is what others call. After a change in `layers_kernel`
compile this anew: what is kept on disk holds its functions as they were.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from balewright.plan.film.layers_kernel import (
    Floats,
    Ints,
    Legs,
    Shape,
    compiled,
    flat_short,
    lay,
    round_short,
    sort_places,
    walk_ring,
    widest_radius,
)

_SPOT: Final = 1e-9
_HALVINGS: Final = 48


@compiled
def _widest_gap(c: Floats, count: int, layers: int) -> float:
    """From a middle line to the one `layers` further on, at its widest, in turns."""
    widest = 0.0
    for one in range(count):
        other = one + layers
        gap = c[other] - c[one] if other < count else c[other - count] + 1.0 - c[one]
        widest = max(widest, gap)
    return widest


@compiled
def _round_critical(
    c: Floats, count: int, need: int, shape: Shape, share: float, sliver: float
) -> float:
    """The narrowest strip (m) for the round side; infinite where there are too few strips."""
    if need <= 0:
        return 0.0
    if need > count:
        return math.inf
    girth = 2.0 * math.pi * widest_radius(shape)
    high = girth * max(0.0, _widest_gap(c, count, need) - _SPOT)
    if share <= 0.0 and sliver <= 0.0:
        return high
    low = 0.0
    if share <= 0.0:
        low = max(0.0, high - sliver)
        _, _, widest = walk_ring(c, count, 0.5 * low / girth, need)
        if widest * girth <= sliver + _SPOT:
            return low
    for _ in range(_HALVINGS):
        strip = 0.5 * (low + high)
        if share > 0.0:
            enough = round_short(c, count, need, strip, shape) <= share
        else:
            _, _, widest = walk_ring(c, count, 0.5 * strip / girth, need)
            enough = widest * girth <= sliver
        if enough:
            high = strip
        else:
            low = strip
    return high


@compiled
def _flat_critical(
    c: Floats, count: int, need: int, diameter: float, share: float, sliver: float
) -> float:
    """The narrowest strip (m) for one flat side."""
    if need > count:
        return math.inf
    low, high = 0.0, diameter * math.sin(0.5 * math.pi * min(1.0, _widest_gap(c, count, need)))
    for _ in range(_HALVINGS):
        strip = 0.5 * (low + high)
        if strip <= 0.0:
            break
        enough = flat_short(c, count, need, diameter, strip) <= max(share, _SPOT)
        if not enough and sliver > 0.0:
            half = math.asin(min(1.0, strip / diameter)) / math.pi
            _, _, widest = walk_ring(c, count, half, need)
            girths = 0.5 if widest < 1.0 else 1.0
            enough = girths * widest * math.pi * diameter <= sliver
        if enough:
            high = strip
        else:
            low = strip
    return high


@compiled
def critical_kernel(
    bales: Floats,
    needs: Ints,
    leg_first: Ints,
    legs: Legs,
    goal: tuple[float, float, bool],
    room: int,
    out: Floats,
) -> None:
    """Columns as `count_kernel`. goal: share and sliver (m) that may stay short, flats too."""
    centres, ordered, heads = np.empty(room), np.empty(room), np.empty(room + 1, np.int64)
    directions, found = np.empty((2, room)), np.zeros(3, np.int64)
    share, sliver, flats = goal
    for case in range(bales.shape[0]):
        diameter, _, slant, bulge = bales[case]
        need, still = needs[case, 0], needs[case, 0] - needs[case, 1]
        lay(legs, leg_first[case], leg_first[case + 1], needs[case, 2], centres, directions, found)
        sort_places(centres, found[0], ordered, heads)
        shape = (0.5 * diameter, slant, bulge)
        out[case] = _round_critical(ordered, found[0], still, shape, share, sliver)
        if not flats:
            continue
        for side in range(2):
            end = diameter + 2.0 * (slant if side == 0 else -slant) - 2.0 * bulge
            sort_places(directions[side], found[1 + side], ordered, heads)
            strip = _flat_critical(ordered, found[1 + side], need, end, share, sliver)
            out[case] = max(out[case], strip)
