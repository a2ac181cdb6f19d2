"""The test of all windows over many series at once, compiled. What it is: `windows_kernel`.

    windows_kernel(values, weights, offsets, limit, states, found)
    counts_windows_kernel(events, expected, offsets, limit, states, found)

Series i is [offsets[i] : offsets[i + 1]]; states and found have a row for each series and are
changed in place, so series may be continued, and cut anywhere. Columns of `found` below; positions
from 0 at the series' beginning.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from balewright.findings.charts.compiled_kernel import Floats, Ints, compiled
from balewright.findings.charts.windows_kernel import (
    DOWN,
    SEEN,
    UP,
    at_most,
    count_bale,
    count_now,
    level_bale,
    level_now,
)

ALARM: Final = 0
"""Position of the first bale at which the statistic was above the limit, -1 for none."""
ALARM_SIDE: Final = 1
"""1 up, -1 down, 0 none."""
ALARM_START: Final = 2
"""Start of the window that gave it."""
UP_NOW: Final = 3
"""The statistic at the end, and its start."""
UP_START: Final = 4
DOWN_NOW: Final = 5
DOWN_START: Final = 6
MOST: Final = 7
"""The largest statistic of all bales so far, and at which bale it was."""
MOST_AT: Final = 8
LIMIT: Final = 9
"""The limit of the last call."""
FOUND_ROOM: Final = 10


def new_found(series: int) -> Floats:
    """What has been found in series of which nothing was seen: shape (series, 10)."""
    found = np.zeros((series, FOUND_ROOM))
    found[:, [ALARM, ALARM_START, UP_START, DOWN_START, MOST_AT]] = -1.0
    return found


@compiled
def note_window(found: Floats, position: float, sign: float, given: tuple[float, float]) -> None:
    """Keep a statistic that is the largest so far, and where it is the first alarm, that."""
    most, start = given
    if most <= found[MOST]:
        return
    found[MOST], found[MOST_AT] = most, position
    if most > found[LIMIT] and found[ALARM] < 0.0:
        found[ALARM], found[ALARM_SIDE], found[ALARM_START] = position, sign, start


@compiled
def windows_kernel(
    values: Floats, weights: Floats, offsets: Ints, limit: float, states: Floats, found: Floats
) -> None:
    """The test for a level, of many series."""
    for series in range(offsets.shape[0] - 1):
        state, kept = states[series], found[series]
        kept[LIMIT] = limit
        for place in range(offsets[series], offsets[series + 1]):
            level_bale(state, values[place], weights[place])
            if at_most(state, UP) > kept[MOST]:
                note_window(kept, state[SEEN] - 1.0, 1.0, level_now(state, UP))
            if at_most(state, DOWN) > kept[MOST]:
                note_window(kept, state[SEEN] - 1.0, -1.0, level_now(state, DOWN))
        kept[UP_NOW], kept[UP_START] = level_now(state, UP)
        kept[DOWN_NOW], kept[DOWN_START] = level_now(state, DOWN)


@compiled
def counts_windows_kernel(
    events: Floats, expected: Floats, offsets: Ints, limit: float, states: Floats, found: Floats
) -> None:
    """The test for a rate, of many series."""
    for series in range(offsets.shape[0] - 1):
        state, kept = states[series], found[series]
        kept[LIMIT] = limit
        for place in range(offsets[series], offsets[series + 1]):
            count_bale(state, events[place], expected[place])
            if at_most(state, UP) > kept[MOST]:
                note_window(kept, state[SEEN] - 1.0, 1.0, count_now(state, UP))
            if at_most(state, DOWN) > kept[MOST]:
                note_window(kept, state[SEEN] - 1.0, -1.0, count_now(state, DOWN))
        kept[UP_NOW], kept[UP_START] = count_now(state, UP)
        kept[DOWN_NOW], kept[DOWN_START] = count_now(state, DOWN)
