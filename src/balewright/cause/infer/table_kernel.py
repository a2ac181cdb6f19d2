"""What is done to a table over the open observations, forward and backward; compiled.

Entry s * lanes + lane belongs to the state s: bit b of s tells whether open observation b is on.
Forward an entry is how likely the causes gone through have led to s; backward, how likely those
still to come answer for the rest from s on. Several lanes are several tables of one shape, gone
through together. Nothing here subtracts.

Two things make it quick. The innermost loops run over slices from 0 on: only then does the compiler
know that no index is negative, and makes vectors of them. And everything is handed over as plain
arrays: a field of a named tuple is counted in and out at every touch, which here costs more than
the work.
"""

from __future__ import annotations

from balewright.cause.infer.arrays import Floats, Ints
from balewright.findings.charts.compiled_kernel import compiled


@compiled
def _turn_on(table: Floats, size: int, half: int, turns: float, keeps: float) -> None:
    for base in range(0, size, 2 * half):
        low, high = table[base : base + half], table[base + half : base + 2 * half]
        for entry in range(half):
            off = low[entry]
            high[entry] += turns * off
            low[entry] = keeps * off


@compiled
def _turn_back(table: Floats, size: int, half: int, turns: float, keeps: float) -> None:
    for base in range(0, size, 2 * half):
        low, high = table[base : base + half], table[base + half : base + 2 * half]
        for entry in range(half):
            low[entry] = keeps * low[entry] + turns * high[entry]


@compiled
def _open(table: Floats, size: int, on: float, off: float) -> None:
    low, high = table[:size], table[size : 2 * size]
    for entry in range(size):
        high[entry] = on * low[entry]
        low[entry] *= off


@compiled
def _open_back(table: Floats, size: int, on: float, off: float) -> None:
    low, high = table[:size], table[size : 2 * size]
    for entry in range(size):
        low[entry] = off * low[entry] + on * high[entry]


@compiled
def _close(table: Floats, size: int, half: int, on: float, off: float) -> None:
    for base in range(0, size, 2 * half):
        low, high = table[base : base + half], table[base + half : base + 2 * half]
        closed = table[base // 2 : base // 2 + half]
        for entry in range(half):
            closed[entry] = on * high[entry] + off * low[entry]


@compiled
def _close_back(table: Floats, size: int, half: int, on: float, off: float) -> None:
    for base in range(size - 2 * half, -1, -2 * half):
        low, high = table[base : base + half], table[base + half : base + 2 * half]
        closed = table[base // 2 : base // 2 + half]
        for entry in range(half):
            worth = closed[entry]
            high[entry] = on * worth
            low[entry] = off * worth


@compiled
def turn_forward(
    table: Floats, size: int, lanes: int, first: int, last: int, bit: Ints, turns: Floats,
    keeps: Floats,
) -> None:  # fmt: skip
    """A cause is there: each observation of its links first..last - 1 that is off, it may turn on.
    size: entries of the table.
    """
    for link in range(first, last):
        _turn_on(table, size, lanes << bit[link], turns[link], keeps[link])


@compiled
def turn_backward(
    table: Floats, size: int, lanes: int, first: int, last: int, bit: Ints, turns: Floats,
    keeps: Floats,
) -> None:  # fmt: skip
    """The other way round: what a state is worth if the cause is there."""
    for link in range(first, last):
        _turn_back(table, size, lanes << bit[link], turns[link], keeps[link])


@compiled
def open_forward(table: Floats, size: int, first: int, last: int, on: Floats, off: Floats) -> None:
    """Open observations first..last - 1: each off, or on by its leak. size: entries afterwards."""
    size >>= last - first
    for one in range(first, last):
        _open(table, size, on[one], off[one])
        size *= 2


@compiled
def open_backward(table: Floats, size: int, first: int, last: int, on: Floats, off: Floats) -> None:
    """The other way round: what both beginnings are worth together. size: entries before."""
    for one in range(last - 1, first - 1, -1):
        size //= 2
        _open_back(table, size, on[one], off[one])


@compiled
def close_forward(
    table: Floats, size: int, lanes: int, first: int, last: int, bit: Ints, on: Floats,
    off: Floats,
) -> None:  # fmt: skip
    """Close observations first..last - 1, each half with its weight. size: entries before."""
    for one in range(first, last):
        _close(table, size, lanes << bit[one], on[one], off[one])
        size //= 2


@compiled
def close_backward(
    table: Floats, size: int, lanes: int, first: int, last: int, bit: Ints, on: Floats,
    off: Floats,
) -> None:  # fmt: skip
    """The other way round: what each half is worth. size: entries afterwards."""
    size >>= last - first
    for one in range(last - 1, first - 1, -1):
        size *= 2
        _close_back(table, size, lanes << bit[one], on[one], off[one])
