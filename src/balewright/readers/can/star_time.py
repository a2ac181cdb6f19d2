"""The time that satellites give (NMEA 2000, 129029), held against the recorder's clock."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from balewright.readers.can.notes import Notes
from balewright.readers.can.transport import LongMessage
from balewright.readers.times import format_time
from balewright.records.quality import Mark

MOST_APART_US: Final = 60_000_000
"""A recorder's clock further off than this is said to be off."""

_DAY_US: Final = 86_400_000_000
_STEPS_A_DAY: Final = 864_000_000
_DAYS: Final = range(10_957, 47_482)  # 2000 to 2099: less and more is a receiver without a fix


class StarTime:
    """Remembers the first time that satellites gave."""

    def __init__(self, notes: Notes) -> None:
        self._notes = notes
        self._apart_us: int | None = None
        self._number = 0

    def hear(self, messages: Sequence[LongMessage]) -> None:
        """Whole messages of 129029: days since 1970 in bytes 1 and 2, 0.1 ms in bytes 3 to 6."""
        for one in messages:
            if self._apart_us is not None or len(one.data) < 7:
                continue
            days = int.from_bytes(one.data[1:3], "little")
            steps = int.from_bytes(one.data[3:7], "little")
            if days in _DAYS and steps < _STEPS_A_DAY:
                self._apart_us = days * _DAY_US + steps * 100 - one.at_us
                self._number = one.number

    def tell(self, dated: bool) -> None:
        """Note a clock that is off, or when a trace without a date began."""
        if self._apart_us is None:
            return
        place = f"message {self._number}"
        if not dated:
            begun = format_time(self._apart_us // 1_000_000 * 1_000_000)
            said = f"by its satellite time the recording began at {begun}"
            self._notes.doubt(place, Mark.START_UNKNOWN, said)
        elif abs(self._apart_us) > MOST_APART_US:
            said = f"satellite time is {self._apart_us / 1e6:+.0f} s from the recorder's clock"
            self._notes.doubt(place, Mark.CLOCK_OFF, said)
