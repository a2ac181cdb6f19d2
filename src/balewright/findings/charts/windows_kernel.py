"""The exact test of all windows that end now, for a change of any size, compiled.

For a standardised series (mean 0, variance 1 while nothing has changed) whose bale t would have
the mean d c_t after a change: the generalised likelihood ratio over every start s and every d,

    max over s of  (sum of c_t u_t from s to now)^2 / (2 sum of c_t^2 from s to now),

for d > 0 (up) and d < 0 (down), and the start s that gives it. For counts: bale t has x_t events
and e_t expected, and after a change rho e_t; with X and E the sums of the window,

    max over s of  X ln(X / E) - X + E,      for X > E (up) and X < E (down).

Method (functional pruning: Romano, Eckley, Fearnhead and Rigaill, JMLR 24:1-36, 2023; for counts
Ward, Dilillo, Eckley and Fearnhead, 2022). With the walk of the sums, A (of c u, or x - e) over B
(of c^2, or e), a start can be best for some d only while its point lies on the lower convex hull
of the walk, and only right of the walk's lowest point. So a new bale is pushed onto the hull as in
the monotone chain, and only hull points are tried; for a walk without change there are about ln n
of them at each side. From the newest to the oldest: all older ones together cannot give more than
this one gives plus what the test gave when this one was new, so trying mostly stops early, and the
maximum stays exact. Down is the same on the mirrored walk.

Rounding: sums are counted from the lowest point of the walk, so they never grow longer than the
longest window that is still a candidate.

State of one series: a row of floats from `new_windows(room)`; `packed` drops the unused part for
keeping, `unpacked` brings it back. room: hull points at each side. A level that creeps makes a
long hull; when it is full, the point goes whose loss costs the statistic least, and LOST adds up
by how much the statistic may be too low at most; it is 0 as long as the answer is exact.
A value of NaN, or a weight of NaN or 0, is a bale not judged: counted and passed over; so is what
is infinite.

    windows_step(state, value, weight) -> (up, up_start, down, down_start)
    counts_step(state, events, expected) -> the same

Many series at once: `many_windows_kernel`. The starts are positions from 0 at the series'
beginning, of judged bales; -1 where the statistic is 0. Ties: the latest start.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from balewright.findings.charts.compiled_kernel import Floats, compiled

SEEN: Final = 0
"""Bales counted so far, judged or not."""
ROOM: Final = 64
"""Hull points a side that are kept as a rule."""
# head of one side, behind SEEN
_COUNT, _SUM, _WEIGHT, _LAST, _LOST, _SIDE = 0, 1, 2, 3, 4, 5
HEAD: Final = 1 + 2 * _SIDE
# one hull point: walk before its start, its position, what the test gave then
_AT_SUM, _AT_WEIGHT, _AT_START, _AT_BOUND, _POINT = 0, 1, 2, 3, 4


def new_windows(series: int | None = None, room: int = ROOM) -> Floats:
    """The state of a test that has seen nothing: one row, or one for each series.

    room: hull points a side, 4 or more.
    """
    size = HEAD + 2 * room * _POINT
    return np.zeros(size if series is None else (series, size))


def lost(state: Floats) -> float:
    """By how much the statistic may be too low at most; 0 where it is exact."""
    return float(max(state[1 + _LOST], state[1 + _SIDE + _LOST]))


def packed(state: Floats) -> Floats:
    """One state without the room it does not use: mostly 20 to 60 floats."""
    room = (len(state) - HEAD) // (2 * _POINT)
    up, down = int(state[1 + _COUNT]), int(state[1 + _SIDE + _COUNT])
    points = state[HEAD:].reshape(2, room * _POINT)
    return np.concatenate([state[:HEAD], points[0, : up * _POINT], points[1, : down * _POINT]])


def unpacked(kept: Floats, room: int = ROOM) -> Floats:
    """The state that `packed` gave, with room for more (or for as many as it has)."""
    up, down = int(kept[1 + _COUNT]), int(kept[1 + _SIDE + _COUNT])
    state = new_windows(room=max(room, up, down))
    points = state[HEAD:].reshape(2, -1)
    state[:HEAD] = kept[:HEAD]
    points[0, : up * _POINT] = kept[HEAD : HEAD + up * _POINT]
    points[1, : down * _POINT] = kept[HEAD + up * _POINT :]
    return state


@compiled
def _thin(state: Floats, head: int, first: int, count: int) -> None:
    """Take out the inner hull point whose loss costs least, and add up what it may cost.

    Between its neighbours' line and the point lies `gap`; for the d whose half is that line's
    slope, and for no other, the maximum drops by the whole of d times gap.
    """
    least, which = math.inf, 1
    for point in range(1, count - 1):
        here = first + point * _POINT
        before, after = here - _POINT, here + _POINT
        rise = state[after + _AT_SUM] - state[before + _AT_SUM]
        slope = rise / (state[after + _AT_WEIGHT] - state[before + _AT_WEIGHT])
        along = state[here + _AT_WEIGHT] - state[before + _AT_WEIGHT]
        gap = state[before + _AT_SUM] + slope * along - state[here + _AT_SUM]
        if 2.0 * slope * gap < least:
            least, which = 2.0 * slope * gap, point
    start = first + which * _POINT
    for place in range(start, first + (count - 1) * _POINT):
        state[place] = state[place + _POINT]
    state[head + _LOST] += max(0.0, least)


@compiled
def _push(state: Floats, head: int, first: int, room: int) -> int:
    """Make the present bale a possible start: one hull point more. Gives how many there are."""
    count = int(state[head + _COUNT])
    total, weight = state[head + _SUM], state[head + _WEIGHT]
    while count > 0:
        last = first + (count - 1) * _POINT
        rise, run = total - state[last + _AT_SUM], weight - state[last + _AT_WEIGHT]
        if rise > 0.0:
            if count == 1:
                break
            before = last - _POINT
            steep = state[last + _AT_SUM] - state[before + _AT_SUM]
            if rise * (state[last + _AT_WEIGHT] - state[before + _AT_WEIGHT]) > steep * run:
                break
        count -= 1
    if count == 0:  # the lowest point of the walk so far: count from here
        total = weight = 0.0
        state[head + _SUM] = state[head + _WEIGHT] = state[head + _LAST] = 0.0
    if count == room:
        _thin(state, head, first, count)
        count -= 1
    new = first + count * _POINT
    state[new + _AT_SUM], state[new + _AT_WEIGHT] = total, weight
    state[new + _AT_START], state[new + _AT_BOUND] = state[SEEN], state[head + _LAST]
    state[head + _COUNT] = count + 1
    return count + 1


@compiled
def _normal_side(
    state: Floats, head: int, first: int, room: int, value: float, weight: float
) -> tuple[float, float]:
    """One bale at one side; value, weight: what it adds to the two sums."""
    count = _push(state, head, first, room)
    state[head + _SUM] += value
    state[head + _WEIGHT] += weight
    total, all_weight = state[head + _SUM], state[head + _WEIGHT]
    best, start = 0.0, -1.0
    for point in range(count - 1, -1, -1):
        here = first + point * _POINT
        gain = total - state[here + _AT_SUM]
        given = 0.0
        if gain > 0.0:
            given = 0.5 * gain * gain / (all_weight - state[here + _AT_WEIGHT])
            if given > best:
                best, start = given, state[here + _AT_START]
        if given + state[here + _AT_BOUND] <= best:
            break
    state[head + _LAST] = best
    return best, start


@compiled
def _count_side(
    state: Floats, head: int, first: int, room: int, excess: float, expected: float, side: float
) -> tuple[float, float]:
    """As `_normal_side`, for counts; excess: events less expected, at the lower side mirrored."""
    count = _push(state, head, first, room)
    state[head + _SUM] += excess
    state[head + _WEIGHT] += expected
    total, all_expected = state[head + _SUM], state[head + _WEIGHT]
    best, start = 0.0, -1.0
    for point in range(count - 1, -1, -1):
        here = first + point * _POINT
        gain = total - state[here + _AT_SUM]
        given = 0.0
        if gain > 0.0:
            wanted = all_expected - state[here + _AT_WEIGHT]
            events = wanted + side * gain
            given = -side * gain  # E - X
            if events > 1e-9:  # fewer than one event in all is none
                given += events * math.log(events / wanted)
            if given > best:
                best, start = given, state[here + _AT_START]
        if given + state[here + _AT_BOUND] <= best:
            break
    state[head + _LAST] = best
    return best, start


@compiled
def windows_step(state: Floats, value: float, weight: float) -> tuple[float, float, float, float]:
    """One bale of the test for a level. value: u, standardised; weight: c.

    Gives the statistic and the start for a change up, then for one down. Of a bale that is not
    judged it gives what the test gave last, with starts of -1.
    """
    square = weight * weight
    if not (abs(value) < math.inf and 0.0 < square < math.inf):
        state[SEEN] += 1.0
        return state[1 + _LAST], -1.0, state[1 + _SIDE + _LAST], -1.0
    room = (state.shape[0] - HEAD) // (2 * _POINT)
    below = HEAD + room * _POINT
    moved = weight * value
    up, up_start = _normal_side(state, 1, HEAD, room, moved, square)
    down, down_start = _normal_side(state, 1 + _SIDE, below, room, -moved, square)
    state[SEEN] += 1.0
    return up, up_start, down, down_start


@compiled
def counts_step(state: Floats, events: float, expected: float) -> tuple[float, float, float, float]:
    """One bale of the test for a rate. events: 0, 1, 2, ...; expected: above 0. As above."""
    if not (events >= 0.0 and 0.0 < expected < math.inf):
        state[SEEN] += 1.0
        return state[1 + _LAST], -1.0, state[1 + _SIDE + _LAST], -1.0
    room = (state.shape[0] - HEAD) // (2 * _POINT)
    below = HEAD + room * _POINT
    excess = events - expected
    up, up_start = _count_side(state, 1, HEAD, room, excess, expected, 1.0)
    down, down_start = _count_side(state, 1 + _SIDE, below, room, -excess, expected, -1.0)
    state[SEEN] += 1.0
    return up, up_start, down, down_start
