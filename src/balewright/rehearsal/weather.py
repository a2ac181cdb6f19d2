"""The air, the dew and how warm the machine is, on a rough clock that no fault moves."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from balewright.rehearsal import sizes
from balewright.rehearsal.days import DAY_S
from balewright.rehearsal.faults import ConfuserKind
from balewright.rehearsal.streams import lasting
from balewright.rehearsal.task import Task

Floats = NDArray[np.float64]
_HANDLING_S = 45.0


@dataclass(frozen=True)
class Weather:
    """Per bale, shape (bales,).

    hour_h: hour of the day; worked_h: hours since the day's first bale; air_c; dew_frac: moisture
    that dew adds; warm_frac: 0 a cold machine, 1 one that has worked for hours; pause_s: standing
    before this bale is begun.
    """

    hour_h: Floats
    worked_h: Floats
    air_c: Floats
    dew_frac: Floats
    warm_frac: Floats
    pause_s: Floats


def make_weather(task: Task) -> Weather:
    """Days that differ, warmest at three in the afternoon, with dew in the morning."""
    pause_s = _pauses(task)
    at_s, warm = _rough_clock(task, pause_s)
    hour = at_s % DAY_S / 3600.0
    day_starts = np.full(int(task.schedule.day[-1]) + 1, np.inf)
    np.minimum.at(day_starts, task.schedule.day, at_s)
    worked = (at_s - day_starts[task.schedule.day]) / 3600.0
    low, high = sizes.AIR_SWING_K
    streams = task.streams
    days = int(task.schedule.day[-1]) + 1
    swing = low + (high - low) * streams.even("air swing", days)[task.schedule.day]
    between = lasting(streams.normal("air days", days, sizes.AIR_DAY_K), sizes.AIR_DAY_LASTS)
    mean = sizes.AIR_C + streams.one("air place", sizes.AIR_MACHINE_K)
    air = (
        mean
        + between[task.schedule.day]
        + swing * np.cos((hour - sizes.WARMEST_H) / 24.0 * 2.0 * math.pi)
        + task.by_bale("air bales", sizes.AIR_BALE_K)
        + task.all_day(ConfuserKind.HOT_DAY)
    )
    damp = np.abs(streams.normal("dew", days, sizes.DEW_FRAC))[task.schedule.day]
    dew = damp * 0.5 ** np.maximum(hour - 8.0, 0.0)
    return Weather(hour, worked, air, dew, warm, pause_s)


def _pauses(task: Task) -> Floats:
    """Long pauses stand before the eleventh bale of their job."""
    pause = np.zeros(task.bales)
    for bale, minutes in task.placed(ConfuserKind.LONG_PAUSE):
        if bale + 10 < task.bales:
            pause[bale + 10] += 60.0 * minutes
    return pause


def _rough_clock(task: Task, pause_s: Floats) -> tuple[Floats, Floats]:
    """When each bale is made, roughly, and how warm the machine is then."""
    targets = task.targets
    volume = math.pi / 4.0 * targets.diameter_m**2 * targets.length_m
    mass = targets.dry_kg_m3 * volume / (1.0 - targets.moisture_frac)
    a_bale = mass / (targets.windrow_kg_m * targets.speed_m_s) + _HANDLING_S
    at, warm, now, warmth, last = [], [], 0.0, 0.0, -math.inf
    starts = task.schedule.starts_s.tolist()
    for begins, stands in zip(starts, pause_s.tolist(), strict=True):
        now = max(now + stands, begins)
        idle_h = max(now - last - a_bale, 0.0) / 3600.0
        warmth *= math.exp(-idle_h / sizes.COOLING_H)
        warmth += (1.0 - warmth) * (1.0 - math.exp(-a_bale / 3600.0 / sizes.WARMING_H))
        at.append(now)
        warm.append(warmth)
        last = now
        now += a_bale
    return np.array(at), np.array(warm)
