"""What is done to a table over the open observations, forward and backward; compiled.

Entry s * lanes + lane belongs to the state s: bit b of s tells whether open observation b is on.
Forward an entry is how likely the causes gone through have led to s; backward, how likely those
still to come answer for the rest from s on. Several lanes are several tables of one shape, gone
through together. Nothing here subtracts.
"""

from __future__ import annotations

from balewright.cause.infer.arrays import Floats
from balewright.cause.infer.steps_kernel import Steps
from balewright.findings.charts.compiled_kernel import compiled


@compiled
def open_forward(steps: Steps, place: int, table: Floats, lanes: int) -> None:
    """Open the place's observations: each off, or on by its leak."""
    first, last = steps.opening[place], steps.opening[place + 1]
    size = lanes << (steps.bits[place] - (last - first))
    for one in range(first, last):
        on, off = steps.starts_on[one], steps.starts_off[one]
        for entry in range(size):
            table[size + entry] = on * table[entry]
        for entry in range(size):
            table[entry] *= off
        size *= 2


@compiled
def open_backward(steps: Steps, place: int, table: Floats, lanes: int) -> None:
    """The other way round: what both beginnings are worth together."""
    first, last = steps.opening[place], steps.opening[place + 1]
    size = lanes << steps.bits[place]
    for one in range(last - 1, first - 1, -1):
        on, off = steps.starts_on[one], steps.starts_off[one]
        size //= 2
        for entry in range(size):
            table[entry] = off * table[entry] + on * table[size + entry]


@compiled
def turn_forward(steps: Steps, place: int, table: Floats, lanes: int) -> None:
    """The place's cause is there: each observation it may turn on that is off, it may turn on."""
    size = lanes << steps.bits[place]
    for link in range(steps.link[place], steps.link[place + 1]):
        half = lanes << steps.bit[link]
        turns, keeps = steps.turns[link], steps.keeps[link]
        for base in range(0, size, 2 * half):
            for entry in range(base, base + half):
                off = table[entry]
                table[entry + half] += turns * off
                table[entry] = keeps * off


@compiled
def turn_backward(steps: Steps, place: int, table: Floats, lanes: int) -> None:
    """The other way round: what a state is worth if the cause is there."""
    size = lanes << steps.bits[place]
    for link in range(steps.link[place], steps.link[place + 1]):
        half = lanes << steps.bit[link]
        turns, keeps = steps.turns[link], steps.keeps[link]
        for base in range(0, size, 2 * half):
            for entry in range(base, base + half):
                table[entry] = keeps * table[entry] + turns * table[entry + half]


@compiled
def close_forward(steps: Steps, place: int, table: Floats, lanes: int) -> int:
    """Close what ends at the place: both halves, each with its weight. Gives the entries left."""
    size: int = lanes << steps.bits[place]
    for one in range(steps.closing[place], steps.closing[place + 1]):
        half = lanes << steps.closed_bit[one]
        on, off = steps.ends_on[one], steps.ends_off[one]
        for base in range(0, size, 2 * half):
            low = base // 2
            for entry in range(half):
                ends = on * table[base + half + entry] + off * table[base + entry]
                table[low + entry] = ends
        size //= 2
    return size


@compiled
def close_backward(steps: Steps, place: int, table: Floats, lanes: int) -> None:
    """The other way round: what each half is worth."""
    first, last = steps.closing[place], steps.closing[place + 1]
    size = lanes << (steps.bits[place] - (last - first))
    for one in range(last - 1, first - 1, -1):
        half = lanes << steps.closed_bit[one]
        on, off = steps.ends_on[one], steps.ends_off[one]
        size *= 2
        for base in range(size - 2 * half, -1, -2 * half):
            low = base // 2
            for entry in range(half):
                worth = table[low + entry]
                table[base + half + entry] = on * worth
                table[base + entry] = off * worth
