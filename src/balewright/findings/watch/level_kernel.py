"""One measure of one machine, bale by bale, compiled: what was to be expected, and how odd it is.

The value of a bale is a level, plus what explains it (slopes on a few outside values), plus what
its job adds, plus what its roll adds, plus chance. A filter keeps the likeliest level, slopes and
additions with their covariance; what it did not expect, over its own uncertainty, is close to a
standard normal number while nothing changed. Each comes with the share of a lasting change that
shows in it: the filter soon takes a change for an honest addition of the job, and says how far.

Readings far off count as CLIP standard deviations. Spreads from bale to bale and between jobs and
rolls, and the likeness of bales, are learnt on the way. All stands in the arrays handed in, so that
a series may be continued.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.findings.charts.compiled_kernel import compiled
from balewright.findings.watch.group_kernel import (
    begin_group,
    forget_job,
    look_for_odd_group,
    tell_job,
)
from balewright.findings.watch.level_slots import (
    CLIP,
    EARLY_BALES,
    ENDED_SLOPES,
    GROUP2,
    GROUP_SUM,
    GROUPS,
    JOB,
    JOBS,
    JUDGED,
    LAST,
    LAST_GROUP,
    LEAST2,
    LEFT_BALES,
    LEFT_JOBS,
    LEFT_SUM,
    LIKE,
    LIKE_BALES,
    OTHER_BATCH,
    RAW_SUM,
    ROLL,
    ROLLS,
    SAME_BALES,
    SAME_OVER,
    SAME_SUM,
    SHOWN,
    SINCE,
    SLOTS,
    SPREAD2,
    SPREAD_BALES,
    SUMMED,
    WORTH,
)

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Groups = NDArray[np.int8]

_CLIPPED: Final = 0.995007
"""Mean square of a standard normal number that is held at CLIP."""
_MIDDLE: Final = 0.67449
"""Half of all standard normal numbers are nearer to zero."""
_LONG_BALES: Final = 2000.0
_MOST_LIKE: Final = 0.9
_FEW_GROUPS: Final = 5.5
"""Weight of jobs seen, the usual ones included, before the first bale is judged."""


@compiled
def _learn_spread(held: float, kept: Floats) -> None:
    """Early on by halves: up where a reading is farther than half of them are, else down."""
    if kept[JUDGED] < EARLY_BALES:
        step = 6.0 / (kept[JUDGED] + 4.0)
        factor = math.exp(step if abs(held) > _MIDDLE else -step)
        kept[SPREAD2] *= factor
        for base in (JOB, ROLL):
            kept[base + GROUP2] *= factor
        kept[SPREAD_BALES] = kept[JUDGED] + 1.0
    else:
        kept[SPREAD_BALES] = min(kept[SPREAD_BALES] + 1.0, _LONG_BALES)
        kept[SPREAD2] += kept[SPREAD2] * (held * held / _CLIPPED - 1.0) / kept[SPREAD_BALES]
    kept[SPREAD2] = max(kept[SPREAD2], kept[LEAST2])


@compiled
def _expect(row: Floats, covariance: Floats, gain: Floats) -> float:
    """Fill the gain before it is divided; gives the variance of what is expected."""
    unsure = 0.0
    for place in range(row.shape[0]):
        total = 0.0
        for other in range(row.shape[0]):
            total += covariance[place, other] * row[other]
        gain[place] = total
        unsure += row[place] * total
    return unsure


@compiled
def _freshen(held: float, shown: float, kept: Floats) -> tuple[float, float]:
    """The oddness that its neighbour did not already tell, and how much of a change shows in it."""
    if math.isnan(kept[LAST]):
        return held, shown
    like = kept[LIKE]
    rest = 1.0 / math.sqrt(1.0 - like * like)
    return (held - like * kept[LAST]) * rest, shown * rest * (1.0 - like)


@compiled
def _learn_likeness(held: float, kept: Floats) -> None:
    if not math.isnan(kept[LAST]):
        kept[LIKE_BALES] = min(kept[LIKE_BALES] + 1.0, _LONG_BALES)
        step = (held * kept[LAST] - kept[LIKE]) / kept[LIKE_BALES]
        kept[LIKE] = min(max(kept[LIKE] + step, 0.0), _MOST_LIKE)
    kept[LAST] = held


@compiled
def _note(
    residual: float, held: float, gain: tuple[float, float, float], mean: Floats,
    covariance: Floats, kept: Floats,
) -> float:  # fmt: skip
    """Count a bale to its job and roll; gives the share of a change that still shows in it.

    residual: of it above level and slopes; gain: of job and roll, and the variance expected.
    """
    size = mean.shape[0]
    kept[JOB + GROUP_SUM] += residual + mean[0]
    kept[ROLL + GROUP_SUM] += residual + mean[0] - mean[size - 2]
    kept[JOB + SUMMED] += 1.0
    kept[ROLL + SUMMED] += 1.0
    shown = 1.0 - kept[JOB + SHOWN] - kept[ROLL + SHOWN]
    kept[JOB + SHOWN] += gain[0] / gain[2] * shown
    kept[ROLL + SHOWN] += gain[1] / gain[2] * shown
    look_for_odd_group(JOB, size - 2, held, covariance, kept)
    if kept[ROLLS] > 0.0:
        look_for_odd_group(ROLL, size - 1, held, covariance, kept)
    return float(shown)


@compiled
def filter_bales(
    given: tuple[Floats, Floats, Groups, Groups, Bools, Floats],
    mean: Floats,
    covariance: Floats,
    kept: Floats,
    learning_bales: float,
) -> tuple[Floats, Floats, Floats, Floats]:
    """Walk over bales in order.

    given: values (n,), NaN where not judged; explaining (n, p), centred and scaled, 0 where
    unknown; at which bales a job begins (n,), and a roll (n,), 0 1 or OTHER_BATCH; at which the
    level is to be learnt anew (n,); left (p + 1,): level and slopes before the last change that was
    told, NaN where none lasts. mean (p + 3,): level, slopes, what job and roll add; covariance
    (p + 3, p + 3); kept (SLOTS + p,): as the slots are named; where GROUP2 of ROLL is 0
    nothing goes by rolls. learning_bales: so many are learnt from before the first is judged. mean,
    covariance and kept are changed in place. Gives the oddness of each bale, NaN while learning or
    unknown; by how much it would be moved by a lasting change of one bale spread; what was
    expected, all (n,); and where a job begins what is told of the one before, (n, ENDED_SLOPES +
    2 p).
    """
    values, explaining, jobs, rolls, anew, left = given
    bales, size = values.shape[0], mean.shape[0]
    odd, share, expected = np.full(bales, np.nan), np.zeros(bales), np.full(bales, np.nan)
    row, gain = np.ones(size), np.empty(size)
    ended = np.zeros((bales, ENDED_SLOPES + 2 * (size - 3)))
    by_rolls = kept[ROLL + GROUP2] > 0.0
    for at in range(bales):
        if anew[at]:
            covariance[0, 0] += 100.0 * kept[SPREAD2]
            kept[SINCE] = 0.0
            kept[LAST] = np.nan
            forget_job(kept)
            for base in (JOB, ROLL):
                kept[base + GROUP_SUM] = kept[base + SUMMED] = 0.0
                kept[base + LAST_GROUP] = np.nan
        if jobs[at] > 0:
            kept[JOBS] += 1.0
            kept[LEFT_JOBS] += 1.0
            tell_job(mean, kept, ended[at])
            forget_job(kept)
            begin_group(JOB, size - 2, mean, covariance, kept, False)
        if by_rolls and rolls[at] > 0:
            kept[ROLLS] += 1.0
            other = rolls[at] == OTHER_BATCH
            begin_group(ROLL, size - 1, mean, covariance, kept, other)
        for place in range(size - 3):
            row[place + 1] = explaining[at, place]
        expected[at] = np.dot(row, mean)
        if math.isnan(values[at]):
            continue
        unsure = _expect(row, covariance, gain) + kept[SPREAD2]
        spread = math.sqrt(unsure)
        held = min(max((values[at] - expected[at]) / spread, -CLIP), CLIP)
        for place in range(size):
            mean[place] += gain[place] / spread * held
            for other_place in range(size):
                covariance[place, other_place] -= gain[place] * gain[other_place] / unsure
        residual = held * spread + expected[at] - np.dot(row[: size - 2], mean[: size - 2])
        kept[RAW_SUM] += held * spread + expected[at]
        for place in range(size - 3):
            kept[SLOTS + place] += row[place + 1]
        if not math.isnan(left[0]):
            far = held * spread + expected[at] - np.dot(row[: size - 2], left)
            kept[LEFT_SUM] += far
            kept[LEFT_BALES] += 1.0
            if kept[SAME_OVER] == 0.0:
                kept[SAME_SUM] += far
                kept[SAME_BALES] += 1.0
        gains = (gain[size - 2], gain[size - 1], unsure)
        shown = _note(residual, held, gains, mean, covariance, kept)
        if kept[SINCE] >= learning_bales and kept[JOB + GROUPS] + kept[JOB + WORTH] >= _FEW_GROUPS:
            odd[at], share[at] = _freshen(held, shown * math.sqrt(kept[SPREAD2]) / spread, kept)
        _learn_likeness(held, kept)
        _learn_spread(held, kept)
        kept[JUDGED] += 1.0
        kept[SINCE] += 1.0
    return odd, share, expected, ended
