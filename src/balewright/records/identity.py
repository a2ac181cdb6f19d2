"""Which rows are the same bale. Nothing is invented: a row nobody can place stays by itself.

Identity is machine + lifetime number (epoch and number), else machine + time. A number whose epoch
is unknown may come again after a reset that nobody told: rows more than a day apart are then two
bales, and so are two times within one file, of which the first, second ... meet those of another
file. Where files within that day tell an epoch, it is taken to be that one.

A row of status `re-wrapped` is a further pass over the wrapper, not a second bale. Where no row
of the bale itself was recorded, the pass stands for it if it shows a time of the chamber.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from balewright.records.bales import BaleTable, Mask
from balewright.records.columns import CHAMBER_PHASES

BALE_TIMES: Final = (
    "gate_open_at", "tipped_at", "wrap_end_at", "bind_end_at", "full_at",
    "closed_at", "bind_start_at", "wrap_start_at", "on_wrapper_at",
)  # fmt: skip
"""A bale's time is the first of these that is known: most counters step when it leaves."""

RESET_GAP_US: Final = 24 * 3600 * 1_000_000
"""Same number, unknown epoch, further apart than this: a counter was reset. Our own choice."""

REWRAPPED: Final = "re-wrapped"

Whole = NDArray[np.int64]
_NO_TIME: Final = np.iinfo(np.int64).min


@dataclass(frozen=True, eq=False)
class Sources:
    """Where each row comes from, each of shape (rows,).

    file: number of its file, in the order of the files' hashes; row: its place in the file;
    known_cells: how much of the bale that row knew when it was taken in.
    """

    file: Whole
    row: Whole
    known_cells: Whole


@dataclass(frozen=True, eq=False)
class Bales:
    """Which rows are one bale.

    group: rows of the same bale (or of the same pass) share a number, 0..groups-1;
    counts: shape (groups,), whether the group is a bale of the book; passes: whether it is a
    further pass over the wrapper.
    """

    group: Whole
    counts: Mask
    passes: Mask


def bale_times(bales: BaleTable) -> tuple[Whole, Mask]:
    """Each bale's time in UTC microseconds and where it is known, shape (rows,)."""
    times = np.zeros(bales.rows, dtype=np.int64)
    known = np.zeros(bales.rows, dtype=np.bool_)
    for name in BALE_TIMES:
        first = bales.mask(name) & ~known
        times[first] = bales.column(name)[first]
        known |= first
    return times, known


def count_known(bales: BaleTable) -> Whole:
    """How many cells of each row are known, shape (rows,)."""
    known = np.zeros(bales.rows, dtype=np.int64)
    for mask in bales.known.values():
        known += mask
    return known


def tell_bales_apart(bales: BaleTable, sources: Sources) -> Bales:
    """Find which rows are the same bale. Row order does not matter."""
    times, timed = bale_times(bales)
    machine = _codes(bales.column("machine"))
    known_machine = bales.mask("machine")
    numbered = bales.mask("bale_no") & known_machine
    placed = numbered | (timed & known_machine)
    number = np.where(numbered, bales.column("bale_no"), -1)
    time = np.where(timed, times, _NO_TIME)
    passes = bales.mask("status") & (bales.column("status") == REWRAPPED)
    days = np.where(numbered, _close_days(machine, number, time), 0)
    epoch, spot, again = _epochs(bales, numbered, days, (sources.file, passes, time))
    lone = np.where(placed, -1, np.arange(bales.rows))
    bale = _codes_of(machine, number, epoch, spot, np.where(numbered, 0, time), lone)
    group = _codes_of(bale, passes.astype(np.int64), again)
    return _judge(bales, bale, group, passes, again)


def _judge(bales: BaleTable, bale: Whole, group: Whole, passes: Mask, again: Whole) -> Bales:
    """Say which groups count: ordinary rows do; a pass only where it alone shows the bale."""
    groups = int(group.max(initial=-1)) + 1
    chamber = np.zeros(bales.rows, dtype=np.bool_)
    for name in CHAMBER_PHASES:
        chamber |= bales.mask(name)
    made = np.zeros(int(bale.max(initial=-1)) + 1, dtype=np.bool_)
    made[bale[~passes]] = True
    is_pass = np.zeros(groups, dtype=np.bool_)
    is_pass[group[passes]] = True
    stands_in = np.zeros(groups, dtype=np.bool_)
    stands_in[group[passes & chamber & ~made[bale] & (again == 0)]] = True
    return Bales(group, ~is_pass | stands_in, is_pass)


def _close_days(machine: Whole, number: Whole, time: Whole) -> Whole:
    """Number the runs of rows of one machine and number with no gap of more than a day."""
    order = np.lexsort((time, number, machine))
    at, timed = time[order], time[order] != _NO_TIME
    same = (np.diff(machine[order]) == 0) & (np.diff(number[order]) == 0)
    gap = np.where(timed[1:] & timed[:-1], at[1:] - np.where(timed[:-1], at[:-1], 0), 0)
    days = np.zeros(len(time), dtype=np.int64)
    days[order[1:]] = np.cumsum(~same | (gap > RESET_GAP_US))
    return days


def _epochs(
    bales: BaleTable, numbered: Mask, days: Whole, seen: tuple[Whole, Mask, Whole]
) -> tuple[Whole, Whole, Whole]:
    """The epoch told or taken (-1: none), the run of days where it decides, the occurrence."""
    file, passes, time = seen
    told = numbered & bales.mask("counter_epoch")
    unset = numbered & ~told
    lowest = np.full(int(days.max(initial=0)) + 1, np.iinfo(np.int64).max)
    np.minimum.at(lowest, days[told], bales.column("counter_epoch")[told])
    taken = np.where(lowest[days] == np.iinfo(np.int64).max, -1, lowest[days])
    epoch = np.where(told, bales.column("counter_epoch"), np.where(unset, taken, -1))
    again = np.where(unset, _dense_rank((days, file, passes.astype(np.int64)), time), 0)
    spot = np.where(unset & ((epoch < 0) | (again > 0)), days, -1)
    return epoch, spot, again


def _dense_rank(within: tuple[Whole, ...], value: Whole) -> Whole:
    """Place of each value among the distinct ones of its part, from 0."""
    part = _codes_of(*within)
    order = np.lexsort((value, part))
    new_part = np.diff(part[order], prepend=-1) != 0
    new_value = new_part | (np.diff(value[order], prepend=0) != 0)
    running = np.cumsum(new_value)
    first = np.maximum.accumulate(np.where(new_part, running, 0))
    rank = np.empty(len(value), dtype=np.int64)
    rank[order] = running - first
    return rank


def _codes(values: NDArray[Any]) -> Whole:
    return np.unique(values, return_inverse=True)[1].astype(np.int64)


def _codes_of(*columns: Whole) -> Whole:
    """One number for each distinct combination."""
    stacked = np.stack(columns, axis=1)
    return np.unique(stacked, axis=0, return_inverse=True)[1].reshape(-1).astype(np.int64)
