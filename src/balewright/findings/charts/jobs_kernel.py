"""Jobs held against jobs, compiled: whether those from one on lie elsewhere than those before.

A job is one number (the mean of its bales) with the variance that chance gives it. Beside chance,
jobs differ: by as much as neighbours do, or as jobs do on either side of the split, whichever is
more, so that a level that goes up and down by itself is no change. For every split with jobs
enough on both sides:

    z = (mean after - mean before) / sqrt(variance of both),      statistic = z^2 / 2,

means weighed by their variances, and each job held at HELD spreads from the middle job of its
side: one odd job is no change. Nor are few jobs, however far apart they lie, for two drivers look
like that: how far jobs differ is reckoned as though one more lay on the other side, and of the side
with fewer none speaks for more than MOST_A_JOB.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from balewright.findings.charts.compiled_kernel import Floats, compiled

HELD: Final = 2.0
MOST_A_JOB: Final = 2.5
FEWEST_BEFORE: Final = 4
FEWEST_AFTER: Final = 3
_LEAST: Final = 0.0025
"""Least square of how far jobs differ, in squares of the spread from bale to bale."""
_WILD: Final = 25.0
"""A job counts at most so many times its variance towards how far jobs differ."""
_HALF: Final = 0.5
"""A split whose statistic without holding anything back is below this share of the limit is not
looked at closely."""


@compiled
def _blend(total: float, jobs: int, prior: tuple[float, float, float]) -> float:
    """Mean square of so many jobs, the usual one weighed in unless they show more than that."""
    usual2, worth, _ = prior
    blended = (total + worth * usual2) / (jobs + worth)
    return max(blended, total / jobs) if jobs > 0 else blended


@compiled
def between_jobs(means: Floats, chances: Floats, prior: tuple[float, float, float]) -> float:
    """Square of how far neighbouring jobs differ beside chance, the widest difference left out.

    means, chances: (n,), n >= 2; prior: the usual square, the jobs it weighs, and the square of the
    spread from bale to bale.
    """
    spread2 = prior[2]
    total, widest, count = 0.0, -math.inf, means.shape[0] - 1
    for at in range(count):
        apart = means[at + 1] - means[at]
        square = 0.5 * (apart * apart - chances[at] - chances[at + 1])
        total += square
        widest = max(widest, square)
    if count > 1:
        total -= widest
        count -= 1
    else:
        total, count = 0.0, 0
    return float(max(_blend(total, count, prior), _LEAST * spread2))


@compiled
def held_mean(means: Floats, chances: Floats, group2: float) -> tuple[float, float]:
    """Mean of jobs, each held near the middle one, and its weight (one over its variance)."""
    middle = float(np.median(means))
    total, weight = 0.0, 0.0
    for at in range(means.shape[0]):
        square = group2 + chances[at]
        most = HELD * math.sqrt(square)
        total += min(max(means[at] - middle, -most), most) / square
        weight += 1.0 / square
    return middle + total / weight, weight


@compiled
def _beside_both(
    means: Floats, chances: Floats, split: int, levels: tuple[float, float], group2: float
) -> float:
    """Sum of squares of jobs beside the level of their side, chance taken off."""
    total = 0.0
    for at in range(means.shape[0]):
        apart = means[at] - (levels[0] if at < split else levels[1])
        total += min(apart * apart, _WILD * (group2 + chances[at])) - chances[at]
    return total


@compiled
def most_of(split: int, jobs: int) -> float:
    """The most that a split may say."""
    return MOST_A_JOB * min(split, jobs - split)


@compiled
def judge_split(
    means: Floats, chances: Floats, split: int, prior: tuple[float, float, float], group2: float
) -> tuple[float, float, float]:
    """The statistic of one split, how far the level moved, and the variance of that."""
    before, before_weight = held_mean(means[:split], chances[:split], group2)
    after, after_weight = held_mean(means[split:], chances[split:], group2)
    jobs = means.shape[0]
    beside = _beside_both(means, chances, split, (before, after), group2)
    beside += (after - before) ** 2  # one job more may lie on the other side
    pooled2 = _blend(beside * jobs / (jobs - 2.0), jobs, prior)
    if pooled2 > group2:
        before_weight = after_weight = 0.0
        for at in range(jobs):
            weight = 1.0 / (pooled2 + chances[at])
            if at < split:
                before_weight += weight
            else:
                after_weight += weight
    variance = 1.0 / before_weight + 1.0 / after_weight
    moved = after - before
    return min(0.5 * moved * moved / variance, most_of(split, jobs)), moved, variance


@compiled
def judge_since(
    means: Floats,
    chances: Floats,
    prior: tuple[float, float, float],
    left: tuple[float, float, int],
) -> tuple[float, float, float]:
    """The same of all jobs since a change.

    left: the level that was left, its variance, and the jobs that showed it.
    """
    before, before2, before_jobs = left
    group2, jobs = between_jobs(means, chances, prior), means.shape[0]
    after, weight = held_mean(means, chances, group2)
    moved = after - before
    beside = _beside_both(means, chances, 0, (before, after), group2) + moved * moved
    pooled2 = _blend(beside * (jobs + 1.0) / jobs, jobs, prior)
    if pooled2 > group2:
        weight = (1.0 / (pooled2 + chances)).sum()
    variance = before2 + 1.0 / weight
    fits = min(0.5 * moved * moved / variance, most_of(before_jobs, before_jobs + jobs))
    return fits, moved, variance


@compiled
def best_split(
    means: Floats, chances: Floats, prior: tuple[float, float, float], limit: float
) -> tuple[float, int, float, float]:
    """The split that says most, if it may reach `limit`: statistic, place, move, its variance.

    means, chances: (n,) in order, oldest first; prior: as for `between_jobs`. The statistic is 0
    where nothing may reach it.
    """
    jobs = means.shape[0]
    found, place, moved, variance = 0.0, 0, 0.0, 1.0
    if jobs < FEWEST_BEFORE + FEWEST_AFTER:
        return found, place, moved, variance
    group2 = between_jobs(means, chances, prior)
    whole, all_of_them = 0.0, 0.0
    for at in range(jobs):
        weight = 1.0 / (group2 + chances[at])
        whole += weight
        all_of_them += weight * means[at]
    left, left_sum = 0.0, 0.0
    for split in range(1, jobs - FEWEST_AFTER + 1):
        weight = 1.0 / (group2 + chances[split - 1])
        left += weight
        left_sum += weight * means[split - 1]
        if split < FEWEST_BEFORE:
            continue
        apart = (all_of_them - left_sum) / (whole - left) - left_sum / left
        if 0.5 * apart * apart * left * (whole - left) / whole < _HALF * limit:
            continue
        one, move, open_ = judge_split(means, chances, split, prior, group2)
        if one > found:
            found, place, moved, variance = one, split, move, open_
    return found, place, moved, variance
