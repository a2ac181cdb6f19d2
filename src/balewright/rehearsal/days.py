"""When and where a machine works: weather windows, jobs, the hours of a day."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

DAY_S: Final = 86_400.0


@dataclass(frozen=True)
class Site:
    """One job: its key and roughly where its field lies (WGS 84 degrees)."""

    job: str
    lat: float
    lon: float


@dataclass(frozen=True)
class SeasonPlan:
    """start_us: local midnight of the first day, UTC microseconds; bales: a machine's season."""

    start_us: int
    bales: int
    daily_bales: float = 120.0


@dataclass(frozen=True)
class Schedule:
    """Per bale, shape (bales,): number of the job and of the day, and when work may begin.

    job: 0-based number of the job in the season; day: days since the season's first midnight;
    starts_s: seconds since then before which this bale cannot be begun (its job's start).
    """

    job: Ints
    day: Ints
    starts_s: Floats

    @property
    def jobs(self) -> int:
        """How many jobs there are."""
        return int(self.job[-1]) + 1


def plan_days(plan: SeasonPlan, chance: np.random.Generator) -> Schedule:
    """Draw jobs until the season's bales are made: dry spells of 2-6 days, then days of rain."""
    job: list[int] = []
    day: list[int] = []
    starts: list[float] = []
    today, number, dry_days = 0, 0, int(chance.integers(2, 7))
    while len(job) < plan.bales:
        begin_s = today * DAY_S + chance.uniform(8.5, 12.5) * 3600
        for _ in range(int(chance.integers(1, 4))):
            size = max(12, round(plan.daily_bales / 2 * chance.lognormal(0.0, 0.4)))
            size = min(size, plan.bales - len(job))
            job += [number] * size
            day += [today] * size
            starts += [begin_s] * size
            number += size > 0
            begin_s += size * 75.0 + chance.uniform(900, 2700)
        dry_days -= 1
        if dry_days == 0:
            today += int(chance.integers(2, 9))
            dry_days = int(chance.integers(2, 7))
        today += 1
    return Schedule(np.array(job), np.array(day), np.array(starts))
