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
of them at each side. A bale that speaks against a side is no start there, so it is pushed at one
side only. From the newest to the oldest: all older ones together cannot give more than
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

Where the statistic of every bale is not asked for, `level_bale` or `count_bale` takes a bale in,
`at_most` tells what the statistic cannot be above (the last one, and for each bale since then what
it alone could add), and only where that matters `level_now` or `count_now` tells it. Many series at
once: `many_windows_kernel`. Starts are positions from 0 at the series' beginning, of judged bales;
-1 where the statistic is 0. Ties: the latest start.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from balewright.findings.charts.compiled_kernel import Floats, compiled, inlined

SEEN: Final = 0
"""Bales counted so far, judged or not."""
ROOM: Final = 64
"""Hull points a side that are kept as a rule."""
# head of one side, behind SEEN
_COUNT, _SUM, _WEIGHT, _LAST, _LOST, _SIDE = 0, 1, 2, 3, 4, 5
UP: Final = 1
DOWN: Final = 1 + _SIDE
"""The two sides, as `level_now` and the others want them."""
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
    return float(max(state[UP + _LOST], state[DOWN + _LOST]))


def packed(state: Floats) -> Floats:
    """One state without the room it does not use: mostly 20 to 60 floats."""
    room = (len(state) - HEAD) // (2 * _POINT)
    up, down = int(state[UP + _COUNT]), int(state[DOWN + _COUNT])
    points = state[HEAD:].reshape(2, room * _POINT)
    return np.concatenate([state[:HEAD], points[0, : up * _POINT], points[1, : down * _POINT]])


def unpacked(kept: Floats, room: int = ROOM) -> Floats:
    """The state that `packed` gave, with room for more (or for as many as it has)."""
    up, down = int(kept[UP + _COUNT]), int(kept[DOWN + _COUNT])
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


@inlined
def _push(state: Floats, head: int, first: int, room: int) -> None:
    """Make the present bale a possible start: one hull point more, and those it rules out less."""
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


@inlined
def _add(state: Floats, moved: float, weight: float) -> None:
    """Add a bale to both walks."""
    state[UP + _SUM] += moved
    state[UP + _WEIGHT] += weight
    state[DOWN + _SUM] -= moved
    state[DOWN + _WEIGHT] += weight


@inlined
def level_bale(state: Floats, value: float, weight: float) -> None:
    """Take in one bale of the test for a level without asking what the test says."""
    square = weight * weight
    if abs(value) < math.inf and 0.0 < square < math.inf:
        room = (state.shape[0] - HEAD) // (2 * _POINT)
        gain, moved = 0.5 * value * value, weight * value
        if moved > 0.0:
            _push(state, UP, HEAD, room)
            state[UP + _LAST] += gain
        elif moved < 0.0:
            _push(state, DOWN, HEAD + room * _POINT, room)
            state[DOWN + _LAST] += gain
        _add(state, moved, square)
    state[SEEN] += 1.0


@inlined
def count_bale(state: Floats, events: float, expected: float) -> None:
    """Take in one bale of the test for a rate without asking what the test says."""
    if 0.0 <= events < math.inf and 0.0 < expected < math.inf:
        room = (state.shape[0] - HEAD) // (2 * _POINT)
        excess = events - expected
        gain = -excess
        if events > 0.0:
            gain += events * math.log(events / expected)
        if excess > 0.0:
            _push(state, UP, HEAD, room)
            state[UP + _LAST] += gain
        elif excess < 0.0:
            _push(state, DOWN, HEAD + room * _POINT, room)
            state[DOWN + _LAST] += gain
        _add(state, excess, expected)
    state[SEEN] += 1.0


@inlined
def at_most(state: Floats, side: int) -> float:
    """What the statistic of a side (UP or DOWN) cannot be above now; cheap."""
    return float(state[side + _LAST])


@compiled
def level_now(state: Floats, side: int) -> tuple[float, float]:
    """The statistic of a side (UP or DOWN) of the test for a level now, and its start."""
    count = int(state[side + _COUNT])
    first = HEAD if side == UP else HEAD + (state.shape[0] - HEAD) // 2
    total, all_weight = state[side + _SUM], state[side + _WEIGHT]
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
    state[side + _LAST] = best
    return best, start


@compiled
def count_now(state: Floats, side: int) -> tuple[float, float]:
    """The statistic of a side of the test for a rate now, and its start."""
    count = int(state[side + _COUNT])
    first, sign = (HEAD, 1.0) if side == UP else (HEAD + (state.shape[0] - HEAD) // 2, -1.0)
    total, all_expected = state[side + _SUM], state[side + _WEIGHT]
    best, start = 0.0, -1.0
    for point in range(count - 1, -1, -1):
        here = first + point * _POINT
        gain = total - state[here + _AT_SUM]
        given = 0.0
        if gain > 0.0:
            wanted = all_expected - state[here + _AT_WEIGHT]
            events = wanted + sign * gain
            given = -sign * gain  # E - X
            if events > 1e-9:  # less than one event in all is none
                given += events * math.log(events / wanted)
            if given > best:
                best, start = given, state[here + _AT_START]
        if given + state[here + _AT_BOUND] <= best:
            break
    state[side + _LAST] = best
    return best, start


@compiled
def windows_step(state: Floats, value: float, weight: float) -> tuple[float, float, float, float]:
    """One bale of the test for a level. value: u, standardised; weight: c.

    Gives the statistic and the start for a change up, then for one down. Of a bale that is not
    judged it gives what stood before it.
    """
    level_bale(state, value, weight)
    up, up_start = level_now(state, UP)
    down, down_start = level_now(state, DOWN)
    return up, up_start, down, down_start


@compiled
def counts_step(state: Floats, events: float, expected: float) -> tuple[float, float, float, float]:
    """One bale of the test for a rate. events: 0, 1, 2, ...; expected: above 0. As above."""
    count_bale(state, events, expected)
    up, up_start = count_now(state, UP)
    down, down_start = count_now(state, DOWN)
    return up, up_start, down, down_start
