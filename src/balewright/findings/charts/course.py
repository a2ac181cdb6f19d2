"""Changes of a series that may creep all along: a slope is no staircase.

Beside the changes of level alone (`changes`), one slope for the whole series is tried, fitted
within the parts and taken out before cutting anew. Whichever explains the series better for the
numbers it needs is kept (Schwarz's criterion).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from balewright.findings.charts.changes import HELD, ROUNDS, Change, find_changes, spread_of

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Course:
    """changes: of the level, with the slope taken out; slope: from reading to reading, 0 for a
    series that does not creep.
    """

    changes: tuple[Change, ...]
    slope: float


def find_course(values: Floats, chance_frac: float = 0.001, lean: float = 0.0) -> Course:
    """The changes of a series that may creep all along. Arguments as in `find_changes`."""
    plain = Course(find_changes(values, chance_frac, lean), 0.0)
    creeping = plain
    for _ in range(ROUNDS):
        slope = _slope(values, creeping.changes)
        then = Course(_without(values, slope, chance_frac, lean), slope)
        if [one.start for one in then.changes] == [one.start for one in creeping.changes]:
            creeping = then
            break
        creeping = then
    return min(plain, creeping, key=lambda course: _criterion(values, course))


def _without(values: Floats, slope: float, chance_frac: float, lean: float) -> tuple[Change, ...]:
    return find_changes(values - slope * np.arange(len(values)), chance_frac, lean)


def _parts(values: Floats, changes: tuple[Change, ...]) -> list[NDArray[np.int64]]:
    """Places of the known readings of each part between changes."""
    known = np.flatnonzero(np.isfinite(values))
    starts = [one.start for one in changes]
    return np.split(known, np.searchsorted(known, starts))


def _slope(values: Floats, changes: tuple[Change, ...]) -> float:
    """One slope for all parts, by least squares."""
    across = along = 0.0
    for part in _parts(values, changes):
        place = part - part.mean() if len(part) else part
        across += float(place @ values[part])
        along += float(place @ place)
    return across / along if along > 0.0 else 0.0


def _criterion(values: Floats, course: Course) -> float:
    """Schwarz's criterion: two numbers a change, one for the first level, one for a slope."""
    straight = values - course.slope * np.arange(len(values))
    parts = _parts(values, course.changes)
    count = sum(len(part) for part in parts)
    spread = spread_of(straight[np.isfinite(straight)])
    if count == 0 or spread <= 0.0:
        return 0.0
    far = 0.0
    for part in parts:
        off = straight[part] - np.median(straight[part])
        far += float(np.sum(np.minimum(np.abs(off) / spread, HELD) ** 2))
    numbers = 1 + 2 * len(course.changes) + (course.slope != 0.0)
    return count * math.log(spread**2) + far + numbers * math.log(count)
