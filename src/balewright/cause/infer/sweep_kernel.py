"""Both outcomes of many candidate observations, and every cause after each of them; compiled.

A candidate is off if its leak and each of its causes that is there leave it off, so its causes
factor: off multiplies the causes' weights, on is carried as "on by the causes gone through" beside
"off so far". Forward and backward tables come as two such halves; both outcomes are sums of
products of numbers that are not negative, so that a nearly impossible outcome is as exact as any.

Only what the candidate touches is gone through again: before its first cause the forward tables
are those of the evidence, behind its last the backward ones; a group that it does not touch stays.
Several candidates go through together as lanes of one table: first the off halves, then the on.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from balewright.cause.infer.arrays import Floats, Ints
from balewright.cause.infer.pass_kernel import Tapes
from balewright.cause.infer.steps_kernel import Steps
from balewright.cause.infer.table_kernel import (
    close_backward,
    close_forward,
    open_backward,
    open_forward,
    turn_backward,
    turn_forward,
)
from balewright.findings.charts.compiled_kernel import compiled

TOGETHER: Final = 8
"""Candidates that go through together: what is done once a place, whatever the table, is shared."""
LANES: Final = 2 * TOGETHER


@compiled
def _begin(table: Floats, source: Floats) -> None:
    """Every candidate off so far: the evidence's own table in all the off halves."""
    for state in range(source.size):
        for lane in range(TOGETHER):
            table[state * LANES + lane] = source[state]
            table[state * LANES + lane + TOGETHER] = 0.0


@compiled
def _mix_forward(
    table: Floats, there: Floats, absent: float, present: float, turns: Floats, keeps: Floats
) -> None:
    """The cause absent or present; present, it may turn the candidate on."""
    for state in range(there.size // LANES):
        for lane in range(TOGETHER):
            off = state * LANES + lane
            on = off + TOGETHER
            turned = there[on] + turns[lane] * there[off]
            table[on] = absent * table[on] + present * turned
            table[off] = absent * table[off] + present * keeps[lane] * there[off]


@compiled
def _mix_backward(
    table: Floats,
    there: Floats,
    plain: Floats,
    absent: float,
    present: float,
    turns: Floats,
    keeps: Floats,
) -> None:
    """The other way round: what a state that has not turned the candidate on is worth."""
    for state in range(plain.size):
        for lane in range(TOGETHER):
            off = state * LANES + lane
            on = off + TOGETHER
            turned = keeps[lane] * there[on] + turns[lane] * plain[state]
            table[on] = absent * table[on] + present * turned
            table[off] = absent * table[off] + present * keeps[lane] * there[off]


@compiled
def _add_up(there: Floats, plain: Floats, sums: Floats) -> None:
    """Outside what the candidates touch: each half against the evidence's own table."""
    sums[:] = 0.0
    for state in range(plain.size):
        for lane in range(LANES):
            sums[lane] += there[state * LANES + lane] * plain[state]


@compiled
def _add_up_touched(
    reached: Floats, there: Floats, plain: Floats, turns: Floats, keeps: Floats, sums: Floats
) -> None:
    """Within: off so far and left off to the end; on already, turned on here, or on later."""
    sums[:] = 0.0
    for state in range(plain.size):
        for lane in range(TOGETHER):
            at = state * LANES + lane
            off, on = reached[at], reached[at + TOGETHER]
            kept = keeps[lane] * off
            sums[lane] += kept * there[at]
            now = (on + turns[lane] * off) * plain[state]
            sums[lane + TOGETHER] += now + kept * there[at + TOGETHER]


@compiled
def _group_forward(
    steps: Steps,
    tapes: Tapes,
    span: tuple[int, int, int],
    chance: Floats,
    stays: Floats,
    room: tuple[Floats, Floats, Floats, Floats],
    with_it: Floats,
) -> None:
    """From the first touched place to the group's end; keeps the tables up to the last touched.
    span: first, last touched, end. with_it[place]: the sums of both halves with the cause there.
    """
    link, bit, turns, keeps = steps.link, steps.bit, steps.turns, steps.keeps
    opening, starts_on, starts_off = steps.opening, steps.starts_on, steps.starts_off
    closing, closed_bit = steps.closing, steps.closed_bit
    ends_on, ends_off = steps.ends_on, steps.ends_off
    bits, at, absent, present = steps.bits, steps.at, steps.absent, steps.present
    worth, shrink = tapes.worth, tapes.shrink_forward
    table, there, _, kept = room
    first, last, end = span
    _begin(table, tapes.reached[at[first] : at[first + 1]])
    for place in range(first, end):
        size = LANES << bits[place]
        if place > first:
            open_forward(table, size, opening[place], opening[place + 1], starts_on, starts_off)
        if place <= last:
            low = (at[place] - at[first]) * LANES
            kept[low : low + size] = table[:size]
        there[:size] = table[:size]
        turn_forward(there, size, LANES, link[place], link[place + 1], bit, turns, keeps)
        if place > last:
            _add_up(there[:size], worth[at[place] : at[place + 1]], with_it[place])
        scale = 1.0 / shrink[place]
        _mix_forward(table, there[:size], scale * absent[place], scale * present[place],
                     chance[place], stays[place])  # fmt: skip
        ends = closing[place], closing[place + 1]
        close_forward(table, size, LANES, ends[0], ends[1], closed_bit, ends_on, ends_off)


@compiled
def _group_backward(
    steps: Steps,
    tapes: Tapes,
    span: tuple[int, int, int],
    chance: Floats,
    stays: Floats,
    room: tuple[Floats, Floats, Floats, Floats],
    with_it: Floats,
) -> None:
    """From the last touched place to the group's beginning. span: begin, first, last touched."""
    link, bit, turns, keeps = steps.link, steps.bit, steps.turns, steps.keeps
    opening, starts_on, starts_off = steps.opening, steps.starts_on, steps.starts_off
    closing, closed_bit = steps.closing, steps.closed_bit
    ends_on, ends_off = steps.ends_on, steps.ends_off
    bits, at, absent, present = steps.bits, steps.at, steps.absent, steps.present
    reached, shrink = tapes.reached, tapes.shrink_backward
    table, there, plain, kept = room
    begin, first, last = span
    _begin(table, tapes.worth[at[last] : at[last + 1]])
    for place in range(last, begin - 1, -1):
        size = LANES << bits[place]
        states = at[place + 1] - at[place]
        if place < last:
            ends = closing[place], closing[place + 1]
            close_backward(table, size, LANES, ends[0], ends[1], closed_bit, ends_on, ends_off)
        there[:size] = table[:size]
        turn_backward(there, size, LANES, link[place], link[place + 1], bit, turns, keeps)
        if place >= first:
            plain[:states] = tapes.worth[at[place] : at[place + 1]]
            turn_backward(plain, states, 1, link[place], link[place + 1], bit, turns, keeps)
            low = (at[place] - at[first]) * LANES
            _add_up_touched(kept[low : low + size], there, plain[:states], chance[place],
                            stays[place], with_it[place])  # fmt: skip
        else:
            plain[:states] = 0.0
            _add_up(there, reached[at[place] : at[place + 1]], with_it[place])
        if place == begin:
            break
        scale = 1.0 / shrink[place]
        _mix_backward(table, there, plain[:states], scale * absent[place], scale * present[place],
                      chance[place], stays[place])  # fmt: skip
        open_backward(table, size, opening[place], opening[place + 1], starts_on, starts_off)


@compiled
def sweep_group(
    steps: Steps,
    tapes: Tapes,
    begin: int,
    end: int,
    chance: Floats,
    rows: Ints,
    with_off: Floats,
    with_on: Floats,
    outcome: Floats,
) -> None:
    """Every candidate that touches one group, by what they are within the group alone.

    chance[candidate, place]: how the group's causes turn it on; rows: the candidates. Into
    with_off, with_on[candidate, place]: chance that the cause is there and the group leaves the
    candidate off, or turns it on; outcome[candidate, 2]: chance of either.
    """
    spans = np.empty((rows.size, 2), np.int64)
    for one in range(rows.size):
        touched = np.flatnonzero(chance[rows[one], begin:end])
        spans[one, 0], spans[one, 1] = begin + touched[0], begin + touched[-1]
    turn = np.argsort(spans[:, 0] * 4096 + spans[:, 1])
    widest = 0
    for place in range(begin, end):
        widest = max(widest, steps.bits[place])
    room = (
        np.empty(LANES << widest), np.empty(LANES << widest), np.empty(1 << widest),
        np.empty((steps.at[end] - steps.at[begin]) * LANES),
    )  # fmt: skip
    turns, stays = np.zeros((end, TOGETHER)), np.ones((end, TOGETHER))
    with_it = np.zeros((end, LANES))
    for low in range(0, rows.size, TOGETHER):
        count = min(TOGETHER, rows.size - low)
        first, last = end, begin
        turns[begin:] = 0.0
        for lane in range(count):
            one = turn[low + lane]
            first, last = min(first, spans[one, 0]), max(last, spans[one, 1])
            for place in range(begin, end):
                turns[place, lane] = chance[rows[one], place]
        for place in range(begin, end):
            for lane in range(TOGETHER):
                stays[place, lane] = 1.0 - turns[place, lane]
        _group_forward(steps, tapes, (first, last, end), turns, stays, room, with_it)
        for lane in range(count):
            row = rows[turn[low + lane]]
            outcome[row, 0], outcome[row, 1] = room[0][lane], room[0][lane + TOGETHER]
        _group_backward(steps, tapes, (begin, first, last), turns, stays, room, with_it)
        for lane in range(count):
            row = rows[turn[low + lane]]
            for place in range(begin, end):
                scale = steps.present[place] / tapes.whole[place]
                with_off[row, place] = with_it[place, lane] * scale
                with_on[row, place] = with_it[place, lane + TOGETHER] * scale
