"""Which rows are the same bale. Nothing is invented: a row nobody can place stays by itself.

Identity is machine + lifetime number (number and epoch), else machine + counter and time: a number
whose epoch nobody tells may be a task's counter, or come again after a reset. A row that tells no
epoch is the bale of a row that does where machine, number and time agree. Without a number, machine
and time say it; rows that one file gives with one time are several bales (a clock that stands), of
which the first, second ... meet those of another file.

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
    epoch = _epochs(bales, numbered, _codes_of(machine, number, time))
    unnumbered = np.where(
        placed & ~numbered,
        _places((machine, time, sources.file, passes.astype(np.int64)), numbered, sources.row),
        0,
    )
    lone = np.where(placed, -1, np.arange(bales.rows))
    bale = _codes_of(machine, number, epoch, np.where(epoch >= 0, 0, time), unnumbered, lone)
    group = _codes_of(bale, passes.astype(np.int64))
    return _judge(bales, bale, group, passes)


def _judge(bales: BaleTable, bale: Whole, group: Whole, passes: Mask) -> Bales:
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
    stands_in[group[passes & chamber & ~made[bale]]] = True
    return Bales(group, ~is_pass | stands_in, is_pass)


def _epochs(bales: BaleTable, numbered: Mask, moment: Whole) -> Whole:
    """The epoch a row tells, or that one of the same machine, number and time tells; else -1."""
    told = numbered & bales.mask("counter_epoch")
    nobody = np.iinfo(np.int64).max
    lowest = np.full(int(moment.max(initial=-1)) + 1, nobody)
    np.minimum.at(lowest, moment[told], bales.column("counter_epoch")[told])
    taken = np.where(numbered & (lowest[moment] != nobody), lowest[moment], -1)
    return np.where(told, bales.column("counter_epoch"), taken)


def _places(within: tuple[Whole, ...], left_out: Mask, row: Whole) -> Whole:
    """Place of each row among those of its part, from 0; rows left out have no part in it."""
    part = _codes_of(*within, left_out.astype(np.int64))
    order = np.lexsort((row, part))
    first = np.searchsorted(part[order], part[order])
    places = np.empty(len(row), dtype=np.int64)
    places[order] = np.arange(len(row)) - first
    return places


def _codes(values: NDArray[Any]) -> Whole:
    return np.unique(values, return_inverse=True)[1].astype(np.int64)


def _codes_of(*columns: Whole) -> Whole:
    """One number for each distinct combination."""
    stacked = np.stack(columns, axis=1)
    return np.unique(stacked, axis=0, return_inverse=True)[1].reshape(-1).astype(np.int64)
