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
from balewright.records.text_codes import code_texts

BALE_TIMES: Final = (
    "gate_open_at", "tipped_at", "wrap_end_at", "bind_end_at", "full_at",
    "closed_at", "bind_start_at", "wrap_start_at", "on_wrapper_at",
)  # fmt: skip
"""A bale's time is the first of these that is known: most counters step when it leaves."""

REWRAPPED: Final = "re-wrapped"

TELLING: Final = ("machine", "bale_no", "counter_epoch", "status", *BALE_TIMES)
"""The columns that say which bale a row is of; the others say what the bale is like."""

Whole = NDArray[np.int64]
NO_TIME: Final = np.iinfo(np.int64).min


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


@dataclass(frozen=True, eq=False)
class Marks:
    """What each row is told apart by, each of shape (rows,).

    machine: a number for each; numbered, timed: whether `number`, `time` (UTC microseconds) are
    known; told: the epoch the row itself tells, -1 for none; epoch: that, or the one it takes
    from another row; place: among the rows that one file gives without number at one time, from
    0; passes: whether it is a further pass; placed: whether it can be placed at all.
    """

    machine: Whole
    numbered: Mask
    number: Whole
    timed: Mask
    time: Whole
    told: Whole
    epoch: Whole
    place: Whole
    passes: Mask
    placed: Mask


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


def tell_bales_apart(bales: BaleTable, sources: Sources, marks: Marks | None = None) -> Bales:
    """Find which rows are the same bale. Row order does not matter.

    marks: what `read_marks` gives for these rows, where it is known already.
    """
    marks = marks or read_marks(bales, sources)
    lone = np.where(marks.placed, -1, np.arange(bales.rows))
    time = np.where(marks.epoch >= 0, 0, marks.time)
    bale = codes_of(marks.machine, marks.number, marks.epoch, time, marks.place, lone)
    group = codes_of(bale, marks.passes.astype(np.int64))
    return _judge(bales, bale, group, marks.passes)


def read_marks(bales: BaleTable, sources: Sources) -> Marks:
    """What rows are told apart by."""
    times, timed = bale_times(bales)
    machine = number_texts(bales.column("machine"))
    known_machine = bales.mask("machine")
    numbered = bales.mask("bale_no") & known_machine
    placed = numbered | (timed & known_machine)
    number = np.where(numbered, bales.column("bale_no"), -1)
    time = np.where(timed, times, NO_TIME)
    passes = bales.mask("status") & (bales.column("status") == REWRAPPED)
    told = np.where(
        numbered & bales.mask("counter_epoch"), bales.column("counter_epoch"), np.int64(-1)
    )
    epoch = _epochs(told, numbered, (machine, number, time))
    place = np.zeros(bales.rows, dtype=np.int64)
    loose = np.flatnonzero(placed & ~numbered)
    if len(loose):
        within = (machine, time, sources.file, passes.astype(np.int64))
        place[loose] = _places(tuple(part[loose] for part in within), sources.row[loose])
    return Marks(machine, numbered, number, timed, time, told, epoch, place, passes, placed)


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


def _epochs(told: Whole, numbered: Mask, moment: tuple[Whole, ...]) -> Whole:
    """The epoch a row tells, or that one of the same machine, number and time tells; else -1."""
    if not bool((numbered & (told < 0)).any()) or not bool((told >= 0).any()):
        return told
    at = codes_of(*moment)
    nobody = np.iinfo(np.int64).max
    lowest = np.full(int(at.max(initial=-1)) + 1, nobody)
    np.minimum.at(lowest, at[told >= 0], told[told >= 0])
    taken = np.where(numbered & (lowest[at] != nobody), lowest[at], -1)
    return np.where(told >= 0, told, taken)


def _places(within: tuple[Whole, ...], row: Whole) -> Whole:
    """Place of each row among those of its part, from 0."""
    part = codes_of(*within)
    order = np.lexsort((row, part))
    first = np.searchsorted(part[order], part[order])
    places = np.empty(len(row), dtype=np.int64)
    places[order] = np.arange(len(row)) - first
    return places


def number_texts(values: NDArray[Any]) -> Whole:
    """A number for each distinct text, in the order of the texts."""
    codes, distinct = code_texts(values)
    place = {text: number for number, text in enumerate(sorted(distinct))}
    return np.array([place[text] for text in distinct], dtype=np.int64)[codes]


def codes_of(*columns: Whole) -> Whole:
    """One number for each distinct combination, in the order of the combinations."""
    order = np.lexsort(columns[::-1])
    differs = np.zeros(len(order), dtype=np.bool_)
    for column in columns:
        sorted_ = column[order]
        differs[1:] |= sorted_[1:] != sorted_[:-1]
    codes = np.empty(len(order), dtype=np.int64)
    codes[order] = np.cumsum(differs)
    return codes
