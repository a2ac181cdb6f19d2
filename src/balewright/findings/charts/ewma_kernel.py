"""Exponentially weighted moving average of a standardised series, with exact limits, compiled.

    z = (1 - q) z + q u,   of standard deviation sqrt(q / (2 - q) (1 - (1 - q)^(2 n))) after n bales

with q the newest bale's share. The chart alarms when |z| is above `limit` times that; it goes on
unchanged and keeps the first alarm. NaN (or infinite): counted and passed over, n stays.

State of one series: a row of `EWMA_ROOM` floats from `new_ewma()`; columns below; as in
`cusum_kernel`.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from balewright.findings.charts.compiled_kernel import Floats, Ints, compiled

SEEN: Final = 0
"""Bales counted so far, judged or not."""
AVERAGE: Final = 1
FADED: Final = 2
"""(1 - q)^(2 n): 1 before the first bale."""
ALARM: Final = 3
"""Position of the first alarm, -1 for none."""
ALARM_SIDE: Final = 4
"""1 up, -1 down, 0 none."""
EWMA_ROOM: Final = 5


def new_ewma(series: int | None = None) -> Floats:
    """The state of a chart that has seen nothing: shape (5,), or (series, 5)."""
    state = np.zeros(EWMA_ROOM if series is None else (series, EWMA_ROOM))
    state[..., FADED] = 1.0
    state[..., ALARM] = -1.0
    return state


@compiled
def ewma_step(state: Floats, value: float, newest_share: float) -> tuple[float, float]:
    """One bale. newest_share: q, 0 < q <= 1. Gives the average and its standard deviation."""
    state[SEEN] += 1.0
    keep = 1.0 - newest_share
    if abs(value) < math.inf:
        state[AVERAGE] = keep * state[AVERAGE] + newest_share * value
        state[FADED] *= keep * keep
    return state[AVERAGE], math.sqrt(newest_share / (2.0 - newest_share) * (1.0 - state[FADED]))


@compiled
def ewma_kernel(
    values: Floats, offsets: Ints, newest_share: float, limit: float, states: Floats
) -> None:
    """The chart of many series; series i is [offsets[i] : offsets[i + 1]]."""
    for series in range(offsets.shape[0] - 1):
        state = states[series]
        for place in range(offsets[series], offsets[series + 1]):
            average, spread = ewma_step(state, values[place], newest_share)
            if state[ALARM] < 0.0 and abs(average) > limit * spread:
                state[ALARM] = state[SEEN] - 1.0
                state[ALARM_SIDE] = 1.0 if average > 0.0 else -1.0
