"""Readings of one bale or stack over time: rising or falling, how surely, and how long is left.

The forecast carries the last readings on as a straight line. Heating can run away faster than any
line: it shortens the time to the next reading and never lengthens it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

from balewright.plan.keeping.heating import HeatAdvice, advise_heat, next_alarm
from balewright.plan.keeping.heating_sources import COLDEST_C, HOTTEST_C, HeatAction
from balewright.plan.keeping.straight_line import LEAST_POINTS, Line, fit_line, student_t
from balewright.quantities.checks import require_between
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.interval import Interval

LOOK_BACK_H: Final = 48.0
"""Only readings of the last two days are carried on, and at most the last six (assumed)."""
LOOK_BACK_READINGS: Final = 6
MOST_READINGS: Final = 10_000
SHORTEST_H: Final = 1.0
"""No reading is asked for sooner than this: someone has to walk there (assumed)."""
_LONGEST_H: Final = 20_000.0
_FAR_H: Final = 1000.0
"""A forecast beyond six weeks is no forecast."""


@dataclass(frozen=True)
class HeatReading:
    """One reading: hours since any fixed moment, and the hottest spot found then."""

    at_h: float
    temperature_c: float


class Trend(StrEnum):
    """Where the temperature goes, as far as the readings show it."""

    RISING = "rising"
    FALLING = "falling"
    NOT_SHOWN = "not shown yet"
    TOO_FEW = "too few readings"


@dataclass(frozen=True)
class Reach:
    """When the next alarm is reached, hours from the last reading, if it goes on like this.

    earliest_h: at the fast end of what the readings allow; best_h, latest_h: None where the line,
    or its slow end, never gets there within six weeks.
    """

    alarm_c: float
    action: HeatAction
    earliest_h: float
    best_h: float | None
    latest_h: float | None


@dataclass(frozen=True)
class HeatReport:
    """What a series of readings says.

    advice: at the latest reading, read as hot as the thermometer may be wrong; rate_c_h: degrees
    an hour, None with too few; reach: None where nothing is forecast; next_h: hours from the last
    reading to the next, None when it burns; used: readings that the line rests on.
    """

    latest: HeatReading
    advice: HeatAdvice
    trend: Trend
    rate_c_h: Interval | None
    reach: Reach | None
    next_h: float | None
    used: int


def follow_heat(
    readings: Sequence[HeatReading],
    thermometer_c: float = 1.0,
    confidence: float = 0.90,
    acid_treated: bool = False,
) -> HeatReport:
    """What readings of one bale or stack say now, and when to read again.

    readings: one or more, later ones later; thermometer_c: how far a reading may be off (0.1..10);
    confidence: two-sided, 0.5..0.999. With fewer than three readings in the last two days there is
    no rate and no forecast. Raises BadInput for readings that cannot be. Source keys: those of
    `HEAT_TABLES`; the line, its two days and its six readings are ours.
    """
    require_between("thermometer_c", thermometer_c, 0.1, 10.0)
    require_between("confidence", confidence, 0.5, 0.999)
    _check(readings)
    latest = readings[-1]
    hot_c = min(latest.temperature_c + thermometer_c, HOTTEST_C)
    advice = advise_heat(hot_c, acid_treated)
    recent = [one for one in readings if one.at_h >= latest.at_h - LOOK_BACK_H]
    recent = recent[-LOOK_BACK_READINGS:]
    if len(recent) < LEAST_POINTS:
        return HeatReport(latest, advice, Trend.TOO_FEW, None, None, advice.check_h, len(recent))
    line = fit_line([(one.at_h - latest.at_h, one.temperature_c) for one in recent])
    line = replace(line, residual=max(line.residual, thermometer_c))
    rate = line.slope_within(confidence)
    reach = _reach(line, hot_c, confidence)
    next_h = advice.check_h
    if next_h is not None and reach is not None:
        next_h = min(next_h, max(reach.earliest_h, SHORTEST_H))
    return HeatReport(latest, advice, _trend(rate), rate, reach, next_h, len(recent))


def _trend(rate: Interval) -> Trend:
    if rate.low > 0.0:
        return Trend.RISING
    return Trend.FALLING if rate.high < 0.0 else Trend.NOT_SHOWN


def _reach(line: Line, hot_c: float, confidence: float) -> Reach | None:
    """When the line, and the ends of its band, meet the next alarm; None where none does."""
    coming = next_alarm(hot_c)
    if coming is None:
        return None
    alarm_c, action = coming
    earliest_h = _meets(line, alarm_c, student_t(confidence, line.freedom))
    if earliest_h is None:
        return None
    latest_h = _meets(line, alarm_c, -student_t(confidence, line.freedom))
    return Reach(alarm_c, action, earliest_h, _meets(line, alarm_c, 0.0), latest_h)


def _meets(line: Line, alarm_c: float, errors: float) -> float | None:
    """First time from now on at which line + errors x its standard error is at the alarm.

    Halving: above the line the band is convex and may already be over the alarm (then it is 0).
    None when it is not there within six weeks.
    """

    def over(at_h: float) -> float:
        return line.at(at_h) + errors * line.mean_error(at_h) - alarm_c

    if over(0.0) >= 0.0:
        return 0.0
    if over(_FAR_H) < 0.0:
        return None
    low_h, high_h = 0.0, _FAR_H
    while high_h - low_h > 1e-6:
        middle_h = (low_h + high_h) / 2.0
        low_h, high_h = (low_h, middle_h) if over(middle_h) >= 0.0 else (middle_h, high_h)
    return high_h


def _check(readings: Sequence[HeatReading]) -> None:
    if not 1 <= len(readings) <= MOST_READINGS:
        need = f"1 to {MOST_READINGS} readings"
        raise BadInput(Fault("readings", need, f"{len(readings)}", "Give at least one."))
    before_h = -math.inf
    for one in readings:
        require_between("at_h", one.at_h, -_LONGEST_H, _LONGEST_H)
        require_between("temperature_c", one.temperature_c, COLDEST_C, HOTTEST_C)
        if one.at_h <= before_h:
            need = "hours that grow from reading to reading"
            raise BadInput(Fault("at_h", need, f"{one.at_h:g}", "Put the readings in order."))
        before_h = one.at_h
