"""Which bales of a machine were judged on what: whether a trouble is gone or only not watched."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.findings.episode import Outbreak
from balewright.findings.watched import Bools, Watched, watch_with_order
from balewright.plan.machine import Machine
from balewright.records.bales import BaleTable
from balewright.records.columns import BY_NAME

SAID_WHEN_ODD: Final = frozenset(("status", "mode", "roll_lost", "roll_lost_turn", "codes"))
"""Columns that many machines fill only when something happened: empty is not unwatched."""


@dataclass(frozen=True, eq=False)
class Judged:
    """One machine's bales, in order, as a review had them.

    first_new: row from which on it judged anew; the bales before it were as the last review had
    them. made_us: int64 (bales,), never falling: a bale without a time has that of the one before.
    order: row of each in the table that was handed in. counted: what was counted already.
    """

    watched: Watched
    made_us: NDArray[np.int64]
    order: NDArray[np.int64]
    first_new: int = 0
    counted: dict[tuple[str, ...], NDArray[np.int64]] = field(default_factory=dict)

    @property
    def serial(self) -> str:
        """The machine's serial."""
        return self.watched.serial

    @property
    def bales(self) -> int:
        """How many bales there are."""
        return self.watched.bales.rows

    def place_of(self, at_us: int | None, number: int | None) -> int | None:
        """The row of a bale by its time, else by its number; None where neither is known."""
        if not self.bales:
            return None
        if at_us is not None:
            row = int(np.searchsorted(self.made_us, at_us, side="left"))
            return min(row, self.bales - 1)
        if number is None:
            return None
        bales = self.watched.bales
        rows = np.flatnonzero(bales.mask("bale_no") & (bales.column("bale_no") == number))
        return int(rows[-1]) if len(rows) else None

    def places_of(self, outbreak: Outbreak) -> tuple[int, int]:
        """First and last row of an outbreak; every row where nothing says which."""
        first = self.place_of(outbreak.since_us, outbreak.since_bale)
        last = self.place_of(outbreak.until_us, outbreak.until_bale)
        if first is None:
            first = 0 if last is None else last
            last = max(self.bales - 1, 0) if last is None else last
        return first, max(first, first if last is None else last)

    def is_judged(self, evidence: Sequence[str], at_row: int) -> Bools:
        """Bales that could have shown it: they know what the bale at `at_row` knew of it.

        Where that one knew nothing (a silent sensor) they must know all of it.
        """
        return np.diff(self._counts(evidence, at_row)).astype(np.bool_)

    def count_between(self, evidence: Sequence[str], after: int, before: int) -> int:
        """Judged bales that lie between two rows, both left out."""
        if before <= after + 1:
            return 0
        counts = self._counts(evidence, after)
        return int(counts[before] - counts[after + 1])

    def rows_after(self, evidence: Sequence[str], row: int) -> NDArray[np.intp]:
        """Rows of the judged bales behind a row."""
        return row + 1 + np.flatnonzero(self.is_judged(evidence, row)[row + 1 :])

    def _counts(self, evidence: Sequence[str], at_row: int) -> NDArray[np.int64]:
        """How many bales before each row could have shown it, (bales + 1,)."""
        bales = self.watched.bales
        names = [name for name in evidence if name in bales.known and name not in SAID_WHEN_ODD]
        known = [name for name in names if self.bales and bales.known[name][at_row]]
        absent = not known and any(
            name in BY_NAME and name not in (*bales.known, *SAID_WHEN_ODD) for name in evidence
        )
        key = ("",) if absent else tuple(sorted(known or names))
        if key not in self.counted:
            judged = np.full(self.bales, not absent, dtype=np.bool_)
            for name in () if absent else key:
                judged = judged & bales.known[name]
            self.counted[key] = np.concatenate([[0], np.cumsum(judged)])
        return self.counted[key]

    def us_at(self, row: int) -> int | None:
        """When the bale of a row was made; None where no time is known up to it, or no such row."""
        if not 0 <= row < self.bales:
            return None
        made = int(self.made_us[row])
        return None if made == np.iinfo(np.int64).min else made


def judge(serial: str, machine: Machine, bales: BaleTable, first_new: int = 0) -> Judged:
    """What a review of these bales can say of troubles seen before.

    bales: all of one machine's, in any order; first_new: as in Judged, counted in order made.
    """
    watched, order = watch_with_order(serial, machine, bales, {})
    made = watched.made_us
    made = np.maximum.accumulate(made) if len(made) else made
    return Judged(watched, made, order, first_new)
