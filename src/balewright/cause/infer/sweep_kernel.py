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

TOGETHER: Final = 4
"""Candidates that go through together: two halves of four fill the registers of one core."""
LANES: Final = 2 * TOGETHER


@compiled
def _mix_forward(table: Floats, there: Floats, size: int, absent: float, present: float,
                 chance: Floats) -> None:  # fmt: skip
    """The cause absent or present; present, it may turn the candidate on."""
    for state in range(size):
        low = state * LANES
        for lane in range(TOGETHER):
            off, on = low + lane, low + lane + TOGETHER
            turned = present * chance[lane] * there[off]
            table[on] = absent * table[on] + present * there[on] + turned
            table[off] = absent * table[off] + present * (1.0 - chance[lane]) * there[off]


@compiled
def _mix_backward(
    table: Floats,
    there: Floats,
    plain: Floats,
    size: int,
    absent: float,
    present: float,
    chance: Floats,
) -> None:
    """The other way round: what a state that has not turned the candidate on is worth."""
    for state in range(size):
        low = state * LANES
        for lane in range(TOGETHER):
            off, on = low + lane, low + lane + TOGETHER
            keeps = present * (1.0 - chance[lane])
            turned = present * chance[lane] * plain[state]
            table[on] = absent * table[on] + keeps * there[on] + turned
            table[off] = absent * table[off] + keeps * there[off]


@compiled
def _group_forward(
    steps: Steps,
    tapes: Tapes,
    first: int,
    last: int,
    end: int,
    chance: Floats,
    work: Floats,
    kept: Floats,
    with_off: Floats,
    with_on: Floats,
    outcome: Floats,
) -> None:
    """From the first touched place to the group's end; keeps the tables up to the last touched."""
    table, there = work[0], work[1]
    for entry in range(1 << steps.bits[first]):
        for lane in range(TOGETHER):
            table[entry * LANES + lane] = tapes.reached[steps.at[first] + entry]
            table[entry * LANES + lane + TOGETHER] = 0.0
    origin = steps.at[first]
    for place in range(first, end):
        size = 1 << steps.bits[place]
        if place > first:
            open_forward(steps, place, table, LANES)
        there[: size * LANES] = table[: size * LANES]
        if place <= last:
            low = (steps.at[place] - origin) * LANES
            kept[low : low + size * LANES] = table[: size * LANES]
        turn_forward(steps, place, there, LANES)
        absent, present = steps.absent[place], steps.present[place]
        if place > last:
            sums = np.zeros(LANES)
            for state in range(size):
                worth = tapes.worth[steps.at[place] + state]
                for lane in range(LANES):
                    sums[lane] += there[state * LANES + lane] * worth
            scale = present / tapes.whole[place]
            for lane in range(TOGETHER):
                with_off[lane, place] = sums[lane] * scale
                with_on[lane, place] = sums[lane + TOGETHER] * scale
        _mix_forward(table, there, size, absent, present, chance[place])
        size = close_forward(steps, place, table, LANES)
        scale = 1.0 / tapes.shrink_forward[place]
        for entry in range(size):
            table[entry] *= scale
    for lane in range(LANES):
        outcome[lane] = table[lane]


@compiled
def _group_backward(
    steps: Steps,
    tapes: Tapes,
    first: int,
    last: int,
    begin: int,
    chance: Floats,
    work: Floats,
    kept: Floats,
    with_off: Floats,
    with_on: Floats,
) -> None:
    """From the last touched place to the group's beginning."""
    table, there, plain = work[0], work[1], work[2]
    for entry in range(1 << steps.bits[last]):
        for lane in range(TOGETHER):
            table[entry * LANES + lane] = tapes.worth[steps.at[last] + entry]
            table[entry * LANES + lane + TOGETHER] = 0.0
    for place in range(last, begin - 1, -1):
        size = 1 << steps.bits[place]
        start = steps.at[place]
        if place < last:
            close_backward(steps, place, table, LANES)
        there[: size * LANES] = table[: size * LANES]
        turn_backward(steps, place, there, LANES)
        plain[:size] = tapes.worth[start : start + size]
        turn_backward(steps, place, plain, 1)
        absent, present = steps.absent[place], steps.present[place]
        sums = np.zeros(LANES)
        if place >= first:
            low = (start - steps.at[first]) * LANES
            for state in range(size):
                for lane in range(TOGETHER):
                    off = kept[low + state * LANES + lane]
                    on = kept[low + state * LANES + lane + TOGETHER]
                    turns = chance[place, lane]
                    keeps = 1.0 - turns
                    sums[lane] += keeps * off * there[state * LANES + lane]
                    sums[lane + TOGETHER] += (on + turns * off) * plain[state]
                    sums[lane + TOGETHER] += keeps * off * there[state * LANES + lane + TOGETHER]
        else:
            for state in range(size):
                reached = tapes.reached[start + state]
                for lane in range(LANES):
                    sums[lane] += there[state * LANES + lane] * reached
        scale = present / tapes.whole[place]
        for lane in range(TOGETHER):
            with_off[lane, place] = sums[lane] * scale
            with_on[lane, place] = sums[lane + TOGETHER] * scale
        if place == begin:
            break
        _mix_backward(table, there, plain, size, absent, present, chance[place])
        open_backward(steps, place, table, LANES)
        size = LANES << (steps.bits[place] - (steps.opening[place + 1] - steps.opening[place]))
        scale = 1.0 / tapes.shrink_backward[place]
        for entry in range(size):
            table[entry] *= scale


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
    work = np.empty((3, LANES << widest))
    kept = np.empty((steps.at[end] - steps.at[begin]) * LANES)
    lanes_chance = np.zeros((steps.cause.size, TOGETHER))
    lanes_off = np.zeros((TOGETHER, steps.cause.size))
    lanes_on = np.zeros((TOGETHER, steps.cause.size))
    both = np.empty(LANES)
    for low in range(0, rows.size, TOGETHER):
        count = min(TOGETHER, rows.size - low)
        first, last = end, begin
        lanes_chance[begin:end] = 0.0
        for lane in range(count):
            one = turn[low + lane]
            first, last = min(first, spans[one, 0]), max(last, spans[one, 1])
            for place in range(begin, end):
                lanes_chance[place, lane] = chance[rows[one], place]
        _group_forward(steps, tapes, first, last, end, lanes_chance, work, kept, lanes_off,
                       lanes_on, both)  # fmt: skip
        _group_backward(steps, tapes, first, last, begin, lanes_chance, work, kept, lanes_off,
                        lanes_on)  # fmt: skip
        for lane in range(count):
            row = rows[turn[low + lane]]
            outcome[row, 0], outcome[row, 1] = both[lane], both[lane + TOGETHER]
            for place in range(begin, end):
                with_off[row, place] = lanes_off[lane, place]
                with_on[row, place] = lanes_on[lane, place]
