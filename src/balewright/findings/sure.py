"""How sure a share or a level is, from few bales and without assuming a bell curve."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.quantities.interval import Interval

Z_95: Final = 1.959963984540054
"""Standard normal point that leaves 2.5 % above it."""


def share_interval(hits: int, looked_at: int) -> Interval:
    """Share of bales with its 95 % score interval (Wilson).

    hits: 0..looked_at; looked_at: 1 or more. Source: Newcombe, Stat. Med. 17:857-872, 1998.
    """
    if not 0 <= hits <= looked_at or looked_at < 1:
        raise ValueError(f"{hits} of {looked_at} is no share")
    share = hits / looked_at
    square = Z_95**2
    middle = share + square / (2 * looked_at)
    half = Z_95 * math.sqrt(share * (1 - share) / looked_at + square / (4 * looked_at**2))
    low = (middle - half) / (1 + square / looked_at)
    high = (middle + half) / (1 + square / looked_at)
    return Interval(min(max(low, 0.0), share), share, max(min(high, 1.0), share), 0.95)


@lru_cache(maxsize=4096)
def _rank(count: int) -> int:
    """How many of `count` ordered values lie outside the 95 % interval of the median, each side."""
    below, total = 0.0, 0
    while total <= count:
        below += math.exp(
            math.lgamma(count + 1) - math.lgamma(total + 1) - math.lgamma(count - total + 1)
            - count * math.log(2)
        )  # fmt: skip
        if below > 0.025:
            break
        total += 1
    return total


def level_interval(values: NDArray[np.float64], spread: float = 0.0) -> Interval:
    """The median of some readings with the interval that order alone gives (sign test, 95 %).

    values: finite, shape (n,), n >= 1; with fewer than 6 the ends are the extremes and no
    chance can be stated. spread: half width, in the readings' unit, of what no number of
    bales averages out (the sensor's own error); it widens both ends.
    """
    ordered = np.sort(values)
    count = len(ordered)
    rank = _rank(count) if count >= 6 else 0
    low = ordered[max(rank - 1, 0)]
    high = ordered[min(count - rank, count - 1)] if rank else ordered[-1]
    best = float(np.median(ordered))
    confidence = 0.95 if count >= 6 else None
    return Interval(float(low) - spread, best, float(high) + spread, confidence)


def bale_noise(values: NDArray[np.float64]) -> float:
    """Standard deviation from bale to bale, from the median size of the steps between neighbours.

    values: finite, in order; 0 for fewer than 10. Steps and slow drifts of the level, and a few
    wild readings, hardly touch it. 1.4826: median absolute deviation of a bell curve to its
    standard deviation.
    """
    if len(values) < 10:
        return 0.0
    return float(1.4826 * np.median(np.abs(np.diff(values))) / math.sqrt(2.0))


def lasting_noise(values: NDArray[np.float64]) -> float:
    """Standard deviation about a level that holds for some 50 bales: noise that lasts from bale to
    bale counts nearly in full, where `bale_noise` sees only its steps.

    values: finite, in order; 0 for fewer than 10. The median over blocks of the median distance
    from each block's middle, so that a change of the level touches one block. Blocks are of 25
    below 150 values. Of noise with an autocorrelation of 0.9 it gives about 0.8 of the whole.
    """
    count = len(values)
    if count < 10:
        return 0.0
    size = min(50 if count >= 150 else 25, count)
    blocks = values[: count - count % size].reshape(-1, size)
    away = np.abs(blocks - np.median(blocks, axis=1, keepdims=True))
    return float(1.4826 * np.median(np.median(away, axis=1)))
