"""From a trace's own times to UTC, and what is odd about them.

A trace counts from an epoch (candump), or from its start: then the head's date tells when that
was, by a wall clock without zone, or a person says it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Final
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import numpy as np

from balewright.readers.can.frames import Frames
from balewright.readers.can.notes import Notes
from balewright.readers.times import format_time
from balewright.records.quality import Mark

STEP_BACK_US: Final = 1_000_000
"""A step back of at least this is a jump of the clock; less is two channels out of step."""

GAP_US: Final = 10_000_000
"""A bus in use is never silent so long: the recording paused, or its clock leapt."""

_EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)
_MICROSECOND: Final = timedelta(microseconds=1)
_LEAST_EPOCH_US: Final = 10**14  # 1973: less is a count from the start of the recording
_END_US: Final = 4_102_444_800_000_000  # 2100


@dataclass(frozen=True)
class Restart:
    """From here on the file counts from another start (a new trigger block)."""

    start: datetime


@dataclass(frozen=True)
class Pause:
    """A line without frame between two frames, where times count from the line before."""

    us: int


@dataclass(frozen=True)
class ClockGiven:
    """What is known of a trace's clock. start: when it read 0, with a zone or by the recorder's
    wall clock, None unsaid; zone: IANA zone of that wall clock; begins_us: UTC microseconds of
    the start by a person, before all else; between: each time counts from the frame before."""

    start: datetime | None = None
    zone: str | None = None
    begins_us: int | None = None
    between: bool = False


class WallClock:
    """Turns the times of one trace into UTC and notes where they jump. dated: False while nobody
    says when the trace began; its times then count from its start."""

    def __init__(self, given: ClockGiven, notes: Notes) -> None:
        self._given = given
        self._notes = notes
        self._start_us: int | None = None
        self._sum_us = 0
        self._last_us: int | None = None
        self._small_steps = 0
        self._zone_doubted = False
        self.dated = True

    def tell(self, some: Iterable[Frames | Restart | Pause]) -> Iterator[Frames]:
        """The same frames at UTC, those at impossible times refused."""
        for one in some:
            if isinstance(one, Pause):
                self._sum_us += one.us
                continue
            if isinstance(one, Restart):
                self._sum_us = 0
                if self._given.begins_us is None:
                    self._start_us = self._utc_of(one.start)
                continue
            told = self._told(one)
            if told.rows:
                self._look(told)
                yield told
        if self._small_steps:
            said = f"{self._small_steps} messages are a little earlier than the one before"
            self._notes.doubt("whole file", Mark.TIMES_DISORDERED, said)

    def _told(self, frames: Frames) -> Frames:
        if self._start_us is None:
            self._start_us = self._first_start(int(frames.at_us[0]))
        at_us = frames.at_us
        if self._given.between:
            at_us = np.cumsum(at_us) + self._sum_us
            self._sum_us = int(at_us[-1])
        believable = (at_us >= 0) & (at_us < _END_US)
        at_us = np.where(believable, at_us, 0) + self._start_us
        believable &= at_us < _END_US
        told = frames.moved(at_us)
        if believable.all():
            return told
        for number in frames.number[~believable]:
            self._notes.refuse(f"message {number}", "", "Its time lies beyond the year 2099.")
        return told.take(believable)

    def _first_start(self, first_us: int) -> int:
        if self._given.begins_us is not None and first_us < _LEAST_EPOCH_US:
            return self._given.begins_us
        if self._given.start is not None:
            return self._utc_of(self._given.start)
        if first_us >= _LEAST_EPOCH_US:
            if self._given.begins_us is not None:
                said = "the trace has its own dates; the beginning that was given is not used"
                self._notes.doubt("whole file", Mark.START_UNKNOWN, said)
            return 0
        self.dated = False
        said = "the trace does not say when it began; give it, as in --begins 2031-06-14T09:30:00Z"
        self._notes.doubt("whole file", Mark.START_UNKNOWN, said)
        return 0

    def _utc_of(self, start: datetime) -> int:
        if start.tzinfo is None:
            zone = _zone(self._given.zone)
            if zone is None and not self._zone_doubted:
                self._zone_doubted = True
                said = "the date in its head names no zone; it was read as UTC"
                self._notes.doubt("head", Mark.ZONE_UNKNOWN, said)
            start = start.replace(tzinfo=zone or UTC)
        return max(0, (start - _EPOCH) // _MICROSECOND)

    def _look(self, frames: Frames) -> None:
        before = frames.at_us[0] if self._last_us is None else self._last_us
        steps = np.diff(frames.at_us, prepend=before)
        self._small_steps += int(((steps < 0) & (steps > -STEP_BACK_US)).sum())
        for row in np.flatnonzero((steps <= -STEP_BACK_US) | (steps >= GAP_US)):
            step_s = int(steps[row]) / 1e6
            place, at = f"message {frames.number[row]}", self._said(int(frames.at_us[row]))
            if step_s < 0:
                said = f"the clock steps back {-step_s:.3f} s, to {at}"
                self._notes.doubt(place, Mark.CLOCK_JUMPED, said)
            else:
                said = f"nothing for {step_s:.1f} s until {at}: not recorded, or the clock leapt"
                self._notes.doubt(place, Mark.RECORDING_GAP, said)
        self._last_us = int(frames.at_us[-1])

    def _said(self, at_us: int) -> str:
        return format_time(at_us) if self.dated else f"second {at_us / 1e6:.3f}"


def _zone(name: str | None) -> ZoneInfo | None:
    if name is None:
        return None
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return None
