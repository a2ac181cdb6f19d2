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

from balewright.findings.charts.compiled_kernel import Floats, Ints, compiled, inlined

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
_NIL: Final = 1e-20  # far below rounding; numbers near the smallest ones are slow
Lane = tuple[float, float]


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
        state[FADED] = state[FADED] * (keep * keep) if state[FADED] > _NIL else 0.0
    return state[AVERAGE], math.sqrt(newest_share / (2.0 - newest_share) * (1.0 - state[FADED]))


@inlined
def _next(lane: Lane, value: float, newest_share: float) -> Lane:
    """The average and what is faded after one bale."""
    average, faded = lane
    if abs(value) < math.inf:
        keep = 1.0 - newest_share
        left = faded * (keep * keep) if faded > _NIL else 0.0
        return keep * average + newest_share * value, left
    return average, faded


@inlined
def _is_out(lane: Lane, square: float) -> bool:
    """Whether the average is out of its limits; square: of the limits it has after long."""
    return lane[0] * lane[0] > square * (1.0 - lane[1])


@compiled
def _told(state: Floats, lane: Lane, seen: float) -> None:
    if state[ALARM] < 0.0:
        state[ALARM] = seen
        state[ALARM_SIDE] = 1.0 if lane[0] > 0.0 else -1.0


@compiled
def _walk(
    values: Floats, first: int, last: int, newest_share: float, square: float, state: Floats
) -> None:
    """Walk one series."""
    lane, seen = (state[AVERAGE], state[FADED]), state[SEEN]
    for place in range(first, last):
        lane = _next(lane, values[place], newest_share)
        if _is_out(lane, square):
            _told(state, lane, seen + (place - first))
    state[SEEN] = seen + max(0, last - first)
    state[AVERAGE], state[FADED] = lane


@compiled
def _walk_two(
    values: Floats, firsts: tuple[int, int], bales: int, newest_share: float, square: float,
    states: Floats,
) -> None:  # fmt: skip
    """Walk two series side by side: one waits for its last average while the other is added."""
    one, other = (states[0, AVERAGE], states[0, FADED]), (states[1, AVERAGE], states[1, FADED])
    for bale in range(bales):
        one = _next(one, values[firsts[0] + bale], newest_share)
        other = _next(other, values[firsts[1] + bale], newest_share)
        if _is_out(one, square):
            _told(states[0], one, states[0, SEEN] + bale)
        if _is_out(other, square):
            _told(states[1], other, states[1, SEEN] + bale)
    states[0, SEEN] += bales
    states[1, SEEN] += bales
    states[0, AVERAGE], states[0, FADED] = one
    states[1, AVERAGE], states[1, FADED] = other


@compiled
def ewma_kernel(
    values: Floats, offsets: Ints, newest_share: float, limit: float, states: Floats
) -> None:
    """The chart of many series; series i is [offsets[i] : offsets[i + 1]]."""
    series = offsets.shape[0] - 1
    square = limit * limit * newest_share / (2.0 - newest_share)
    for first in range(0, series, 2):
        together = 0
        if first + 2 <= series:
            one, other, end = offsets[first], offsets[first + 1], offsets[first + 2]
            together = min(other - one, end - other)
            two = states[first : first + 2]
            _walk_two(values, (one, other), together, newest_share, square, two)
        for left in range(first, min(first + 2, series)):
            begin = offsets[left] + together
            _walk(values, begin, offsets[left + 1], newest_share, square, states[left])
