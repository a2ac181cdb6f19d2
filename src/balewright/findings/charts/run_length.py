"""How many bales a chart of a machine in order runs on average before it errs, and the inverse.

A run length is the average number of bales until the first alarm, from a chart at zero (or, asked
for `steady`, from a chart that has run without alarm for long). Readings are independent, normal,
of variance 1 and mean `shift`.

- CUSUM: the integral equation of Goel and Wu (Technometrics 13:221-230, 1971) by Gauss-Legendre
  nodes; two-sided from the two one-sided charts (Lucas and Crosier, Technometrics 24:199-205,
  1982), for `steady` as if the two sums were independent (0.1 % too long at most).
- EWMA with the limits it has after long: Crowder's integral equation (Technometrics 29:401-407,
  1987).
- Counts: `count_runs`; the test of all windows: `window_runs`.

Long runs: above some 10^8 bales the equations lose their digits; from there on the growth with the
limit is taken from Siegmund's approximation, which has the right exponent.

Everything is cached; an answer asked for again takes microseconds.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline
from scipy.optimize import brentq
from scipy.special import ndtr

Floats = NDArray[np.float64]

_SURE_BALES: Final = 1e8
_OVERSHOOT: Final = 1.166  # Siegmund: twice 0.583, what a normal walk overshoots by at both ends


def chance_within(run_bales: float, bales: float) -> float:
    """Chance that a chart of this run length alarms within so many bales, in order.

    Times to the first alarm are nearly exponential; where they are not (the first few bales, in
    which a sum cannot reach its limit yet) this says a little too much, never too little to
    matter.
    """
    return -math.expm1(-bales / run_bales)


@lru_cache(maxsize=4096)
def _nodes(count: int) -> tuple[Floats, Floats]:
    places, weights = np.polynomial.legendre.leggauss(count)
    return places, weights


def _bell(x: Floats) -> Floats:
    return np.asarray(np.exp(-0.5 * x * x) / math.sqrt(2.0 * math.pi))


@lru_cache(maxsize=256)
def _cusum_equation(reference: float, limit: float, shift: float) -> tuple[Floats, Floats]:
    """Run lengths from 0 and from each node, and the chance of each move between them.

    Row i of the moves is where a sum at place i goes: to 0 (column 0) or near a node.
    """
    count = 24 + 3 * math.ceil(limit)
    places, weights = _nodes(count)
    nodes = np.concatenate([[0.0], 0.5 * limit * (places + 1.0)])
    step = nodes[None, :] - nodes[:, None] + reference - shift
    moves = _bell(step) * np.concatenate([[0.0], 0.5 * limit * weights])[None, :]
    moves[:, 0] = ndtr(reference - shift - nodes)
    runs = np.linalg.solve(np.eye(count + 1) - moves, np.ones(count + 1))
    return runs, moves


def _siegmund_log(reference: float, limit: float, shift: float) -> float:
    """Logarithm of Siegmund's approximation of the one-sided run length."""
    drift, far = reference - shift, limit + _OVERSHOOT
    power = 2.0 * drift * far
    if abs(drift) < 1e-9:
        return 2.0 * math.log(far)
    if power > 40.0:
        return power - math.log(2.0 * drift * drift)
    return math.log((math.expm1(power) - power) / (2.0 * drift * drift))


@lru_cache(maxsize=1024)
def _sure(reference: float, shift: float) -> tuple[float, float]:
    """The limit up to which the equation keeps its digits, and the run length there."""
    top = math.log(_SURE_BALES)

    def over(limit: float) -> float:
        return _siegmund_log(reference, limit, shift) - top

    if over(0.0) >= 0.0:
        return 0.0, math.inf
    limit = float(brentq(over, 0.0, 1e5))
    return limit, float(_cusum_equation(reference, limit, shift)[0][0])


@lru_cache(maxsize=4096)
def _one_sided(reference: float, limit: float, shift: float) -> float:
    """Run length of one side from zero; infinite where no float can hold it."""
    guess = _siegmund_log(reference, limit, shift)
    if guess <= math.log(_SURE_BALES):
        return float(_cusum_equation(reference, limit, shift)[0][0])
    sure, run = _sure(reference, shift)
    grown = math.log(run) + guess - _siegmund_log(reference, sure, shift)
    return math.exp(grown) if grown < 700.0 else math.inf


def _both(up: float, down: float) -> float:
    rate = 1.0 / up + 1.0 / down
    return 1.0 / rate if rate > 0.0 else math.inf


@lru_cache(maxsize=4096)
def cusum_run_bales(
    reference: float, limit: float, shift: float = 0.0, sides: int = 2, *, steady: bool = False
) -> float:
    """Average run length of a CUSUM, in bales.

    reference: k, 0 or more; limit: h > 0, alarm above it; shift: of the mean, in standard
    deviations (sides 1: only the upper sum); sides: 1 or 2; steady: the change comes after a long
    run without alarm (for run lengths up to 10^8). The likelihood chart of change d and limit W
    has the run length of reference d/2 and limit W/d.
    """
    if limit <= 0.0 or reference < 0.0 or sides not in {1, 2}:
        raise ValueError(f"no CUSUM: reference {reference}, limit {limit}, sides {sides}")
    up = _one_sided(reference, limit, shift)
    if not steady:
        return up if sides == 1 else _both(up, _one_sided(reference, limit, -shift))
    usual = _resting(_cusum_equation(reference, limit, 0.0)[1])
    up_usual = float(usual @ _cusum_equation(reference, limit, shift)[0])
    if sides == 1:
        return up_usual
    down = _one_sided(reference, limit, -shift)
    if down > _SURE_BALES:
        return up_usual
    down_usual = float(usual @ _cusum_equation(reference, limit, -shift)[0])
    return (up_usual * down + up * down_usual - up * down) / (up + down)


def _resting(moves: Floats) -> Floats:
    """Where a chart is that has run long without alarm: left eigenvector of its moves."""
    at = np.full(len(moves), 1.0 / len(moves))
    for _ in range(500):
        then = at @ moves
        then /= then.sum()
        if float(np.abs(then - at).sum()) < 1e-13:
            break
        at = then
    return np.asarray(then)


def limit_for(
    run_bales_of: Callable[[float], float], run_bales: float, low: float, high: float
) -> float:
    """The limit that gives a wanted run length; run_bales_of must rise with the limit.

    low, high: where to look. Raises ValueError where the wanted run length is not between.
    """
    wanted = math.log(run_bales)

    def off(limit: float) -> float:
        return min(math.log(run_bales_of(limit)), 800.0) - wanted

    if off(low) > 0.0 or off(high) < 0.0:
        raise ValueError(f"no limit between {low} and {high} gives a run of {run_bales} bales")
    return float(brentq(off, low, high, xtol=1e-10, rtol=1e-12))


@lru_cache(maxsize=1024)
def cusum_limit(reference: float, run_bales: float, sides: int = 2) -> float:
    """The limit h that gives a CUSUM in order this run length."""
    return limit_for(
        lambda limit: cusum_run_bales(reference, limit, 0.0, sides), run_bales, 1e-6, 200.0
    )


@lru_cache(maxsize=64)
def _cusum_curve(reference: float, sides: int) -> tuple[CubicSpline, float]:
    """Logarithm of the run length over the limit, and up to where it is tabled."""
    top = cusum_limit(reference, 1e10, sides)
    limits = np.concatenate([np.linspace(1e-6, 1.0, 9), np.linspace(1.0, top, 40)[1:]])
    logs = [math.log(cusum_run_bales(reference, float(one), 0.0, sides)) for one in limits]
    return CubicSpline(limits, logs), top


def cusum_chance(reference: float, statistic: float, bales: float, sides: int = 2) -> float:
    """How often a CUSUM in order is above `statistic` somewhere in so many bales."""
    if statistic <= 0.0:
        return 1.0
    curve, top = _cusum_curve(reference, sides)
    log_run = float(curve(min(statistic, top)))
    if statistic > top:
        grown = _siegmund_log(reference, statistic, 0.0) - _siegmund_log(reference, top, 0.0)
        log_run += grown
    return -math.expm1(-bales * math.exp(-log_run))


@lru_cache(maxsize=256)
def _ewma_equation(newest_share: float, limit: float, shift: float) -> tuple[Floats, Floats]:
    """Run lengths from each node within the limits, and the chances of moves between them."""
    edge = limit * math.sqrt(newest_share / (2.0 - newest_share))
    count = 31 + 2 * math.ceil(3.5 * edge / newest_share)
    places, weights = _nodes(count)
    nodes = edge * places
    kept = (1.0 - newest_share) * nodes
    step = (nodes[None, :] - kept[:, None]) / newest_share - shift
    moves = _bell(step) * (edge * weights / newest_share)[None, :]
    runs = np.linalg.solve(np.eye(count) - moves, np.ones(count))
    return np.asarray(runs, np.float64), moves


@lru_cache(maxsize=4096)
def ewma_run_bales(
    newest_share: float, limit: float, shift: float = 0.0, *, steady: bool = False
) -> float:
    """Average run length of a two-sided EWMA that starts at zero, with the limits of late bales.

    newest_share: weight of the newest bale, 0 < it <= 1; limit: in standard deviations of the
    average; shift: of the mean; steady as in `cusum_run_bales`. Up to about 10^10 bales.
    """
    if not 0.0 < newest_share <= 1.0 or limit <= 0.0:
        raise ValueError(f"no EWMA: share {newest_share}, limit {limit}")
    runs, _ = _ewma_equation(newest_share, limit, shift)
    if steady:
        return float(_resting(_ewma_equation(newest_share, limit, 0.0)[1]) @ runs)
    return float(runs[len(runs) // 2])  # an odd number of nodes: the middle one is zero


@lru_cache(maxsize=1024)
def ewma_limit(newest_share: float, run_bales: float) -> float:
    """The limit that gives an EWMA in order this run length, up to 10^9 bales."""
    return limit_for(lambda limit: ewma_run_bales(newest_share, limit), run_bales, 1e-3, 6.5)
