"""Times as ISO 8601 text <-> UTC whole microseconds since 1970-01-01.

A time says where it stands: `Z` or an offset is needed, since a bare local time is one of two
every autumn. Years 1970 to 2099, seconds 0 to 59, at most six decimals of a second.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from typing import Final

import numpy as np
from numpy.typing import NDArray

TIME_NEED: Final = "a time such as 2031-06-14T09:30:00Z, years 1970 to 2099"

_TIME: Final = re.compile(
    r"(\d{4}-\d\d-\d\d)[T ](\d\d:\d\d)(?::(\d\d)(?:\.(\d{1,6}))?)?(Z|[+-]\d\d:?[0-5]\d)", re.ASCII
)
_NO_ZONE: Final = re.compile(r"\d{4}-\d\d-\d\d[T ]\d\d:\d\d(:\d\d([.,]\d+)?)?", re.ASCII)
_LONG: Final = re.compile(r".*\.\d{7,}(Z|[+-]\d\d:?\d\d)", re.ASCII)
_EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)
_MICROSECOND: Final = timedelta(microseconds=1)
_FIRST_US: Final = 0
_END_US: Final = (datetime(2100, 1, 1, tzinfo=UTC) - _EPOCH) // _MICROSECOND
_MAX_OFFSET_H: Final = 18
_MICROS_PER_MINUTE: Final = 60_000_000
_DIGIT_PLACES: Final = (0, 1, 2, 3, 5, 6, 8, 9, 11, 12, 14, 15, 17, 18)
_SIGN_PLACES: Final = ((4, "-"), (7, "-"), (10, "T"), (13, ":"), (16, ":"))
_LONGEST: Final = len("2031-06-14T09:30:00.123456+02:00")


def parse_time(text: str) -> int | None:
    """UTC microseconds of one ISO 8601 time, None where it is none that can be believed."""
    found = _TIME.fullmatch(text.strip())
    if found is None:
        return None
    day, minute, second, decimals, zone = found.groups()
    offset = "+00:00" if zone == "Z" else zone
    if int(offset[1:3]) > _MAX_OFFSET_H:
        return None
    stamp = f"{day}T{minute}:{second or '00'}.{(decimals or '0').ljust(6, '0')}{offset}"
    try:
        moment = (datetime.fromisoformat(stamp) - _EPOCH) // _MICROSECOND
    except (ValueError, OverflowError):
        return None
    return moment if _FIRST_US <= moment < _END_US else None


def explain_time(text: str) -> str:
    """The cure for a text that is no time."""
    plain = text.strip()
    if _NO_ZONE.fullmatch(plain):
        return "Add Z for UTC or the offset, such as +02:00: without it the moment is not known."
    if _LONG.fullmatch(plain):
        return "Write at most six decimals of a second."
    return "Write year-month-day, T, hours:minutes:seconds and Z; leave it empty where unknown."


def format_time(moment_us: int) -> str:
    """ISO 8601 in UTC, with six decimals where there are any."""
    moment = _EPOCH + moment_us * _MICROSECOND
    return moment.isoformat(timespec="auto").replace("+00:00", "Z")


def moment_is_believable(moments_us: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Where moments lie in the years that a time may have."""
    return (moments_us >= _FIRST_US) & (moments_us < _END_US)


def parse_times(texts: Sequence[str]) -> tuple[NDArray[np.int64], NDArray[np.bool_]]:
    """Parse many times of the usual forms at once.

    Gives microseconds and where they are right, shape (len(texts),). What is not marked right may
    still be a time of a rarer form: ask `parse_time`.
    """
    moments = np.zeros(len(texts), dtype=np.int64)
    right = np.zeros(len(texts), dtype=np.bool_)
    lengths = np.fromiter(map(len, texts), dtype=np.int64, count=len(texts))
    for length in np.unique(lengths).tolist():
        if not len("2031-06-14T09:30:00Z") <= length <= _LONGEST:
            continue
        rows = np.flatnonzero(lengths == length)
        joined = "".join([texts[row] for row in rows.tolist()])
        if joined.isascii():
            grid = np.frombuffer(joined.encode(), dtype=np.uint8).reshape(-1, length)
            moments[rows], right[rows] = _parse_grid(grid)
    return moments, right


def _parse_grid(grid: NDArray[np.uint8]) -> tuple[NDArray[np.int64], NDArray[np.bool_]]:
    """Times of one length, one a row of character codes."""
    digits = grid.astype(np.int64) - ord("0")
    zulu = grid[:, -1] == ord("Z")
    decimals_end = np.where(zulu, grid.shape[1] - 1, grid.shape[1] - 6)
    moments = np.zeros(len(grid), dtype=np.int64)
    right = np.zeros(len(grid), dtype=np.bool_)
    for end in np.unique(decimals_end).tolist():
        rows = np.flatnonzero(decimals_end == end)
        moments[rows], right[rows] = _parse_rows(grid[rows], digits[rows], end)
    return moments, right


def _parse_rows(
    grid: NDArray[np.uint8], digits: NDArray[np.int64], end: int
) -> tuple[NDArray[np.int64], NDArray[np.bool_]]:
    """Rows whose seconds and decimals end before place `end`, where the zone begins."""
    zone_minutes, right = _parse_zones(grid, digits, end)
    places = [*_DIGIT_PLACES, *range(20, end)]
    if end < 19 or end == 20 or end > 26:
        return np.zeros(len(grid), dtype=np.int64), np.zeros(len(grid), dtype=np.bool_)
    right &= ((digits[:, places] >= 0) & (digits[:, places] <= 9)).all(axis=1)
    for place, sign in _SIGN_PLACES:
        right &= grid[:, place] == ord(sign)
    if end > 20:
        right &= grid[:, 19] == ord(".")
    year = digits[:, 0] * 1000 + digits[:, 1] * 100 + digits[:, 2] * 10 + digits[:, 3]
    month, day, hour, minute, second = (
        digits[:, place] * 10 + digits[:, place + 1] for place in (5, 8, 11, 14, 17)
    )
    right &= (year >= 1970) & (year < 2100) & (month >= 1) & (month <= 12)
    right &= (hour < 24) & (minute < 60) & (second < 60)
    year, month = np.where(right, year, 1970), np.where(right, month, 1)
    months = ((year - 1970) * 12 + month - 1).astype("datetime64[M]")
    first_day = months.astype("datetime64[D]").astype(np.int64)
    days_in_month = (months + 1).astype("datetime64[D]").astype(np.int64) - first_day
    right &= (day >= 1) & (day <= days_in_month)
    minutes = ((first_day + day - 1) * 24 + hour) * 60 + minute - zone_minutes
    decimals = np.zeros(len(grid), dtype=np.int64)
    for place in range(20, 26):
        decimals = decimals * 10 + (digits[:, place] if place < end else 0)
    moments = minutes * _MICROS_PER_MINUTE + second * 1_000_000 + decimals
    right &= (moments >= _FIRST_US) & (moments < _END_US)
    return np.where(right, moments, 0), right


def _parse_zones(
    grid: NDArray[np.uint8], digits: NDArray[np.int64], end: int
) -> tuple[NDArray[np.int64], NDArray[np.bool_]]:
    """Minutes east of UTC, and where the zone is written right: `Z` or `+02:00`."""
    if grid.shape[1] == end + 1:
        return np.zeros(len(grid), dtype=np.int64), grid[:, end] == ord("Z")
    places = (end + 1, end + 2, end + 4, end + 5)
    right = ((digits[:, places] >= 0) & (digits[:, places] <= 9)).all(axis=1)
    right &= (grid[:, end] == ord("+")) | (grid[:, end] == ord("-"))
    right &= grid[:, end + 3] == ord(":")
    hours = digits[:, end + 1] * 10 + digits[:, end + 2]
    minutes = digits[:, end + 4] * 10 + digits[:, end + 5]
    right &= (hours <= _MAX_OFFSET_H) & (minutes < 60)
    east = np.where(grid[:, end] == ord("+"), 1, -1)
    return east * (hours * 60 + minutes), right
