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
from balewright.findings.charts.windows_kernel import SEEN, counts_step, windows_step

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
FOUND_ROOM: Final = 9


def new_found(series: int) -> Floats:
    """What has been found in series of which nothing was seen: shape (series, 9)."""
    found = np.zeros((series, FOUND_ROOM))
    found[:, [ALARM, ALARM_START, UP_START, DOWN_START, MOST_AT]] = -1.0
    return found


@compiled
def note_windows(
    found: Floats, position: float, given: tuple[float, float, float, float], limit: float
) -> None:
    """Keep what a step gave, and the first alarm."""
    up, up_start, down, down_start = given
    found[UP_NOW], found[UP_START] = up, up_start
    found[DOWN_NOW], found[DOWN_START] = down, down_start
    most = max(up, down)
    if most > found[MOST]:
        found[MOST], found[MOST_AT] = most, position
        if most > limit and found[ALARM] < 0.0:
            found[ALARM] = position
            found[ALARM_SIDE] = 1.0 if up >= down else -1.0
            found[ALARM_START] = up_start if up >= down else down_start


@compiled
def windows_kernel(
    values: Floats, weights: Floats, offsets: Ints, limit: float, states: Floats, found: Floats
) -> None:
    """The test for a level, of many series."""
    for series in range(offsets.shape[0] - 1):
        state = states[series]
        for place in range(offsets[series], offsets[series + 1]):
            given = windows_step(state, values[place], weights[place])
            if given[1] < 0.0 and given[3] < 0.0:
                continue  # not judged, or nothing to tell
            note_windows(found[series], state[SEEN] - 1.0, given, limit)


@compiled
def counts_windows_kernel(
    events: Floats, expected: Floats, offsets: Ints, limit: float, states: Floats, found: Floats
) -> None:
    """The test for a rate, of many series."""
    for series in range(offsets.shape[0] - 1):
        state = states[series]
        for place in range(offsets[series], offsets[series + 1]):
            given = counts_step(state, events[place], expected[place])
            if given[1] < 0.0 and given[3] < 0.0:
                continue
            note_windows(found[series], state[SEEN] - 1.0, given, limit)
