"""Which mass belongs to which bale: nearest in time, order kept, each used at most once.

A scale and a count do not speak at the same moment: the mass may come before or after its step,
and a display that was late catches up by two steps a second apart. So order counts for more than
seconds: as many pairs as can be in order, and of those arrangements the one with the fewest
seconds between them. Only beyond an hour (APART_S) a mass is left alone rather than paired.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

APART_S: Final = 3600.0
_BLOCK: Final = 1024


def pair_masses(steps_s: NDArray[np.float64], gains_s: NDArray[np.float64]) -> NDArray[np.int64]:
    """For each gain the place of its step, -1 where none.

    steps_s, gains_s: times, each in ascending order. Blocks of 1024 steps are paired at a time,
    cut at the widest pause near the block's end, so that time and memory stay bounded.
    """
    found = np.full(len(gains_s), -1, dtype=np.int64)
    low = gain_low = 0
    while low < len(steps_s) and gain_low < len(gains_s):
        high = _block_end(steps_s, low)
        gain_high = len(gains_s)
        if high < len(steps_s):
            middle = (steps_s[high - 1] + steps_s[high]) / 2
            gain_high = gain_low + int(np.searchsorted(gains_s[gain_low:], middle))
        gain_high = min(gain_high, gain_low + 4 * _BLOCK)
        part = _pair(steps_s[low:high], gains_s[gain_low:gain_high])
        found[gain_low:gain_high] = np.where(part < 0, -1, part + low)
        low, gain_low = high, gain_high
    return found


def _block_end(steps_s: NDArray[np.float64], low: int) -> int:
    high = low + _BLOCK
    if high >= len(steps_s):
        return len(steps_s)
    middle = low + _BLOCK // 2
    return middle + 1 + int(np.argmax(np.diff(steps_s[middle : high + 1])))


def _pair(steps_s: NDArray[np.float64], gains_s: NDArray[np.float64]) -> NDArray[np.int64]:
    """Cheapest order-keeping pairing by dynamic programming, one row a gain."""
    alone = APART_S / 2
    skipped = alone * np.arange(len(steps_s) + 1)
    cost = skipped.copy()
    taken = np.zeros((len(gains_s), len(steps_s) + 1), dtype=np.bool_)
    alone_rows = []
    for row, gain_s in enumerate(gains_s):
        without = cost + alone
        paired = np.concatenate(([np.inf], cost[:-1] + np.abs(steps_s - gain_s)))
        best = np.minimum(without, paired)
        taken[row] = paired < without
        cost = np.minimum.accumulate(best - skipped) + skipped
        alone_rows.append(cost < best)
    found = np.full(len(gains_s), -1, dtype=np.int64)
    row, place = len(gains_s) - 1, len(steps_s)
    while row >= 0 and place >= 0:
        if alone_rows[row][place]:
            place -= 1
            continue
        if taken[row][place]:
            place -= 1
            found[row] = place
        row -= 1
    return found
