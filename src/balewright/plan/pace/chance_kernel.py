"""The race of chamber and wrapper, bale by bale: a recurrence, compiled.

For every bale the gate opens as soon as the bale is bound and the wrapper is free:

    opens = max(bound, wrapper free)
    chamber starts to fill = opens + gate + stop
    wrapper free = opens + stop + taking over, wrapping + tipping
"""

from __future__ import annotations

from collections.abc import Callable
from typing import cast

import numba
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

Drawn = tuple[Floats, Floats, Floats, Floats, Floats, Floats]
Stopped = tuple[Floats, Floats, Floats]

IDLE, WAITS, GATHERED = 0, 1, 2
"""Columns of the sums: wrapper idle, driver waits for the wrapper, crop gathered meanwhile."""


def _race(
    drawn: Drawn,
    stops: Stopped,
    finish_s: Floats,
    sums_s: Floats,
) -> None:
    """Without a buffer: the stations race anew for every bale, so only the clock is carried on.

    drawn: fill, bind, gate, wrap, tip and lost seconds, each (runs, bales); stops: of chamber,
    machine and wrapper, each (bales,); finish_s: (runs, bales), filled with the time at which the
    bale is tipped; sums_s: (runs, 3), filled with the columns above.
    """
    fill, bind, gate, wrap, tip, lost = drawn
    of_chamber, of_machine, of_wrapper = stops
    runs, bales = finish_s.shape
    for run in range(runs):
        opens = of_chamber[0] + fill[run, 0] + bind[run, 0]
        idle, waits = opens, 0.0
        for bale in range(bales - 1):
            away = of_machine[bale] + lost[run, bale]
            wrapper = away + of_wrapper[bale] + (wrap[run, bale] + tip[run, bale])
            then = fill[run, bale + 1] + bind[run, bale + 1] + of_chamber[bale + 1]
            chamber = away + gate[run, bale] + then
            finish_s[run, bale] = opens + wrapper
            idle += max(chamber - wrapper, 0.0)
            waits += max(wrapper - chamber, 0.0)
            opens += max(chamber, wrapper)
        last = bales - 1
        wrapping = of_wrapper[last] + wrap[run, last] + tip[run, last]
        finish_s[run, last] = opens + of_machine[last] + lost[run, last] + wrapping
        sums_s[run, 0] = idle
        sums_s[run, 1] = waits + wrapping
        sums_s[run, 2] = 0.0


def _buffered(
    drawn: Drawn,
    stops: Stopped,
    buffer_s: float,
    finish_s: Floats,
    sums_s: Floats,
) -> None:
    """With a buffer: crop of up to `buffer_s` seconds is gathered from when the chamber is full
    until its gate has closed, and is in the chamber at once. The rest as without.
    """
    fill, bind, gate, wrap, tip, lost = drawn
    of_chamber, of_machine, of_wrapper = stops
    runs, bales = finish_s.shape
    for run in range(runs):
        starts, free, gathered, idle, waits, all_gathered = 0.0, 0.0, 0.0, 0.0, 0.0, 0.0
        for bale in range(bales):
            bound = starts + of_chamber[bale] + (fill[run, bale] - gathered) + bind[run, bale]
            opens = max(bound, free)
            away = of_machine[bale] + lost[run, bale]
            idle += opens - free
            waits += opens - bound
            free = opens + away + of_wrapper[bale] + (wrap[run, bale] + tip[run, bale])
            starts = opens + away + gate[run, bale]
            finish_s[run, bale] = free
            if bale + 1 < bales:
                room = min(buffer_s, bind[run, bale] + (opens - bound) + gate[run, bale])
                gathered = min(room, fill[run, bale + 1])
                all_gathered += gathered
        last = bales - 1
        sums_s[run, 0] = idle
        sums_s[run, 1] = waits + of_wrapper[last] + wrap[run, last] + tip[run, last]
        sums_s[run, 2] = all_gathered


race_kernel = cast(Callable[[Drawn, Stopped, Floats, Floats], None], numba.njit(cache=True)(_race))
buffered_kernel = cast(
    Callable[[Drawn, Stopped, float, Floats, Floats], None], numba.njit(cache=True)(_buffered)
)
