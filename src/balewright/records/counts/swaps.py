"""When a control was swapped: what somebody told, placed among the bales by time."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.records.bales import BaleTable
from balewright.records.events import Event, EventKind
from balewright.records.identity import bale_times

TAKEN_BACK: Final = "taken back"
"""Item of an event that takes an earlier `control swapped` of the same time back."""

UNKNOWN_PERIOD: Final = -1


@dataclass(frozen=True)
class Swap:
    """A control that was swapped or set back.

    at_us: from this time on (inclusive) bales carry the new control's numbers; bale_no: the
    first of them, None where nobody says; note: who says so, or why.
    """

    at_us: int
    bale_no: int | None = None
    note: str = ""


@dataclass(frozen=True)
class Swaps:
    """Told swaps by time; unplaced: the bale numbers that those name whose time nothing tells."""

    placed: tuple[Swap, ...] = ()
    unplaced: tuple[int | None, ...] = ()


def place_swaps(events: Iterable[Event], bales: BaleTable) -> Swaps:
    """The swaps that hold, one a moment.

    events: of one machine; others than `control swapped` are passed over. An event of item
    TAKEN_BACK takes back what was told of the same time, unless it was told again later: `value`
    is the day since 1970 on which somebody told it. One without a time stands where its bale
    number first follows a higher one.
    """
    told = [event for event in events if event.kind is EventKind.CONTROL_SWAPPED]
    gone: dict[int, float] = {}
    for event in told:
        if event.item == TAKEN_BACK and event.at_us is not None:
            gone[event.at_us] = max(gone.get(event.at_us, -np.inf), event.value or 0.0)
    found: dict[int, Swap] = {}
    lost: set[int | None] = set()
    for event in sorted(told, key=lambda one: (one.bale_no is None, one.bale_no or 0, one.note)):
        if event.item == TAKEN_BACK:
            continue
        at_us = event.at_us if event.at_us is not None else _time_of(event.bale_no, bales)
        if at_us is None:
            lost.add(event.bale_no)
        elif at_us not in gone or (event.value or 0.0) > gone[at_us]:
            found.setdefault(at_us, Swap(at_us, event.bale_no, event.note))
    placed = tuple(found[at_us] for at_us in sorted(found))
    return Swaps(placed, tuple(sorted(lost, key=lambda no: -1 if no is None else no)))


def _time_of(bale_no: int | None, bales: BaleTable) -> int | None:
    """When that number first comes after a higher one; None where it never does."""
    if bale_no is None:
        return None
    times, timed = bale_times(bales)
    rows = np.flatnonzero(timed & bales.mask("bale_no"))
    numbers = bales.column("bale_no")[rows]
    order = np.lexsort((numbers, times[rows]))
    numbers, times = numbers[order], times[rows][order]
    first = np.flatnonzero((numbers[1:] == bale_no) & (numbers[:-1] > bale_no))
    return int(times[first[0] + 1]) if len(first) else None


def periods_of(bales: BaleTable, swaps: Sequence[Swap]) -> NDArray[np.int64]:
    """How many swaps came before each bale, shape (rows,).

    UNKNOWN_PERIOD for a bale without a time where a swap was told; 0 for all where none was.
    """
    if not swaps:
        return np.zeros(bales.rows, dtype=np.int64)
    times, timed = bale_times(bales)
    ends = np.array([swap.at_us for swap in swaps], dtype=np.int64)
    return np.where(timed, np.searchsorted(ends, times, side="right"), UNKNOWN_PERIOD)
