"""The best delay there can be: what is missed, however good the chart, for want of bales.

Everything is told about a chart that knows what no real one does: the level before the fault
without error, the spread, the size of the fault and the way it grows. Only when it began is
unknown to it. Its statistic is that of Shiryaev and Roberts, which is as quick as any rule can be
for its run length up to a vanishing term (Pollak, Ann. Stat. 13:206, 1985); R(n) - n is a
martingale in good order, so an alarm at R >= A comes after A bales or more on average: after A
times what R is over A at the alarm. `least_bales` lowers A by that, so that the run length is met.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from bench.findings.facts import Fault
from numpy.typing import NDArray

Floats = NDArray[np.float64]

RUN_LENGTH_BALES = 1e6


def information_of_shift(shift_spreads: float) -> float:
    """Kullback-Leibler divergence a bale of a normal level moved by so many spreads, nats."""
    return shift_spreads**2 / 2.0


def information_of_rate(before: float, after: float) -> float:
    """The same of a chance a bale, 0 < chance < 1, that became another."""
    return after * math.log(after / before) + (1 - after) * math.log((1 - after) / (1 - before))


def lorden_bales(information: float, run_length_bales: float = RUN_LENGTH_BALES) -> float:
    """Mean delay that no rule of this run length undercuts, to first order, worst case.

    log(run length) / divergence (Lorden, Ann. Math. Stat. 42:1897, 1971). First order means that a
    constant is left out; for rare events it is worth some 50 bales. `ideal_*` leave nothing out.
    """
    return math.log(run_length_bales) / information


def growing(shift_spreads: float, growth_bales: int, bales: int, at_once: float = 0.0) -> Floats:
    """How far the level has moved, in spreads, at each bale from the fault's first on.

    at_once: the share of it that is there from the first bale on, 0..1.
    """
    if growth_bales <= 1:
        return np.full(bales, shift_spreads)
    slow = np.minimum(np.arange(1, bales + 1) / growth_bales, 1.0)
    return shift_spreads * (at_once + (1.0 - at_once) * slow)


def ideal_delays(
    shape: Floats,
    runs: int,
    chance: np.random.Generator,
    run_length_bales: float = RUN_LENGTH_BALES,
) -> Floats:
    """Bales until the ideal chart of levels tells a fault of this shape, shape (runs,).

    shape: the move at each bale since the fault began, in spreads, as long as bales follow;
    infinite where the bales end before. The fault is there from the first bale watched: what was
    seen before can only help, by little.
    """
    bales = len(shape)
    told = np.full(runs, np.inf)
    logs = np.full((runs, bales), -np.inf)  # by the bale at which the chart supposes the start
    limit = math.log(run_length_bales)
    open_runs = np.arange(runs)
    for now in range(bales):
        seen = shape[now] + chance.standard_normal(len(open_runs))
        logs[:, now] = 0.0
        move = shape[now::-1]  # of a fault supposed to begin at bale 0, 1, ... now
        logs[:, : now + 1] += move * seen[:, None] - move**2 / 2.0
        highest = logs[:, : now + 1].max(axis=1)
        summed = highest + np.log(np.exp(logs[:, : now + 1] - highest[:, None]).sum(axis=1))
        over = summed >= limit
        told[open_runs[over]] = now + 1
        logs, open_runs = logs[~over], open_runs[~over]
        if not len(open_runs):
            break
    return told


def ideal_rate_delays(
    rates: tuple[float, float],
    bales_runs: tuple[int, int],
    chance: np.random.Generator,
    run_length_bales: float = RUN_LENGTH_BALES,
    true_rate: float | None = None,
) -> Floats:
    """The same for a chance a bale that went up at once, shape (runs,).

    rates: (before, after); bales_runs: bales that follow, and how many runs; true_rate: of the
    bales watched, None: after.
    """
    (before, after), (bales, runs) = rates, bales_runs
    hits = chance.random((runs, bales)) < (after if true_rate is None else true_rate)
    ratio = np.where(hits, after / before, (1.0 - after) / (1.0 - before))
    told = np.full(runs, np.inf)
    statistic = np.zeros(runs)
    for now in range(bales):
        statistic = (1.0 + statistic) * ratio[:, now]
        told = np.where(np.isinf(told) & (statistic >= run_length_bales), now + 1, told)
        if np.isfinite(told).all():
            break
    return told


RUNS = 200
OVERSHOOT = 0.583
"""Mean excess of a normal sum over its limit, a spread (Siegmund 1985, Sequential Analysis)."""
LONGEST_BALES = 1500
"""How many bales of a level, and three times as many of a rate, are played for the best delay."""


def least_bales(fault: Fault) -> float | None:
    """Median of the best delay there can be for such a fault; None where it is not worked out.

    Infinite where even the best chart would not tell half of them within the bales played.
    """
    if fault.size is None or fault.growth == "spells":
        return None
    if fault.family == "level":
        return _least_of_level(fault.size, fault.growth_bales, fault.growth == "jump then creep")
    if fault.family == "rate" and fault.base_rate is not None:
        return _least_of_rate(fault.base_rate, min(fault.base_rate * fault.size, 0.99))
    return None


@lru_cache(maxsize=512)
def _least_of_level(size: float, growth_bales: int, jumps: bool) -> float:
    shape = growing(abs(size), growth_bales, LONGEST_BALES, 0.5 if jumps else 0.0)
    limit = RUN_LENGTH_BALES * math.exp(-OVERSHOOT * abs(size))
    return float(np.median(ideal_delays(shape, RUNS, np.random.default_rng(1), limit)))


@lru_cache(maxsize=512)
def _least_of_rate(before: float, after: float) -> float:
    chance, rates = np.random.default_rng(1), (before, after)
    sample = 200.0
    calm = ideal_rate_delays(rates, (6_000, 1_000), chance, sample, before)
    limit = RUN_LENGTH_BALES * sample / float(np.minimum(calm, 6_000.0).mean())
    told = ideal_rate_delays(rates, (3 * LONGEST_BALES, RUNS), chance, limit)
    return float(np.median(told))
