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
Lane = tuple[float, float, float, float]


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
def _next(sums: Lane, value: float, position: float, reference: float) -> Lane:
    """Up, its beginning, down, its beginning after one bale."""
    up, up_since, down, down_since = sums
    if abs(value) < math.inf:
        if up <= 0.0:
            up_since = position
        if down <= 0.0:
            down_since = position
        up = max(0.0, up + (value - reference))
        down = max(0.0, down + (-value - reference))
    return up, up_since, down, down_since


@compiled
def _taken(state: Floats) -> Lane:
    return state[UP], state[UP_SINCE], state[DOWN], state[DOWN_SINCE]


@compiled
def _kept(state: Floats, sums: Lane, seen: float) -> None:
    state[UP], state[UP_SINCE], state[DOWN], state[DOWN_SINCE] = sums
    state[SEEN] = seen


@compiled
def _limit_of(state: Floats, limit: float) -> float:
    """No limit for a series that has alarmed already."""
    return limit if state[ALARM] < 0.0 else math.inf


@compiled
def _ask(state: Floats, sums: Lane, seen: float, limit: float) -> float:
    """Keep the first alarm if this is one; the limit from now on."""
    if max(sums[0], sums[2]) > limit:
        _kept(state, sums, seen)
        note_alarm(state, limit)
        return math.inf
    return limit


@compiled
def _four(
    values: Floats, offsets: Ints, first: int, bales: int, reference: float, limit: float,
    states: Floats,
) -> None:  # fmt: skip
    """Walk four series side by side: one waits for its last sum while the others are added."""
    at0, at1, at2, at3 = offsets[first : first + 4]
    state0, state1 = states[first], states[first + 1]
    state2, state3 = states[first + 2], states[first + 3]
    sums0, sums1, sums2, sums3 = _taken(state0), _taken(state1), _taken(state2), _taken(state3)
    seen0, seen1, seen2, seen3 = state0[SEEN], state1[SEEN], state2[SEEN], state3[SEEN]
    limit0, limit1 = _limit_of(state0, limit), _limit_of(state1, limit)
    limit2, limit3 = _limit_of(state2, limit), _limit_of(state3, limit)
    for bale in range(bales):
        sums0 = _next(sums0, values[at0 + bale], seen0 + bale, reference)
        sums1 = _next(sums1, values[at1 + bale], seen1 + bale, reference)
        sums2 = _next(sums2, values[at2 + bale], seen2 + bale, reference)
        sums3 = _next(sums3, values[at3 + bale], seen3 + bale, reference)
        limit0 = _ask(state0, sums0, seen0 + bale + 1.0, limit0)
        limit1 = _ask(state1, sums1, seen1 + bale + 1.0, limit1)
        limit2 = _ask(state2, sums2, seen2 + bale + 1.0, limit2)
        limit3 = _ask(state3, sums3, seen3 + bale + 1.0, limit3)
    _kept(state0, sums0, seen0 + bales)
    _kept(state1, sums1, seen1 + bales)
    _kept(state2, sums2, seen2 + bales)
    _kept(state3, sums3, seen3 + bales)


@compiled
def _one(
    values: Floats, first: int, last: int, reference: float, limit: float, state: Floats
) -> None:
    """Walk one series."""
    sums, seen, own_limit = _taken(state), state[SEEN], _limit_of(state, limit)
    for place in range(first, last):
        sums = _next(sums, values[place], seen, reference)
        seen += 1.0
        own_limit = _ask(state, sums, seen, own_limit)
    _kept(state, sums, seen)


@compiled
def tabular_kernel(
    values: Floats, offsets: Ints, reference: float, limit: float, states: Floats
) -> None:
    """The tabular chart of many series.

    values: all series one after another; offsets: (series + 1,); states: (series, 8), changed.
    """
    series = offsets.shape[0] - 1
    for first in range(0, series, 4):
        together = 0
        if first + 4 <= series:
            together = np.diff(offsets[first : first + 5]).min()
            _four(values, offsets, first, together, reference, limit, states)
        for one in range(first, min(first + 4, series)):
            begin = offsets[one] + together
            _one(values, begin, offsets[one + 1], reference, limit, states[one])


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
