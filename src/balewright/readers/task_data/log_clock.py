"""On which clock a log stands: its task's periods in UTC and its own receiver tell."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from balewright.readers.task_data.layout import DAY_US
from balewright.readers.task_data.log_doubts import clock_text
from balewright.readers.task_data.logged import UNKNOWN_US, TimeLog
from balewright.readers.task_data.values import Period, Task
from balewright.records.intake import Doubt
from balewright.records.quality import Mark

_QUARTER_US: Final = 15 * 60 * 1_000_000
_NEAR_US: Final = 2 * 60 * 1_000_000
_WIDEST_QUARTERS: Final = 14 * 4
_RIGHT_US: Final = 30 * 1_000_000
"""A display's clock within this of the receiver's is right."""


def clock_shift(log: TimeLog, task: Task) -> int | None:
    """How far the log's clock is ahead of the task's periods, in whole quarter hours of
    microseconds: 0 where it lies inside one; None where it fits none."""
    spans = [
        (each.begin_us, each.end_us if each.end_us is not None else each.begin_us, each.zoned)
        for each in task.periods
        if each.begin_us is not None
    ]
    first_us = int(log.at_us[0])
    if any(begin - _NEAR_US <= first_us <= end + _NEAR_US for begin, end, _ in spans):
        return 0
    for begin_us, _, zoned in spans:
        quarters, near = _quarters(first_us - begin_us)
        if zoned and near:
            return quarters * _QUARTER_US
    return None


def receiver_lag(log: TimeLog) -> int | None:
    """How far the log's clock is ahead of its receiver's UTC, microseconds, the middle of all
    records; None where the receiver says no time, or one that stands still. Without a date it is
    known within half a day only."""
    at_us, gps_us = log.at_us, log.receiver.gps_at_us()
    known = gps_us != UNKNOWN_US
    if known.any():
        said, lags_us = gps_us[known], at_us[known] - gps_us[known]
    else:
        gps_ms = log.receiver.gps_ms()
        known = gps_ms >= 0
        said = gps_ms[known]
        lags_us = (at_us[known] - said * 1000) % DAY_US
        lags_us = np.where(lags_us > DAY_US // 2, lags_us - DAY_US, lags_us)
    if not len(said) or (said == said[0]).all():
        return None
    return int(np.median(lags_us))


def on_right_clock(
    log: TimeLog, periods: Sequence[Period], shift_us: int | None
) -> tuple[TimeLog, list[Doubt]]:
    """The log with its times in UTC where that is known, and what was odd.

    log: with at least one record; periods: of its task; shift_us: from `clock_shift`. Whole quarter
    hours are a zone and are taken off; minutes that are no zone are only said: nobody knows by
    which of the two clocks the bales were booked.
    """
    doubts: list[Doubt] = []
    first_us = int(log.at_us[0])

    def note(kind: Mark, text: str) -> None:
        doubts.append(Doubt(log.file, "byte 0", kind, f"begins {clock_text(first_us)}{text}"))

    if shift_us is None and any(period.begin_us is not None for period in periods):
        note(Mark.CLOCK_JUMPED, ", outside every period of its task; kept")
    if shift_us:
        note(
            Mark.CLOCK_JUMPED,
            f" by its own clock, {shift_us / 3.6e9:g} h ahead of the task's period "
            "in UTC: taken as local time and set to UTC",
        )
        log = replace(log, at_us=log.at_us - shift_us)
    lag_us = receiver_lag(log)
    if lag_us is None or abs(lag_us) <= _RIGHT_US:
        return log, doubts
    quarters, near = _quarters(lag_us)
    in_utc = shift_us is not None and any(period.zoned for period in periods)
    if near and quarters and not in_utc:
        note(
            Mark.CLOCK_OFF,
            f" by its own clock, {quarters / 4:g} h ahead of its receiver's UTC: taken as local "
            "time and set to UTC",
        )
        return replace(log, at_us=log.at_us - quarters * _QUARTER_US), doubts
    way = "ahead of" if lag_us > 0 else "behind"
    note(
        Mark.CLOCK_OFF,
        f"; its clock is {abs(lag_us) / 60e6:.1f} min {way} its receiver's: times are kept as the "
        "log has them",
    )
    return log, doubts


def _quarters(apart_us: int) -> tuple[int, bool]:
    """Whole quarter hours nearest to a difference, and whether it is near enough to be a zone."""
    quarters = round(apart_us / _QUARTER_US)
    rest_us = abs(apart_us - quarters * _QUARTER_US)
    return quarters, rest_us <= _NEAR_US and abs(quarters) <= _WIDEST_QUARTERS
