"""Cumulative sums of counts, by likelihood, compiled: for a rate that becomes r times.

A bale has x events. Poisson: e expected while nothing has changed, r e after; Bernoulli: an event
(x = 1) or none (x = 0), of chance p, after the change r p. The state is that of `cusum_kernel`:

    up   = max(0, up   + x ln r - (r - 1) e)                           for r times as many
    down = max(0, down - x ln r + (1 - 1/r) e)                         for one r-th
    Bernoulli: x ln r + (1 - x) ln((1 - r p) / (1 - p)), and with 1/r for down

e or p may change from bale to bale. NaN, and what cannot be (x below 0, e or p not above 0, r p not
below 1), is a bale not judged. Run lengths: `count_runs`.

    poisson_step(state, events, expected, ratio), bernoulli_step(state, events, chance_frac, ratio)
    poisson_kernel, bernoulli_kernel for many series, as in `cusum_kernel`
"""

from __future__ import annotations

import math

from balewright.findings.charts.compiled_kernel import Floats, Ints, compiled
from balewright.findings.charts.cusum_kernel import (
    DOWN,
    SEEN,
    UP,
    add_evidence,
    note_alarm,
)


@compiled
def poisson_step(
    state: Floats, events: float, expected: float, ratio: float
) -> tuple[float, float]:
    """One bale. events: 0, 1, 2, ...; expected: e > 0; ratio: r > 1. Gives up, down."""
    if not (0.0 <= events < math.inf and 0.0 < expected < math.inf):
        state[SEEN] += 1.0
        return state[UP], state[DOWN]
    gain = events * math.log(ratio)
    up = gain - (ratio - 1.0) * expected
    down = (1.0 - 1.0 / ratio) * expected - gain
    return add_evidence(state, up, down)


@compiled
def bernoulli_step(
    state: Floats, events: float, chance_frac: float, ratio: float
) -> tuple[float, float]:
    """One bale. events: 0 or 1; chance_frac: p with 0 < r p < 1; ratio: r > 1. Gives up, down."""
    if not (0.0 <= events <= 1.0 and chance_frac > 0.0 and ratio * chance_frac < 1.0):
        state[SEEN] += 1.0
        return state[UP], state[DOWN]
    if events > 0.5:
        return add_evidence(state, math.log(ratio), -math.log(ratio))
    left = math.log1p(-chance_frac)
    up = math.log1p(-ratio * chance_frac) - left
    down = math.log1p(-chance_frac / ratio) - left
    return add_evidence(state, up, down)


@compiled
def poisson_kernel(
    events: Floats, expected: Floats, offsets: Ints, ratio: float, limit: float, states: Floats
) -> None:
    """The Poisson chart of many series; series i is [offsets[i] : offsets[i + 1]]."""
    for series in range(offsets.shape[0] - 1):
        state = states[series]
        for place in range(offsets[series], offsets[series + 1]):
            poisson_step(state, events[place], expected[place], ratio)
            note_alarm(state, limit)


@compiled
def bernoulli_kernel(
    events: Floats, chances: Floats, offsets: Ints, ratio: float, limit: float, states: Floats
) -> None:
    """The Bernoulli chart of many series."""
    for series in range(offsets.shape[0] - 1):
        state = states[series]
        for place in range(offsets[series], offsets[series + 1]):
            bernoulli_step(state, events[place], chances[place], ratio)
            note_alarm(state, limit)
