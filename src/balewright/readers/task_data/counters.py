"""Bales and mass from the counters of one log: differences, never totals.

A log's first value is where its counters start, not a gain. A counter that falls was reset: what
it shows then is a new start. Nothing here knows of tasks; `seasons` sets logs side by side.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

MAX_LEAP_BALES: Final = 20
"""More at one step is no work of a baler between two records: a wrong or damaged value."""
MAX_LEAP_KG: Final = 100_000.0


@dataclass(frozen=True, eq=False)
class Climb:
    """How a counter ran through a log.

    start, end: first and last value, raw; rows, gains, values: record, gain and value after it,
    of each step up; falls: (row, from, to) of each step down; leaps: (row, from, to) of steps up
    too large to be work, which are no gains.
    """

    start: int
    end: int
    rows: NDArray[np.int64]
    gains: NDArray[np.int64]
    values: NDArray[np.int64]
    falls: tuple[tuple[int, int, int], ...]
    leaps: tuple[tuple[int, int, int], ...]

    @property
    def gained(self) -> int:
        """All gains together, raw."""
        return int(self.gains.sum())

    def each(self) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        """Record and number of each single count: a step by two gives two."""
        rows = np.repeat(self.rows, self.gains)
        behind = np.repeat(np.cumsum(self.gains), self.gains)
        back = behind - np.arange(1, len(rows) + 1)
        return rows, np.repeat(self.values, self.gains) - back


def climb(rows: NDArray[np.int32], raws: NDArray[np.int32], most: float) -> Climb | None:
    """Follow a counter: rows and raw values where it was written; None where it never was.

    most: the largest step up, raw, that can be work.
    """
    if not len(raws):
        return None
    wide = raws.astype(np.int64)
    steps = np.diff(wide)
    up = np.flatnonzero((steps > 0) & (steps <= most))
    return Climb(
        start=int(wide[0]),
        end=int(wide[-1]),
        rows=rows[1:][up].astype(np.int64),
        gains=steps[up],
        values=wide[1:][up],
        falls=_named(rows, wide, np.flatnonzero(steps < 0)),
        leaps=_named(rows, wide, np.flatnonzero(steps > most)),
    )


def _named(
    rows: NDArray[np.int32], wide: NDArray[np.int64], places: NDArray[np.int64]
) -> tuple[tuple[int, int, int], ...]:
    return tuple((int(rows[at + 1]), int(wide[at]), int(wide[at + 1])) for at in places)


def follow(series: list[tuple[NDArray[np.int32], NDArray[np.int32]]], most: float) -> Climb | None:
    """Follow one counter, or the sum of several (cut and uncut bales, say), through a log.

    series: rows and raw values where each was written, rows ascending; most: as in `climb`.
    """
    series = [(rows, raws) for rows, raws in series if len(rows)]
    if not series:
        return None
    if len(series) == 1:
        return climb(*series[0], most)
    every = np.unique(np.concatenate([rows for rows, _ in series]))
    first = max(rows[0] for rows, _ in series)
    every = every[every >= first]
    summed = sum(
        raws[np.searchsorted(rows, every, side="right") - 1].astype(np.int64)
        for rows, raws in series
    )
    return climb(every, np.asarray(summed, dtype=np.int64).astype(np.int32), most)
