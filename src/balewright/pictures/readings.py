"""Readings of one thing, bale by bale, and how many of them can be drawn honestly at a width."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

MOST_DOTS: Final = 1_500
"""Bales that are drawn one by one; more are gathered, and the picture says so."""
_MOST_BARS: Final = 240


@dataclass(frozen=True, eq=False)
class Readings:
    """One thing of one machine, all its bales in the order made; arrays are (bales,), NaN unknown.

    name: its name, which ends in its unit; is_rate: values are how often it happened at a bale;
    numbers: of the bales, -1 for none; expected, low, high: before each bale was seen, with the
    limits of a single one; wanted_low, wanted_high: by the sheet in force; begins: where a job or
    roll begins; changes: (first, since, last, told, until) as rows, until None while it lasts;
    group: what begins there, `job` or a kind of roll.
    """

    name: str
    is_rate: bool
    numbers: NDArray[np.int64]
    values: Floats
    expected: Floats
    low: Floats
    high: Floats
    wanted_low: Floats
    wanted_high: Floats
    begins: Bools
    changes: tuple[tuple[int, int, int, int, int | None], ...] = ()
    group: str = "job"

    @property
    def bales(self) -> int:
        """How many bales there are."""
        return len(self.values)

    def printed(self, unit: Callable[[float], float]) -> Readings:
        """The same in a reader's unit, which is linear in the held one."""
        zero, one = unit(0.0), unit(1.0)

        def scaled(values: Floats) -> Floats:
            return np.asarray(zero + (one - zero) * values)

        return Readings(
            self.name, self.is_rate, self.numbers, scaled(self.values), scaled(self.expected),
            scaled(self.low), scaled(self.high), scaled(self.wanted_low),
            scaled(self.wanted_high), self.begins, self.changes, self.group,
        )  # fmt: skip


@dataclass(frozen=True)
class Bars:
    """Bales gathered: place, lowest, middle and highest reading of each; bales: how many to one.

    With one bale to a bar the three are the reading.
    """

    places: Floats
    low: Floats
    middle: Floats
    high: Floats
    bales: int


def gather_bars(values: Floats, first: int, last: int) -> Bars:
    """The known readings of rows first..last (excluded), one by one up to MOST_DOTS.

    Gathered bales keep their lowest and highest reading, so that nothing far out is lost.
    """
    rows = first + np.flatnonzero(np.isfinite(values[first:last]))
    if last - first <= MOST_DOTS:
        known = values[rows]
        return Bars(rows.astype(np.float64), known, known, known, 1)
    size = -(-(last - first) // _MOST_BARS)
    cuts = np.flatnonzero(np.diff((rows - first) // size)) + 1
    parts = np.split(rows, cuts) if len(rows) else []
    return Bars(
        np.array([float(part.mean()) for part in parts]),
        np.array([float(values[part].min()) for part in parts]),
        np.array([float(np.median(values[part])) for part in parts]),
        np.array([float(values[part].max()) for part in parts]),
        size,
    )
