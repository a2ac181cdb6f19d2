"""Clock times in a zone -> UTC. The hour that is missing in spring and the one that comes twice in
autumn are told, never guessed.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from functools import lru_cache
from typing import Final
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from balewright.records.column_map import Twice

DAY_US: Final = 86_400_000_000
_EPOCH: Final = datetime(1970, 1, 1)  # noqa: DTZ001  a clock's own epoch
_MICROSECOND: Final = timedelta(microseconds=1)
_OFFSET: Final = re.compile(r"(?:UTC|GMT)?([+-])(\d{1,2}):?(\d{2})?", re.IGNORECASE)
_FARTHEST_US: Final = int((datetime(2200, 1, 1) - _EPOCH) / _MICROSECOND)  # noqa: DTZ001


@dataclass(frozen=True)
class Zoned:
    """first_us, second_us: UTC of a clock time, shape (rows,), the same but in the doubled hour;
    is_gap: clocks that no clock showed; is_twice: clocks that came twice.
    """

    first_us: NDArray[np.int64]
    second_us: NDArray[np.int64]
    is_gap: NDArray[np.bool_]
    is_twice: NDArray[np.bool_]


@lru_cache(maxsize=512)
def zone_of(name: str) -> tzinfo | None:
    """The zone of an IANA name or of an offset such as +02:00; None for neither."""
    plain = name.strip()
    if plain.upper() in ("UTC", "GMT", "Z"):
        return UTC
    if found := _OFFSET.fullmatch(plain):
        minutes = int(found[2]) * 60 + int(found[3] or 0)
        if minutes > 15 * 60 or int(found[3] or 0) > 59:
            return None
        return timezone(timedelta(minutes=-minutes if found[1] == "-" else minutes))
    try:
        return ZoneInfo(plain)
    except (OSError, ValueError):  # ZoneInfoNotFoundError is a KeyError
        return None
    except KeyError:
        return None


def to_utc(local_us: NDArray[np.int64], zone: tzinfo) -> Zoned:
    """UTC of clock times in a zone, day by day: only days with a change are looked at singly."""
    local_us = np.clip(local_us, -DAY_US, _FARTHEST_US)
    days, where = _days(local_us // DAY_US)
    offsets = np.array([_of_day(zone, int(day)) for day in days], dtype=np.int64).reshape(-1, 2)
    east = offsets[where, 0]
    first = local_us - east
    second = first.copy()
    is_gap = np.zeros(len(local_us), dtype=np.bool_)
    is_twice = np.zeros(len(local_us), dtype=np.bool_)
    for row in np.flatnonzero(offsets[where, 1]).tolist():
        early, late = (
            _offset_us(zone, int(local_us[row]), 0),
            _offset_us(zone, int(local_us[row]), 1),
        )
        first[row], second[row] = local_us[row] - early, local_us[row] - late
        is_gap[row], is_twice[row] = late > early, late < early
    return Zoned(first, second, is_gap, is_twice)


def _days(day: NDArray[np.int64]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """The days there are, and which of them each row has; a season needs no sorting."""
    if len(day) and int(day.max() - day.min()) < 400:
        return np.arange(day.min(), day.max() + 1), day - day.min()
    days, where = np.unique(day, return_inverse=True)
    return days, where


def _of_day(zone: tzinfo, day: int) -> tuple[int, int]:
    """The offset of a day, and 1 where it has more than one."""
    start = day * DAY_US
    seen = {
        _offset_us(zone, start + at, fold) for at in (0, DAY_US // 2, DAY_US - 1) for fold in (0, 1)
    }
    return min(seen), int(len(seen) > 1)


def _offset_us(zone: tzinfo, local_us: int, fold: int) -> int:
    """How far east of UTC, microseconds."""
    clock = (_EPOCH + local_us * _MICROSECOND).replace(fold=fold, tzinfo=zone)
    return (clock.utcoffset() or timedelta()) // _MICROSECOND


@dataclass(frozen=True)
class Series:
    """A name of each row. codes: place of its name in `names`, shape (rows,)."""

    codes: NDArray[np.int64]
    names: tuple[str, ...]

    def take(self, rows: NDArray[np.bool_]) -> Series:
        """Some of the rows."""
        return Series(self.codes[rows], self.names)


def settle_twice(
    zoned: Zoned, twice: Twice, series: Series, before: dict[str, int]
) -> NDArray[np.int64]:
    """UTC where clocks that came twice are settled by the map's rule.

    series: of the same rows; before: last UTC of each machine, carried from block to block and
    changed here. By order: the first pass as long as the machine's times do not step back (files
    with the newest first: forward), else the second.
    """
    if twice is Twice.SECOND:
        return zoned.second_us
    if twice is not Twice.BY_ORDER:
        return zoned.first_us
    at_us = zoned.first_us.copy()
    concerned = set(series.codes[zoned.is_twice].tolist())
    for code in concerned:
        rows = np.flatnonzero((series.codes == code) & ~zoned.is_gap)
        _settle(at_us, rows, zoned, before.get(series.names[code]))
    last = np.full(len(series.names), -1, dtype=np.int64)
    good = np.flatnonzero(~zoned.is_gap)
    last[series.codes[good]] = good  # of several the last one stays
    for code in np.flatnonzero(last >= 0).tolist():
        before[series.names[code]] = int(at_us[last[code]])
    return at_us


def _settle(
    at_us: NDArray[np.int64], rows: NDArray[np.int64], zoned: Zoned, last: int | None
) -> None:
    """One machine's rows in their order."""
    steps = np.diff(zoned.first_us[rows])
    falls = int((steps < 0).sum()) > int((steps > 0).sum())
    for row in rows.tolist():
        if zoned.is_twice[row]:
            first, second = int(zoned.first_us[row]), int(zoned.second_us[row])
            if falls:
                at_us[row] = second if last is None or second <= last else first
            else:
                at_us[row] = first if last is None or first >= last else second
        last = int(at_us[row])
