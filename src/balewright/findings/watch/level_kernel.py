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

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Groups = NDArray[np.int8]

CLIP: Final = 3.0
OTHER_BATCH: Final = 2
"""Mark of a group that begins with a roll of another batch; 1 marks any other."""
JUDGED, SINCE = 0, 1
"""Places among the numbers beside level and slopes: bales judged, in all and since learnt anew."""
SPREAD2, SPREAD_BALES, LEAST2 = 2, 3, 4
"""Square of the spread from bale to bale; the bales it rests on; square of the least to reckon
with: what is finer does not matter to anybody."""
LIKE, LIKE_BALES, LAST = 5, 6, 7
"""Likeness of neighbours; the bales it rests on; the last oddness."""
JOB, ROLL = 8, 22
"""Where the numbers of the two groups begin; those of one group, from there:"""
GROUP2, GROUP_RAW, GROUPS = 0, 1, 2
"""Square of the spread between groups; what was seen of it, may be below zero; on how many."""
IN_GROUP, GROUP_SUM, SHOWN = 3, 4, 5
"""Of this group: bales judged, sum of level and group, share of a change taken as its own."""
GROUP_LIKE, SUMMED, LAST_GROUP = 6, 7, 8
"""Likeness of a group to the one before it; bales of this group in the sum; average of the last."""
HELD_SUM, ODD_GROUP = 9, 10
"""Of this group: the sum of its odd readings; 1 once it was taken for an odd group."""
JOBS, LEFT_BALES, LEFT_SUM, LEFT_JOBS = 36, 37, 38, 39
"""Jobs begun so far; since a change was told: bales, their distance from the level left, jobs."""
BATCHES, LEFT_BATCHES, ROLLS = 40, 41, 42
"""Batches of rolls begun so far, and since a change was told; rolls begun so far: where nobody
notes them nothing goes by them."""
LAST_SUMMED, LENT, WORTH = 11, 12, 13
"""Bales of the last group; square of the usual spread in bale spreads, and the groups it weighs."""
SAME_BALES, SAME_SUM, SAME_OVER = 43, 44, 45
"""Of those bales, the ones of the very job and roll that told it; 1 once these ended."""
SLOTS: Final = 46
_CLIPPED: Final = 0.995007
"""Mean square of a standard normal number that is held at CLIP."""
_MIDDLE: Final = 0.67449
"""Half of all standard normal numbers are nearer to zero."""
EARLY_BALES: Final = 40.0
_LONG_BALES: Final = 2000.0
_LONG_GROUPS: Final = 60.0
_MOST_LIKE: Final = 0.9
_FEW_BALES: Final = 8.0
_FEW_GROUPS: Final = 5.5
"""Weight of jobs seen, the usual ones included, before the first bale is judged."""
_UNSURE: Final = 3.0
"""A spread between few groups may well be larger: so many groups' worth is added."""
LEAST_GROUP2: Final = 0.0025
_LOOKS, _ODD, _ODD_SPREADS2 = (2.0, 4.0, 8.0, 14.0), 3.0, 9.0
"""A job or roll that is off from its first bales, by more than chance makes of it after so many,
may add so much (a square, in bale spreads): one odd job is no change, the next ones will tell."""
_GROUP_CLIP: Final = 3.0
_GROUP_CLIPPED: Final = 0.995007
"""The same for how far a group lies from the one before it."""
_DIFFERENCE: Final = 0.7
"""What a difference to the neighbour tells of a spread, against a group on its own."""
ROLL_BALES: Final = 30.0
BATCH: Final = 0.2
"""Square of what a batch of rolls adds, in bale spreads: `assumed`."""
_WANDER: Final = 0.0004
"""Square of what an honest level may wander from group to group, in bale spreads: `assumed`."""


@compiled
def _learn_group(base: int, kept: Floats) -> None:
    """What the group that ends taught of how far groups differ: by its difference to the one
    before, in which the level cancels, so that a level that goes along hides nothing."""
    bales, last_bales = kept[base + SUMMED], kept[base + LAST_SUMMED]
    average = kept[base + GROUP_SUM] / bales
    last = kept[base + LAST_GROUP]
    kept[base + LAST_GROUP], kept[base + LAST_SUMMED] = average, bales
    if math.isnan(last):
        return
    alike = (1.0 + kept[LIKE]) / (1.0 - kept[LIKE])
    chance = kept[SPREAD2] * alike * (1.0 / bales + 1.0 / last_bales)
    if base == JOB and kept[ROLLS] > 0.0:  # its rolls differ too
        rolls = 1.0 / max(1.0, bales / ROLL_BALES) + 1.0 / max(1.0, last_bales / ROLL_BALES)
        chance += kept[ROLL + GROUP2] * rolls
    apart = average - last
    most = _GROUP_CLIP * _GROUP_CLIP * (2.0 * kept[base + GROUP2] + chance)
    square = 0.5 * (min(apart * apart, most) / _GROUP_CLIPPED - chance)
    fewer = min(bales, last_bales)
    weight = _DIFFERENCE * fewer / (fewer + _FEW_BALES)
    seen = kept[base + GROUPS] = min(kept[base + GROUPS] + weight, _LONG_GROUPS)
    kept[base + GROUP_RAW] += weight * (square - kept[base + GROUP_RAW]) / seen
    worth = kept[base + WORTH]
    total = seen * kept[base + GROUP_RAW] + worth * kept[base + LENT] * kept[SPREAD2]
    kept[base + GROUP2] = max(total / (seen + worth), LEAST_GROUP2 * kept[SPREAD2])


@compiled
def _begin_group(
    base: int, place: int, mean: Floats, covariance: Floats, kept: Floats, other_batch: bool
) -> None:
    """Close the last group, learn from it, and open the next, which is a little like it
    where groups are (weather lasts); nothing is like an odd one."""
    if kept[base + IN_GROUP] > 0.0:
        if kept[JUDGED] >= EARLY_BALES and kept[base + SUMMED] > 0.0:
            _learn_group(base, kept)
        covariance[0, 0] += _WANDER * kept[SPREAD2]
    if other_batch:
        covariance[0, 0] += BATCH * kept[SPREAD2]
        kept[BATCHES] += 1.0
        kept[LEFT_BATCHES] += 1.0
        kept[base + LAST_GROUP] = np.nan
    like = 0.0 if kept[base + ODD_GROUP] > 0.0 or other_batch else kept[base + GROUP_LIKE]
    own = covariance[place, place]
    mean[place] *= like
    covariance[place, :] *= like
    covariance[:, place] *= like
    fresh = kept[base + GROUP2] * (1.0 + _UNSURE / (kept[base + GROUPS] + kept[base + WORTH]))
    covariance[place, place] = like * like * own + (1.0 - like * like) * fresh
    kept[SAME_OVER] = 1.0
    kept[base + IN_GROUP] = kept[base + GROUP_SUM] = kept[base + SUMMED] = 0.0
    kept[base + HELD_SUM] = kept[base + ODD_GROUP] = 0.0
    kept[base + SHOWN] *= like
    kept[LAST] = np.nan


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
def _look_for_odd_group(
    base: int, place: int, held: float, covariance: Floats, kept: Floats
) -> None:
    """Leave room for what one job or roll adds where its first bales are all off one way."""
    kept[base + IN_GROUP] += 1.0
    kept[base + HELD_SUM] += held
    bales = kept[base + IN_GROUP]
    looks = False
    for look in _LOOKS:
        looks = looks or bales == look
    if kept[base + ODD_GROUP] > 0.0 or not looks:
        return
    if abs(kept[base + HELD_SUM]) > _ODD * math.sqrt(bales):
        kept[base + ODD_GROUP] = 1.0
        covariance[place, place] += _ODD_SPREADS2 * kept[SPREAD2]


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
    _look_for_odd_group(JOB, size - 2, held, covariance, kept)
    if kept[ROLLS] > 0.0:
        _look_for_odd_group(ROLL, size - 1, held, covariance, kept)
    return float(shown)


@compiled
def filter_bales(
    given: tuple[Floats, Floats, Groups, Groups, Bools, Floats],
    mean: Floats,
    covariance: Floats,
    kept: Floats,
    learning_bales: float,
) -> tuple[Floats, Floats, Floats]:
    """Walk over bales in order.

    given: values (n,), NaN where not judged; explaining (n, p), centred and scaled, 0 where
    unknown; at which bales a job begins (n,), and a roll (n,), 0 1 or OTHER_BATCH; at which the
    level is to be learnt anew (n,); left (p + 1,): level and slopes before the last change that was
    told, NaN where none lasts. mean (p + 3,): level, slopes, what job and roll add; covariance
    (p + 3, p + 3); kept (SLOTS,): as named above; where GROUP2 of ROLL is 0 nothing goes by rolls.
    learning_bales: so many are learnt from before the first is judged. mean, covariance and kept
    are changed in place. Gives the oddness of each bale, NaN while learning or unknown; by how much
    it would be moved by a lasting change of one bale spread; and what was expected, all (n,).
    """
    values, explaining, jobs, rolls, anew, left = given
    bales, size = values.shape[0], mean.shape[0]
    odd, share, expected = np.full(bales, np.nan), np.zeros(bales), np.full(bales, np.nan)
    row, gain = np.ones(size), np.empty(size)
    by_rolls = kept[ROLL + GROUP2] > 0.0
    for at in range(bales):
        if anew[at]:
            covariance[0, 0] += 100.0 * kept[SPREAD2]
            kept[SINCE] = 0.0
            kept[LAST] = np.nan
            for base in (JOB, ROLL):
                kept[base + GROUP_SUM] = kept[base + SUMMED] = 0.0
                kept[base + LAST_GROUP] = np.nan
        if jobs[at] > 0:
            kept[JOBS] += 1.0
            kept[LEFT_JOBS] += 1.0
            _begin_group(JOB, size - 2, mean, covariance, kept, False)
        if by_rolls and rolls[at] > 0:
            kept[ROLLS] += 1.0
            other = rolls[at] == OTHER_BATCH
            _begin_group(ROLL, size - 1, mean, covariance, kept, other)
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
    return odd, share, expected
