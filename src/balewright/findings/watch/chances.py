"""Limits of the charts, and how often a machine in order would show as much."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Final

from balewright.findings.charts.run_length import cusum_chance, cusum_limit
from balewright.findings.charts.window_runs import windows_chance, windows_limit
from balewright.findings.watch.charts_kernel import REFERENCE
from balewright.findings.watch.limits import Limits

_CLOCKS: Final = (0.40, -0.57)
"""Log of (run length x rate), less the limit, of the sums for three times and for six times the
rate: between events a sum falls by the rate, so in the clock of events nothing else counts.
Simulated for 0.01 events a bale (limits 4 to 7); where events are commoner, runs are longer."""


_JOBS_RUN: Final = (1.55, 0.83)
"""Log of the jobs until a machine in order shows as much: so much, and so much for each unit of the
statistic. Simulated over 40 normal jobs, statistics 5 to 11; how far jobs differ is learnt from few
of them, so that tails are heavier than those of a known spread (slope 1)."""
_JOB_BALES: Final = 60.0


@lru_cache(maxsize=64)
def level_limits(notice_bales: float) -> tuple[float, float]:
    """Of the sudden chart and of the lasting one, half of the false alarms each."""
    each = 2.0 * notice_bales
    return cusum_limit(REFERENCE, each), windows_limit(each)


def jobs_limit(told_bales: float) -> float:
    """Of jobs held against jobs."""
    offset, slope = _JOBS_RUN
    return (math.log(told_bales / _JOB_BALES) - offset) / slope


@lru_cache(maxsize=64)
def rate_limits(notice_bales: float) -> tuple[float, float]:
    """Of each sum, the limit less the log of the rate, half of the false alarms each."""
    each = 2.0 * notice_bales
    low, high = (math.log(each) - clock for clock in _CLOCKS)
    return low, high


def restless_limit(limits: Limits) -> float:
    """Of the sum of a sensor's steps; every second step is judged, and tails are heavier."""
    return math.log(limits.told_bales) + 2.0


def level_chance(sudden: float, lasting: float, judged: int) -> float:
    """How often the charts of a measure in order show as much within so many bales.

    sudden: what the chart for steps stood at, 0 where it told nothing; lasting: log-likelihood of
    the change by the test of all windows, likewise.
    """
    bales = float(max(judged, 1))
    chance = 1.0
    if sudden > 0.0:
        chance = cusum_chance(REFERENCE, sudden, bales)
    if lasting > 0.0:
        chance = min(chance, windows_chance(lasting, bales))
    return min(2.0 * chance, 1.0)


def jobs_chance(fits: float, jobs: int) -> float:
    """How often the jobs of a measure in order show as much among so many of them."""
    offset, slope = _JOBS_RUN
    return -math.expm1(-max(jobs, 1) / math.exp(min(offset + slope * fits, 600.0)))


def rate_chance(statistic: float, rate: float, chart: int, judged: int) -> float:
    """The same for a rate; statistic: the log-likelihood of the rise; chart: 1 or 2, which sum."""
    run_bales = math.exp(min(statistic + _CLOCKS[chart - 1], 600.0)) / max(rate, 1e-9)
    return -math.expm1(-2.0 * max(judged, 1) / run_bales)


FAULTY_CHARTS: Final = 5e-3
"""Of all charts, how many show a fault at a time: set on rehearsed tuning seasons, two in three of
which have one. In the field it will be less, and so will the certainty."""
_USUAL_ODDS: Final = 4.0


def certain_frac(chance_frac: float, fault_frac: float) -> float:
    """Chance that a change is a trouble of the machine.

    chance_frac: how often a machine in order shows as much, for whatever reason; fault_frac: how
    far the measure is a matter of the machine rather than of crop, weather or driver, 0.8 as usual.
    """
    odds = fault_frac / (1.0 - fault_frac) / _USUAL_ODDS
    return 1.0 / (1.0 + chance_frac / (FAULTY_CHARTS * odds))


def is_told(chance_frac: float, judged: int, limits: Limits) -> bool:
    """Whether a machine in order would show as much only once in `told_bales`."""
    if chance_frac <= 0.0:
        return True
    if chance_frac >= 1.0:
        return False
    return max(judged, 1) >= -math.log1p(-chance_frac) * limits.told_bales
