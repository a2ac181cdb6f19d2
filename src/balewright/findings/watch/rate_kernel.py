"""Something that happens so often a bale, walked bale by bale, compiled.

The rate is a gamma guess times what explains it (a log-linear slope each). Two sums watch for a
rate TIMES as high, as log-likelihood of counts, against a rate a little above the likeliest: few
events leave it open how high it was. The guess learns only from bales whose sums came back to
zero, so a rise does not teach itself away. One job or roll alone adds no more to a sum than SHARE
of its limit: a bad roll is not a bad machine. After a rise was told a third sum watches for the
return.

A limit grows with the rate as log(rate): counts that come singly know no other clock.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.findings.charts.compiled_kernel import compiled

Floats = NDArray[np.float64]
Groups = NDArray[np.int8]

TIMES: Final = (3.0, 6.0)
SLOTS: Final = 18
EVENTS, BALES = 0, 1
"""The gamma guess: events in so many bales."""
WAITING_EVENTS, WAITING_BALES = 2, 3
"""Not yet learnt from."""
SUMS, SINCES, GAINS = 4, 6, 8
"""Two places each: the sums, the count of judged bales at which they began, this group's share."""
JUDGED, TOLD, BACK, BACK_SINCE = 10, 11, 12, 13
"""Bales judged; how many times higher the rate was told to be, 0 none; the sum of the return."""
SEEN, EXPECTED = 14, 15
"""Since a rise was told: events seen, and expected at the old rate."""
RECENT_EVENTS, RECENT_BALES = 16, 17
"""Learnt of late: not yet part of the guess, so that a rise is not held against itself."""
SHARE: Final = 0.6
ENOUGH_EVENTS: Final = 5.0
"""Events, usual ones included, before the first bale is judged."""
_BLOCK_BALES: Final = 1000.0
_OPEN: Final = 0.8
"""A rate learnt from few events may well be higher: so many of its standard deviations."""
_LONG_BALES: Final = 6000.0
_BACK_LIMIT: Final = 6.0
"""How much likelier, as a logarithm, the old rate must be before a rise is called over."""


@compiled
def _learn(kept: Floats, block: float) -> None:
    """Put what waits to what was learnt of late, and a full block of that into the guess."""
    kept[RECENT_EVENTS] += kept[WAITING_EVENTS]
    kept[RECENT_BALES] += kept[WAITING_BALES]
    kept[WAITING_EVENTS] = kept[WAITING_BALES] = 0.0
    if kept[RECENT_BALES] < block:
        return
    kept[EVENTS] += kept[RECENT_EVENTS]
    kept[BALES] += kept[RECENT_BALES]
    kept[RECENT_EVENTS] = kept[RECENT_BALES] = 0.0
    if kept[BALES] > _LONG_BALES:
        kept[EVENTS] *= _LONG_BALES / kept[BALES]
        kept[BALES] = _LONG_BALES


@compiled
def _learn_slopes(
    row: Floats, slopes: Floats, precision: Floats, excess: float, rate: float
) -> None:
    """One step of a Poisson regression, each slope by itself."""
    for place in range(slopes.shape[0]):
        precision[place] += rate * row[place] * row[place]
        slopes[place] += row[place] * excess / precision[place]
        slopes[place] = min(max(slopes[place], -1.5), 1.5)


@compiled
def _factor(row: Floats, slopes: Floats) -> float:
    total = 0.0
    for place in range(slopes.shape[0]):
        total += row[place] * slopes[place]
    return math.exp(min(max(total, -2.0), 2.0))


@compiled
def _add(
    kept: Floats, events: float, rates: tuple[float, float], level: tuple[float, float]
) -> int:
    """Both sums one bale on; gives 1 or 2 for the one that passed its limit, else 0.

    rates: expected at this bale, and the usual one, by which the limits go.
    """
    rate, open_limit = rates[0], math.log(rates[1])
    told = 0
    for chart in range(2):
        times = 3.0 if chart == 0 else 6.0
        limit = open_limit + level[chart]
        gain = events * math.log(times) - rate * (times - 1.0)
        gain = min(gain, SHARE * limit - kept[GAINS + chart])
        if kept[SUMS + chart] <= 0.0:
            kept[SINCES + chart] = kept[JUDGED]
            kept[GAINS + chart] = 0.0
        kept[SUMS + chart] = max(0.0, kept[SUMS + chart] + gain)
        kept[GAINS + chart] = max(kept[GAINS + chart] + gain, 0.0)
        if kept[SUMS + chart] > limit and told == 0:
            told = chart + 1
    return told


@compiled
def _watch_return(kept: Floats, events: float, rate: float) -> bool:
    gain = rate * (kept[TOLD] - 1.0) - events * math.log(kept[TOLD])
    if kept[BACK] <= 0.0:
        kept[BACK_SINCE] = kept[JUDGED]
    kept[BACK] = max(0.0, kept[BACK] + gain)
    return bool(kept[BACK] > _BACK_LIMIT)


@compiled
def walk_rate(
    given: tuple[Floats, Floats, Groups],
    kept: Floats,
    slopes: tuple[Floats, Floats],
    level: tuple[float, float],
    learning_bales: float,
) -> tuple[int, int]:
    """Walk until something is told.

    given: counts (n,), NaN where not judged; explaining (n, p); where a group begins (n,). kept
    (SLOTS,) and slopes (their likeliest, their precision, (p,) each) are changed in place. level:
    of each sum, the limit less log(rate). learning_bales: so many are learnt from before the first
    is judged. Gives the place of the bale that told (-1 none) and what: 1 or 2 a rise by that sum,
    3 the return.
    """
    counts, explaining, new_group = given
    for at in range(counts.shape[0]):
        if new_group[at] > 0:
            kept[GAINS] = kept[GAINS + 1] = 0.0
        if math.isnan(counts[at]):
            continue
        row = explaining[at]
        factor = _factor(row, slopes[0])
        mean = kept[EVENTS] / kept[BALES]
        rate = (kept[EVENTS] + _OPEN * math.sqrt(kept[EVENTS]) + 0.5) / kept[BALES]
        judges = kept[JUDGED] >= learning_bales and kept[EVENTS] >= ENOUGH_EVENTS
        events = counts[at]
        told = 0
        if kept[TOLD] > 0.0:
            kept[SEEN] += events
            kept[EXPECTED] += mean * factor
            if _watch_return(kept, events, mean * factor):
                told = 3
        else:
            kept[WAITING_EVENTS] += events
            kept[WAITING_BALES] += factor
            if judges:
                told = _add(kept, events, (rate * factor, rate), level)
            if kept[SUMS] <= 0.0 and kept[SUMS + 1] <= 0.0:
                _learn(kept, _BLOCK_BALES if judges else 0.0)
                _learn_slopes(row, slopes[0], slopes[1], events - mean * factor, mean * factor)
        kept[JUDGED] += 1.0
        if told > 0:
            return at, told
    return -1, 0
