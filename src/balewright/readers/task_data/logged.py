"""A decoded time log, column by column, with what its receiver said of each position."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from balewright.readers.task_data.layout import DAY_MS, DAY_US, DAY_ZERO_US, POSITION, LoggedValue
from balewright.records.intake import Doubt, Refusal

UNKNOWN_US: Final = -(2**63)
"""A time that is not known, in arrays of microseconds."""
NOT_SAID: Final = 15
"""Position status of a receiver that says none (ISO 11783-10, as NMEA 2000 has it)."""
NO_FIX: Final = (0, 14)
"""Status without a position: no fix, and error."""
NOT_MEASURED: Final = (7, 8)
"""Status of a position that somebody entered, or that a simulator made."""


@dataclass(frozen=True, eq=False)
class Receiver:
    """What the receiver said beside each position. heads: the records' heads, structured as the
    header has it; fixed: what the header gives for all records, by its letter."""

    heads: NDArray[Any]
    fixed: Mapping[str, float]

    def status(self) -> NDArray[np.uint8]:
        """(n,) 0 no fix, 1 plain, 2 differential, 3 precise, 4 and 5 real-time kinematic, 6 dead
        reckoning, 7 by hand, 8 simulated, 14 error, 15 not said."""
        if "status" in self._names:
            return np.asarray(self.heads["status"])
        said = int(self.fixed.get("D", NOT_SAID))
        return np.full(len(self.heads), said if 0 <= said <= NOT_SAID else NOT_SAID, np.uint8)

    def pdop(self) -> NDArray[np.float64]:
        """(n,) dilution of position, NaN where unknown."""
        return self._number("E", 0xFFFF)

    def hdop(self) -> NDArray[np.float64]:
        """(n,) horizontal dilution, NaN where unknown."""
        return self._number("F", 0xFFFF)

    def satellites(self) -> NDArray[np.float64]:
        """(n,) satellites in use, NaN where unknown."""
        return self._number("G", 0xFF)

    def up_m(self) -> NDArray[np.float64]:
        """(n,) metres above the ellipsoid, NaN where unknown."""
        if "C" in self.fixed:  # the header says millimetres too
            return np.full(len(self.heads), self.fixed["C"] / 1000.0)
        return self._number("C", 2**31 - 1)

    def gps_at_us(self) -> NDArray[np.int64]:
        """(n,) UTC by the receiver, microseconds since 1970; UNKNOWN_US where it says no day or
        no time of day."""
        ms, day = self._whole("H"), self._whole("I")
        known = (ms >= 0) & (ms < DAY_MS) & (day > 0) & (day < 0xFFFF)
        moment_us = DAY_ZERO_US + day * DAY_US + ms * 1000
        return np.where(known, moment_us, UNKNOWN_US)

    def gps_ms(self) -> NDArray[np.int64]:
        """(n,) milliseconds since midnight UTC by the receiver, -1 where unknown."""
        ms = self._whole("H")
        return np.where((ms >= 0) & (ms < DAY_MS), ms, -1)

    @property
    def _names(self) -> tuple[str, ...]:
        return self.heads.dtype.names or ()

    def _number(self, letter: str, unsaid: int) -> NDArray[np.float64]:
        part = POSITION[letter]
        if part.name in self._names:
            raw = self.heads[part.name].astype(np.float64)
            return np.where(raw == unsaid, np.nan, raw / round(1 / part.step_factor))
        return np.full(len(self.heads), self.fixed.get(letter, np.nan))

    def _whole(self, letter: str) -> NDArray[np.int64]:
        name = POSITION[letter].name
        if name in self._names:
            return self.heads[name].astype(np.int64)
        return np.full(len(self.heads), int(self.fixed.get(letter, -1)), dtype=np.int64)


@dataclass(frozen=True, eq=False)
class TimeLog:
    """A decoded time log. name: as the task names it; file: its binary part.

    at_us: (n,) microseconds since 1970 as the log's own clock says; lat, lon: (n,) degrees, NaN
    where unknown; offsets: (n,) byte of each record; receiver: what stood beside the positions.
    Values stand as they were written, only where they changed: value_row (m,), value_index (m,)
    into `columns`, value_raw (m,).
    """

    name: str
    file: str
    columns: tuple[LoggedValue, ...]
    at_us: NDArray[np.int64]
    lat: NDArray[np.float64]
    lon: NDArray[np.float64]
    offsets: NDArray[np.int64]
    value_row: NDArray[np.int32]
    value_index: NDArray[np.uint8]
    value_raw: NDArray[np.int32]
    receiver: Receiver = field(default_factory=lambda: Receiver(np.zeros(0), MappingProxyType({})))
    refusals: tuple[Refusal, ...] = ()
    doubts: tuple[Doubt, ...] = ()

    @property
    def rows(self) -> int:
        """How many records were kept."""
        return len(self.at_us)

    def written(self, column: int) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
        """Rows and raw values where a column was written, in order. A value that the header fixes
        and no record writes stands at the first record."""
        picked = self.value_index == column
        rows, raws = self.value_row[picked], self.value_raw[picked]
        fixed = self.columns[column].fixed
        if len(rows) or fixed is None or not self.rows or not -(2**31) <= fixed < 2**31:
            return rows, raws
        return np.zeros(1, np.int32), np.array([fixed], np.int32)


@dataclass(frozen=True, eq=False)
class KeptLog:
    """A log that was read and let go of: its columns are decoded again when asked for.

    rows: records kept; begins_us: time of its first record, None without one; first_us, last_us:
    earliest and latest time; again: reads its bytes again, may raise BadInput where they are gone.
    """

    name: str
    file: str
    columns: tuple[LoggedValue, ...]
    rows: int
    begins_us: int | None
    first_us: int | None
    last_us: int | None
    again: Callable[[], TimeLog]

    def decoded(self) -> TimeLog:
        """The log with all its columns, on the clock it was counted on."""
        return self.again()


def keep_log(log: TimeLog, again: Callable[[], TimeLog]) -> KeptLog:
    """What is kept of a log once it was counted. again: decodes it anew, on the same clock."""
    at_us = log.at_us
    return KeptLog(
        name=log.name,
        file=log.file,
        columns=log.columns,
        rows=log.rows,
        begins_us=int(at_us[0]) if log.rows else None,
        first_us=int(at_us.min()) if log.rows else None,
        last_us=int(at_us.max()) if log.rows else None,
        again=again,
    )
