"""Run lengths of the charts of counts (`counts_kernel`), by Markov chain.

In units of what one event adds, the sum moves by x - kappa a bale (up; down the other way round),
with kappa = (r - 1) e / ln r for Poisson. The places a sum can have are laid on a grid of which
kappa is a whole number of steps, so a bale without an event is exact; where one event is not a
whole number of steps, it is shared between the two nearest places, which keeps the mean. Where
1 / kappa is whole, and the limit too, the chain is exact (Brook and Evans, Biometrika 59:539-549,
1972).

The chart alarms above its limit. Expected events are taken to be the same for every bale; where
they change, use their mean. The first answer for a chart takes 0.1 to 0.6 s (a table of its run
lengths), later ones microseconds: round what is expected to two digits before asking for a fleet.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator
from scipy.sparse import coo_array, eye_array
from scipy.sparse.linalg import spsolve
from scipy.stats import poisson

Floats = NDArray[np.float64]

_STEPS: Final = 300
_MOST: Final = 40_000
_TAIL: Final = 1e-15
_TABLED_BALES: Final = 1e9
_FINE: Final = 5e-4
_RARE: Final = 0.005


@dataclass(frozen=True)
class CountChart:
    """expected: events a bale while nothing has changed (Poisson), or the chance of one
    (`single`: Bernoulli); ratio: r > 1, what the chart is best at; down: for one r-th instead.
    """

    expected: float
    ratio: float
    single: bool = False
    down: bool = False

    def __post_init__(self) -> None:
        """Raises ValueError for what is no chart."""
        most = 1.0 / self.ratio if self.single and not self.down else math.inf
        if self.expected <= 0.0 or self.ratio <= 1.0 or self.expected >= min(most, 1e3):
            raise ValueError(f"no chart of counts: {self}")

    def moves(self) -> tuple[float, float]:
        """What an event adds to the logarithm of the likelihood ratio, and what every bale takes.

        (Going down: what an event takes, and every bale adds.)
        """
        ratio = 1.0 / self.ratio if self.down else self.ratio
        if not self.single:
            return abs(math.log(ratio)), abs(ratio - 1.0) * self.expected
        none = math.log1p(-ratio * self.expected) - math.log1p(-self.expected)
        return abs(math.log(ratio) - none), abs(none)

    def chances(self, true_ratio: float) -> Floats:
        """Chance of 0, 1, 2, ... events in a bale when the rate is so many times the expected."""
        mean = self.expected * true_ratio
        if self.single:
            if mean > 1.0:
                raise ValueError(f"a chance of {mean}")
            return np.array([1.0 - mean, mean])
        most = int(poisson.isf(_TAIL, mean)) + 1
        return np.asarray(poisson.pmf(np.arange(most + 1), mean))


def _grid_step(kappa: float, height: float) -> float:
    """A step of which kappa is a whole number, and one event as nearly as can be."""
    fewest = max(1, math.ceil(_STEPS * kappa / height))
    parts = np.arange(fewest, max(2 * fewest, fewest + 3) + 1)
    off = np.abs(parts / kappa - np.round(parts / kappa))
    return float(kappa / parts[np.argmin(np.where(off < 1e-9, 0.0, off))])


@lru_cache(maxsize=4096)
def count_run_bales(chart: CountChart, limit: float, true_ratio: float = 1.0) -> float:
    """Average run length from zero, in bales.

    limit: of the logarithm of the likelihood ratio, > 0; true_ratio: what the rate has become.
    """
    if limit <= 0.0:
        raise ValueError(f"no limit: {limit}")
    unit, takes = chart.moves()
    kappa, height = takes / unit, limit / unit
    step = _grid_step(kappa, height)
    states = math.floor(height / step + 1e-9) + 2  # the last one lies above the limit
    if states > _MOST:
        raise ValueError(f"too long a chain for {chart} at {limit}")
    chances = chart.chances(true_ratio)
    places = step * np.arange(states)
    rows, columns, shares = [], [], []
    for events, chance in enumerate(chances):
        moved = kappa - events if chart.down else events - kappa
        to = np.maximum(0.0, places + moved)
        kept = np.flatnonzero(to <= height + 1e-9)
        at = to[kept] / step
        below = np.floor(at + 1e-9).astype(np.int64)
        rest = np.clip(at - below, 0.0, 1.0)
        rest[rest < 1e-9] = 0.0
        above = np.minimum(below + 1, states - 1)
        rows += [kept, kept]
        columns += [below, above]
        shares += [chance * (1.0 - rest), chance * rest]
    triple = (np.concatenate(shares), (np.concatenate(rows), np.concatenate(columns)))
    matrix = coo_array(triple, shape=(states, states)).tocsc()
    runs = spsolve((eye_array(states) - matrix).tocsc(), np.ones(states))
    first = float(runs[0])
    return first if 0.0 < first < 1e13 else math.inf


@lru_cache(maxsize=1024)
def count_limit(chart: CountChart, run_bales: float) -> float:
    """The limit that gives a chart of counts in order this run length.

    Run lengths rise in small steps with the limit, as counts are whole; the limit given is no more
    than 0.0005 above the step that reaches the wanted run length, which is up to 10^9 bales.
    """
    curve, low, high = _count_curve(chart)
    if math.log(run_bales) > high:
        raise ValueError(f"{run_bales} bales is longer than can be told for {chart}")
    guess = float(curve(min(max(math.log(run_bales), low), high)))
    low, high = max(guess - 0.5, 1e-6), guess + 0.5
    while count_run_bales(chart, high) < run_bales:
        low, high = high, high + 0.5
    while high - low > _FINE:
        middle = 0.5 * (low + high)
        low, high = (low, middle) if count_run_bales(chart, middle) >= run_bales else (middle, high)
    return high


@lru_cache(maxsize=64)
def _count_table(chart: CountChart) -> tuple[Floats, Floats]:
    """Limits and logarithms of their run lengths, rising, up to 10^9 bales."""
    limits: list[float] = []
    logs: list[float] = []
    limit = 0.05
    while limit < 60.0 and (not logs or logs[-1] < math.log(_TABLED_BALES)):
        run = count_run_bales(chart, limit)
        if math.isfinite(run) and (not logs or math.log(run) > logs[-1]):
            limits.append(limit)
            logs.append(math.log(run))
        limit += 0.5
    return np.array(limits), np.array(logs)


@lru_cache(maxsize=64)
def _count_curve(chart: CountChart) -> tuple[PchipInterpolator, float, float]:
    limits, logs = _count_table(chart)
    return PchipInterpolator(logs, limits), float(logs[0]), float(logs[-1])


@lru_cache(maxsize=64)
def _count_runs(chart: CountChart) -> tuple[PchipInterpolator, float]:
    limits, logs = _count_table(chart)
    return PchipInterpolator(limits, logs, extrapolate=True), float(limits[-1])


def count_chance(chart: CountChart, statistic: float, bales: float) -> float:
    """How often a chart in order is above `statistic` somewhere in so many bales.

    Between tabled limits, half apart, the run length is interpolated; beyond 10^9 bales it grows by
    e for each unit of the statistic, as a likelihood ratio's does.
    """
    if statistic <= 0.05:
        return 1.0
    curve, top = _count_runs(chart)
    log_run = float(curve(min(statistic, top))) + max(0.0, statistic - top)
    return -math.expm1(-bales * math.exp(-log_run))


@lru_cache(maxsize=64)
def _rare_curves(ratio: float) -> tuple[PchipInterpolator, PchipInterpolator, float, float]:
    """Over the limit: logarithm of run length times rate; its inverse; the last of both."""
    limits, logs = _count_table(CountChart(_RARE, ratio))
    logs = logs + math.log(_RARE)
    whole = PchipInterpolator(limits, logs), PchipInterpolator(logs, limits)
    return *whole, float(limits[-1]), float(logs[-1])


def rare_run_bales(expected: float, ratio: float, limit: float) -> float:
    """Run length of a Poisson chart of rare events, at once for any rate.

    Where most bales have no event, the run length times the rate hangs on ratio and limit alone.
    expected: events a bale, up to 0.01 within 4 %; where they are commoner, runs are longer than
    told. ratio: r > 1; limit: 0.05 or more.
    """
    curve, _, last, top = _rare_curves(ratio)
    log_run = float(curve(max(limit, 0.05))) if limit <= last else top + limit - last
    log_run -= math.log(expected)
    return math.exp(log_run) if log_run < 700.0 else math.inf


def rare_limit(expected: float, ratio: float, run_bales: float) -> float:
    """The limit that gives a Poisson chart of rare events this run length or a longer one."""
    _, inverse, last, top = _rare_curves(ratio)
    wanted = math.log(run_bales * expected)
    return float(inverse(wanted)) if wanted <= top else last + wanted - top
