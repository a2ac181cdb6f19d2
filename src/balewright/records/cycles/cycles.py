"""What cutting gives: the cycles of a day as arrays, each boundary with how sure it is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from balewright.records.cycles.clock import Clock
from balewright.records.cycles.marks import UNKNOWN_US, Drawn
from balewright.records.cycles.phases import PHASES, Sureness
from balewright.records.intake import Doubt

Whole = NDArray[np.int64]
Flags = NDArray[np.bool_]
NEVER_US: Final = UNKNOWN_US
"""Stands where a time is unknown."""


@dataclass(frozen=True, eq=False)
class Cycles:
    """Bale cycles in order; a row for each bale and one for each further pass over the wrapper.

    work_us, earliest_us, latest_us: (rows, 9), phases in the order of `PHASES`, on the working
    clock (microseconds, never stepping back); NEVER_US where unknown, and for a boundary not seen
    what its neighbours leave. sure: (rows, 9), codes of `Sureness`; by: (rows, 9) text, which
    signal told it and how. bale_no, numbered: (rows,) the machine's number where it gives one.
    again: (rows,) a further pass of the bale before; tries, starts: (rows,) how often binding and
    wrapping were begun; wrapped, came: (rows,) whether it was wrapped, whether the wrapper saw it
    at all; counted: (rows,) only the counter's step was seen. at: (rows,) the message that tells
    the bale. since_us, until_us: (rows,) working times at
    which the bale before left the chamber and the bale behind came to the wrapper, NEVER_US where
    unknown. clock: between working and recorder's time; doubts: of the counters.
    """

    file: str
    machine: str | None
    work_us: Whole
    earliest_us: Whole
    latest_us: Whole
    sure: NDArray[np.int8]
    by: NDArray[Any]
    bale_no: Whole
    numbered: Flags
    again: Flags
    tries: Whole
    starts: Whole
    wrapped: Flags
    came: Flags
    counted: Flags
    at: Whole
    since_us: Whole
    until_us: Whole
    clock: Clock
    doubts: tuple[Doubt, ...] = ()

    @property
    def rows(self) -> int:
        """How many rows: bales and further passes."""
        return len(self.at)

    @property
    def at_us(self) -> Whole:
        """(rows, 9), UTC microseconds as the recorder's clock showed them; NEVER_US if unknown."""
        known = self.work_us != NEVER_US
        return np.where(known, self.clock.shown_us(self.work_us), NEVER_US)

    def how_sure(self, row: int, phase: int) -> Sureness:
        """How surely one boundary is known."""
        return Sureness(int(self.sure[row, phase]))


def gather(
    rows: Sequence[Drawn], named: tuple[str, str | None], clock: Clock, doubts: Sequence[Doubt]
) -> Cycles:
    """Rows as arrays. named: file and machine."""
    wide = (len(rows), len(PHASES))

    def whole(values: list[Any]) -> Whole:
        return np.array(values, dtype=np.int64)

    def flags(values: list[bool]) -> Flags:
        return np.array(values, dtype=np.bool_)

    at = [[NEVER_US if each is None else each for each in row.at_us] for row in rows]
    by = np.empty(wide, dtype=object)
    for place, row in enumerate(rows):
        by[place] = row.by
    return Cycles(
        *named,
        work_us=whole(at).reshape(wide),
        earliest_us=whole([row.earliest_us for row in rows]).reshape(wide),
        latest_us=whole([row.latest_us for row in rows]).reshape(wide),
        sure=np.array([row.sure for row in rows], dtype=np.int8).reshape(wide),
        by=by,
        bale_no=whole([row.number or 0 for row in rows]),
        numbered=flags([row.number is not None for row in rows]),
        again=flags([row.again for row in rows]),
        tries=whole([row.tries for row in rows]),
        starts=whole([row.starts for row in rows]),
        wrapped=flags([row.wrapped for row in rows]),
        came=flags([row.came for row in rows]),
        counted=flags([row.counted for row in rows]),
        at=whole([row.seq for row in rows]),
        since_us=whole([NEVER_US if row.since_us is None else row.since_us for row in rows]),
        until_us=whole([NEVER_US if row.until_us is None else row.until_us for row in rows]),
        clock=clock,
        doubts=tuple(doubts),
    )
