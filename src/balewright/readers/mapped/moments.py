"""Times of a column before they are in a zone, and days of the calendar."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

DAY_US: Final = 86_400_000_000


@dataclass(frozen=True)
class Moments:
    """local_us: clock microseconds since 1970, of a time of day since midnight, shape (rows,);
    is_utc: where they are UTC already; known, failed: masks."""

    local_us: NDArray[np.int64]
    is_utc: NDArray[np.bool_]
    known: NDArray[np.bool_]
    failed: NDArray[np.bool_]


def days_of(
    year: NDArray[Any], month: NDArray[Any], day: NDArray[Any]
) -> tuple[NDArray[np.int64], NDArray[np.bool_]]:
    """Days since 1970, and where the calendar has such a day. Two digits are years from 2000."""
    year = np.where(year < 100, year + 2000, year)
    good = (month >= 1) & (month <= 12) & (day >= 1) & (year >= 1900) & (year < 2200)
    months = np.where(good, (year - 1970) * 12 + month - 1, 0).astype("datetime64[M]")
    first = months.astype("datetime64[D]").astype(np.int64)
    length = (months + 1).astype("datetime64[D]").astype(np.int64) - first
    return first + day - 1, np.asarray(good & (day <= length), dtype=np.bool_)
