"""The binary layout of a time log as a table (ISO 11783-10, time log; little endian).

A record is: time, the position fields whose attribute stands empty in the header, a count, then
that many values. Read the table top to bottom and you have the file.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np


@dataclass(frozen=True)
class Part:
    """One field of a record: its name, its code as numpy writes it, and what one step is worth."""

    name: str
    code: str
    step_factor: float
    meaning: str


TIME: Final = (
    Part("ms", "<u4", 1.0, "milliseconds since midnight"),
    Part("day", "<u2", 1.0, "days since 1980-01-01"),
)
POSITION: Final = {
    "A": Part("north", "<i4", 1e-7, "degrees north"),
    "B": Part("east", "<i4", 1e-7, "degrees east"),
    "C": Part("up", "<i4", 1e-3, "metres above the ellipsoid"),
    "D": Part("status", "u1", 1.0, "0 none, 1 plain, 2 differential, ... 14 error, 15 not said"),
    "E": Part("pdop", "<u2", 0.1, "position dilution"),
    "F": Part("hdop", "<u2", 0.1, "horizontal dilution"),
    "G": Part("satellites", "u1", 1.0, "satellites in use"),
    "H": Part("gps_ms", "<u4", 1.0, "milliseconds since midnight, by the receiver"),
    "I": Part("gps_day", "<u2", 1.0, "days since 1980-01-01, by the receiver"),
}
COUNT: Final = Part("count", "u1", 1.0, "how many values follow")
VALUE: Final = (
    Part("index", "u1", 1.0, "which DLV of the header, from 0"),
    Part("raw", "<i4", 1.0, "the value as the device sent it"),
)
VALUE_TYPE: Final = np.dtype([(part.name, part.code) for part in VALUE])
DAY_ZERO_US: Final = 315_532_800_000_000
"""1980-01-01 in microseconds since 1970-01-01."""
DAY_US: Final = 86_400_000_000
DAY_MS: Final = 86_400_000
MAX_COLUMNS: Final = 255


@dataclass(frozen=True)
class LoggedValue:
    """A column of a time log: identifier and device element; fixed: a value that the header gives
    for all records; pgn: the message a value is cut from (identifier 57342 only), with its first
    and last bit."""

    number: int
    element: str
    fixed: int | None = None
    pgn: int | None = None
    bits: tuple[int | None, int | None] = (None, None)


@dataclass(frozen=True)
class LogHeader:
    """position: letters of `layout.POSITION` that stand in the binary, in its order; fixed: those
    that the header itself gives; columns: the values, addressed by their place."""

    position: str
    fixed: dict[str, float]
    columns: tuple[LoggedValue, ...]


def head_type(position: str) -> np.dtype[np.void]:
    """The packed type of a record's head. position: the letters that stand in the binary."""
    parts = (*TIME, *(POSITION[letter] for letter in position), COUNT)
    return np.dtype([(part.name, part.code) for part in parts])
