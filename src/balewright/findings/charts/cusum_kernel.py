"""Cumulative sums of a standardised series, two-sided, compiled: the quick test for one size.

A series has mean 0 and variance 1 while nothing has changed; NaN is a bale that was not judged: it
is counted and passed over, as is what is infinite. Two charts, each with a sum for up and one for
down:

- tabular: up = max(0, up + u - k), down = max(0, down - u - k). k is half the change it is best at.
- likelihood: W = max(0, W + d c u - d^2 c^2 / 2), where u would have the mean d c after a change
  (down: the same with -d); c is the bale's weight, 0..1 as a rule. With c = 1 it is the tabular
  chart with k = d/2, times d.

A chart alarms when a sum is *above* its limit; it goes on unchanged, the first alarm is kept.

State of one series: a row of `CUSUM_ROOM` floats, new from `new_cusum()`; columns below. Steps
change it in place, so a series may be continued, and cut anywhere. Positions count bales from 0 at
the series' beginning.

    step(state, ...) -> (up, down)     for one bale, callable from other compiled code
    *_kernel(columns, offsets, ..., states)   for many series; series i is [offsets[i]:offsets[i+1]]
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from balewright.findings.charts.compiled_kernel import Floats, Ints, compiled

SEEN: Final = 0
"""Bales counted so far, judged or not."""
UP: Final = 1
UP_SINCE: Final = 2
"""The first judged bale after the sum was last zero."""
DOWN: Final = 3
DOWN_SINCE: Final = 4
ALARM: Final = 5
"""Position of the first alarm, -1 for none."""
ALARM_SIDE: Final = 6
"""1 up, -1 down, 0 none."""
ALARM_SINCE: Final = 7
"""UP_SINCE or DOWN_SINCE at the first alarm, -1 for none."""
CUSUM_ROOM: Final = 8


def new_cusum(series: int | None = None) -> Floats:
    """The state of a chart that has seen nothing: shape (8,), or (series, 8)."""
    state = np.zeros(CUSUM_ROOM if series is None else (series, CUSUM_ROOM))
    state[..., ALARM] = state[..., ALARM_SINCE] = -1.0
    return state


@compiled
def note_alarm(state: Floats, limit: float) -> None:
    """Keep the first alarm: called after a step, with the bale just counted."""
    if state[ALARM] >= 0.0 or not (state[UP] > limit or state[DOWN] > limit):
        return
    up = state[UP] >= state[DOWN]
    state[ALARM] = state[SEEN] - 1.0
    state[ALARM_SIDE] = 1.0 if up else -1.0
    state[ALARM_SINCE] = state[UP_SINCE] if up else state[DOWN_SINCE]


@compiled
def add_evidence(state: Floats, up: float, down: float) -> tuple[float, float]:
    """Count one judged bale, with what it says for a change up and for one down."""
    position = state[SEEN]
    state[SEEN] = position + 1.0
    if state[UP] <= 0.0:
        state[UP_SINCE] = position
    if state[DOWN] <= 0.0:
        state[DOWN_SINCE] = position
    state[UP] = max(0.0, state[UP] + up)
    state[DOWN] = max(0.0, state[DOWN] + down)
    return state[UP], state[DOWN]


@compiled
def tabular_step(state: Floats, value: float, reference: float) -> tuple[float, float]:
    """One bale of the tabular chart. value: standardised, NaN passed over; reference: k >= 0."""
    if not abs(value) < math.inf:
        state[SEEN] += 1.0
        return state[UP], state[DOWN]
    return add_evidence(state, value - reference, -value - reference)


@compiled
def likelihood_step(
    state: Floats, value: float, weight: float, shift: float
) -> tuple[float, float]:
    """One bale of the likelihood chart. weight: c; shift: d > 0, the change it is best at."""
    if not (abs(value) < math.inf and abs(weight) < math.inf):
        state[SEEN] += 1.0
        return state[UP], state[DOWN]
    size = shift * weight
    cost = 0.5 * size * size
    return add_evidence(state, size * value - cost, -size * value - cost)


@compiled
def tabular_kernel(
    values: Floats, offsets: Ints, reference: float, limit: float, states: Floats
) -> None:
    """The tabular chart of many series.

    values: all series one after another; offsets: (series + 1,); states: (series, 8), changed.
    """
    for series in range(offsets.shape[0] - 1):
        state = states[series]
        up, down, seen = state[UP], state[DOWN], int(state[SEEN])
        up_since, down_since = int(state[UP_SINCE]), int(state[DOWN_SINCE])
        quiet = state[ALARM] < 0.0
        first = offsets[series]
        for place in range(first, offsets[series + 1]):
            value = values[place]
            if not abs(value) < math.inf:
                continue
            if up <= 0.0:
                up_since = seen + place - first
            if down <= 0.0:
                down_since = seen + place - first
            up = max(0.0, up + (value - reference))
            down = max(0.0, down + (-value - reference))
            if quiet and (up > limit or down > limit):
                quiet = False
                state[ALARM] = seen + place - first
                state[ALARM_SIDE] = 1.0 if up >= down else -1.0
                state[ALARM_SINCE] = up_since if up >= down else down_since
        state[UP], state[DOWN] = up, down
        state[UP_SINCE], state[DOWN_SINCE] = up_since, down_since
        state[SEEN] = seen + offsets[series + 1] - first


@compiled
def likelihood_kernel(
    values: Floats, weights: Floats, offsets: Ints, shift: float, limit: float, states: Floats
) -> None:
    """The likelihood chart of many series; weights: c of each bale, as `values`."""
    for series in range(offsets.shape[0] - 1):
        state = states[series]
        for place in range(offsets[series], offsets[series + 1]):
            likelihood_step(state, values[place], weights[place], shift)
            note_alarm(state, limit)
