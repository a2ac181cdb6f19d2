"""Marks on rows that are odd but readable: they are kept, and the mark says what is odd.

Rows are judged in the order given, machine by machine; what must be remembered from one batch to
the next is a small frozen state.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.records.bales import BaleTable
from balewright.records.columns import CHAMBER_PHASES, WRAPPER_PHASES
from balewright.records.identity import REWRAPPED, bale_times
from balewright.records.intake import Doubt
from balewright.records.quality import Mark
from balewright.records.text_codes import code_texts

MAX_MACHINES: Final = 10_000
MAX_RUNS: Final = 32
LEAP: Final = 1000
"""More numbers missing than this at once is a counter that leapt, not bales that were lost."""
LONG_GAP_US: Final = 400 * 86_400 * 1_000_000
"""More than a year between two bales that follow each other by number: a clock set wrong."""

Run = tuple[int, int]
Counter = tuple[str, int]


@dataclass(frozen=True)
class Seen:
    """What is remembered of one counter.

    runs: numbers read, as (first, last), rising and apart, the highest MAX_RUNS of them.
    """

    runs: tuple[Run, ...] = ()
    last_no: int | None = None
    last_us: int | None = None


@dataclass(frozen=True)
class OrderState:
    """What is carried from batch to batch, by (machine, epoch); the oldest is forgotten first."""

    seen: Mapping[Counter, Seen] = field(default_factory=lambda: MappingProxyType({}))


@dataclass(frozen=True)
class _Rows:
    """The rows of one counter in one batch, in order: places, numbers, times, and where known."""

    places: NDArray[np.int64]
    numbers: NDArray[np.int64]
    numbered: NDArray[np.bool_]
    times_us: NDArray[np.int64]
    timed: NDArray[np.bool_]


def mark_order(
    table: BaleTable, state: OrderState, file: str, lines: NDArray[np.int64]
) -> tuple[tuple[Doubt, ...], OrderState]:
    """Doubts about the rows of one batch, and the state for the next.

    lines: the line of each row, shape (rows,). Judged: times out of order within a station,
    numbers repeated, missing, stepped back or leapt, clocks that jump between two bales, rows
    without identity. Gives doubts in the order of the rows.
    """
    found = [*_disordered_times(table)]
    seen = dict(state.seen)
    times_us, timed = bale_times(table)
    numbers, numbered = table.column("bale_no"), table.mask("bale_no")
    for counter, places in _group_rows(table):
        rows = _Rows(places, numbers[places], numbered[places], times_us[places], timed[places])
        if counter is None:
            found += _say_unplaced(places, "no machine")
            continue
        marks, after = _judge_counter(rows, seen.pop(counter, Seen()))
        found += marks
        seen[counter] = after  # put last: the oldest stand first
    for counter in list(seen)[: max(0, len(seen) - MAX_MACHINES)]:
        del seen[counter]
    passes = table.mask("status") & (table.column("status") == REWRAPPED)
    # A further pass over the wrapper has the number of its bale: that is no repeat.
    found = [one for one in found if one[1] is not Mark.NUMBER_REPEATED or not passes[one[0]]]
    found.sort(key=lambda one: one[0])
    doubts = tuple(Doubt(file, f"line {lines[row]}", mark, said) for row, mark, said in found)
    return doubts, OrderState(MappingProxyType(seen))


_Found = tuple[int, Mark, str]


def _disordered_times(table: BaleTable) -> Iterator[_Found]:
    for phases in (CHAMBER_PHASES, WRAPPER_PHASES):
        latest = np.full(table.rows, np.iinfo(np.int64).min)
        holder = np.zeros(table.rows, dtype=np.int64)
        for place, phase in enumerate(phases):
            if phase not in table.values:
                continue
            times, known = table.column(phase), table.mask(phase)
            for row in np.flatnonzero(known & (times < latest)).tolist():
                said = f"{phase} is before {phases[holder[row]]}"
                yield row, Mark.TIMES_DISORDERED, said
            later = known & (times >= latest)
            latest = np.where(later, times, latest)
            holder[later] = place


def _group_rows(table: BaleTable) -> Iterator[tuple[Counter | None, NDArray[np.int64]]]:
    """Rows of each (machine, epoch) in order; None for rows without machine."""
    known = table.mask("machine")
    if not known.all():
        yield None, np.flatnonzero(~known)
    rows = np.flatnonzero(known)
    if not len(rows):
        return
    epochs = np.where(table.mask("counter_epoch"), table.column("counter_epoch"), 0)[rows]
    machine, names = code_texts(table.column("machine")[rows])
    order = np.lexsort((epochs, machine))  # stable: a counter's rows stay as they stand
    changed = (np.diff(machine[order]) != 0) | (np.diff(epochs[order]) != 0)
    parts = np.split(order, np.flatnonzero(changed) + 1)
    for part in sorted(parts, key=lambda part: int(part[0])):  # by the first row of each
        yield (names[machine[part[0]]], int(epochs[part[0]])), rows[part]


def _judge_counter(rows: _Rows, seen: Seen) -> tuple[list[_Found], Seen]:
    lost = rows.places[~rows.numbered & ~rows.timed]
    found = _say_unplaced(lost, "neither number nor time")
    numbered = np.flatnonzero(rows.numbered)
    marks, runs = _judge_numbers(rows.places[numbered], rows.numbers[numbered], seen)
    found += marks
    timed = np.flatnonzero(rows.timed)
    found += _judge_times(rows, timed, seen, {row for row, _, _ in marks})
    last_no = int(rows.numbers[numbered[-1]]) if len(numbered) else seen.last_no
    last_us = int(rows.times_us[timed[-1]]) if len(timed) else seen.last_us
    return found, Seen(runs, last_no, last_us)


def _say_unplaced(places: NDArray[np.int64], lacking: str) -> list[_Found]:
    """One mark for all such rows of a batch: a file that lacks a column lacks it throughout."""
    if not len(places):
        return []
    more = f", nor in {len(places) - 1} rows below" if len(places) > 1 else ""
    return [(int(places[0]), Mark.IDENTITY_UNKNOWN, f"{lacking} in this row{more}")]


def _judge_numbers(
    places: NDArray[np.int64], numbers: NDArray[np.int64], seen: Seen
) -> tuple[list[_Found], tuple[Run, ...]]:
    """Judge numbers as runs that go up by one: a season in order is one run."""
    found: list[_Found] = []
    if not len(numbers):
        return found, seen.runs
    # Rising and apart: looked up by halving, as a gap at every bale makes a run of every bale.
    lows, highs = [low for low, _ in seen.runs], [high for _, high in seen.runs]
    last_no = seen.last_no
    starts = np.flatnonzero(np.diff(numbers, prepend=numbers[:1] - 2) != 1).tolist()
    for start, end in zip(starts, [*starts[1:], len(numbers)], strict=True):
        first, last = int(numbers[start]), int(numbers[end - 1])
        place = bisect_left(highs, first)
        behind = bisect_right(lows, last)
        was_read = place < len(lows) and lows[place] <= first
        for low, high in zip(lows[place:behind], highs[place:behind], strict=True):
            for number in range(max(first, low), min(last, high) + 1):
                said = f"number {number} was read before"
                found.append((int(places[start + number - first]), Mark.NUMBER_REPEATED, said))
        if last_no is not None and not was_read:
            below = highs[place - 1] if place else last_no
            found += _judge_step(int(places[start]), below, last_no, first)
        _join_runs(lows, highs, (first, last))
        last_no = last
    return found, tuple(zip(lows, highs, strict=True))


def _judge_step(row: int, below: int, last_no: int, number: int) -> list[_Found]:
    """What a number that was not read before says after the one before it.

    below: the highest number read that is lower, `last_no` where there is none.
    """
    if number < last_no:
        return [(row, Mark.COUNTER_STEPPED_BACK, f"number {number} follows {last_no}")]
    missing = number - below - 1
    if missing == 0:
        return []
    if missing > LEAP:
        return [(row, Mark.COUNTER_LEAPT, f"number {number} follows {last_no}")]
    which = f"{below + 1}" if missing == 1 else f"{below + 1} to {number - 1}"
    return [(row, Mark.NUMBER_MISSING, f"missing before this bale: {which}")]


def _join_runs(lows: list[int], highs: list[int], new: Run) -> None:
    """Put a run among the others, joined where they touch; the lowest are forgotten."""
    first, last = new
    begin, end = bisect_left(highs, first - 1), bisect_right(lows, last + 1)
    joined = (min([first, *lows[begin:end]]), max([last, *highs[begin:end]]))
    lows[begin:end], highs[begin:end] = [joined[0]], [joined[1]]
    del lows[:-MAX_RUNS], highs[:-MAX_RUNS]


def _judge_times(
    rows: _Rows, timed: NDArray[np.int64], seen: Seen, stepped: set[int]
) -> Iterator[_Found]:
    """Clocks that go back, or more than a year on, where the numbers give no reason."""
    if not len(timed):
        return
    times = rows.times_us[timed]
    first = times[0] if seen.last_us is None else seen.last_us
    gaps = np.diff(times, prepend=first)
    for at in np.flatnonzero((gaps < 0) | (gaps > LONG_GAP_US)).tolist():
        row = int(rows.places[timed[at]])
        if row in stepped:
            continue
        seconds = abs(int(gaps[at])) / 1_000_000
        way = "before" if gaps[at] < 0 else "after"
        said = f"{seconds:.0f} s {way} the bale in the row above of this machine"
        yield row, Mark.CLOCK_JUMPED, said
