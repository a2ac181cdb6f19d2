"""What jobs and rolls add to a level, compiled: learnt from each against the one before it."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from balewright.findings.charts.compiled_kernel import Floats, compiled
from balewright.findings.watch.level_slots import (
    BATCH,
    BATCHES,
    EARLY_BALES,
    ENDED_BALES,
    ENDED_CHANCE2,
    ENDED_MEAN,
    ENDED_SLOPES,
    ENDED_SPREAD2,
    ENDED_USUAL2,
    GROUP2,
    GROUP_LIKE,
    GROUP_RAW,
    GROUP_SUM,
    GROUPS,
    HELD_SUM,
    IN_GROUP,
    JOB,
    JUDGED,
    LAST,
    LAST_GROUP,
    LAST_SUMMED,
    LEAST_GROUP2,
    LEFT_BATCHES,
    LENT,
    LIKE,
    ODD_GROUP,
    RAW_SUM,
    ROLL,
    ROLL_BALES,
    ROLLS,
    SAME_OVER,
    SHOWN,
    SLOTS,
    SPREAD2,
    SUMMED,
    WORTH,
)

_LONG_GROUPS: Final = 60.0
_FEW_BALES: Final = 8.0
_UNSURE: Final = 3.0
"""A spread between few groups may well be larger: so many groups' worth is added."""
_LOOKS, _ODD, _ODD_SPREADS2 = (2.0, 4.0, 8.0, 14.0), 3.0, 9.0
"""A job or roll that is off from its first bales, by more than chance makes of it after so many,
may add so much (a square, in bale spreads): one odd job is no change, the next ones will tell."""
_GROUP_CLIP: Final = 3.0
_GROUP_CLIPPED: Final = 0.995007
"""The same for how far a group lies from the one before it."""
_DIFFERENCE: Final = 0.7
"""What a difference to the neighbour tells of a spread, against a group on its own."""
_WANDER: Final = 0.0004
"""Square of what an honest level may wander from group to group, in bale spreads: `assumed`."""

_TOLD_BALES: Final = 5.0
"""A job of fewer says nothing of itself."""


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
def begin_group(
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
def look_for_odd_group(
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
def tell_job(mean: Floats, kept: Floats, ended: Floats) -> None:
    """Tell of the job that ends, before the next begins: fills a row as ENDED_MEAN and on say."""
    bales = kept[JOB + SUMMED]
    if bales < _TOLD_BALES or kept[JUDGED] < EARLY_BALES:
        return
    alike2 = kept[SPREAD2] * (1.0 + kept[LIKE]) / (1.0 - kept[LIKE])
    ended[ENDED_MEAN], ended[ENDED_BALES] = kept[RAW_SUM] / bales, bales
    ended[ENDED_CHANCE2], ended[ENDED_SPREAD2] = alike2 / bales, alike2
    if kept[ROLLS] > 0.0:
        ended[ENDED_CHANCE2] += kept[ROLL + GROUP2] / max(1.0, bales / ROLL_BALES)
    ended[ENDED_USUAL2] = kept[JOB + LENT] * kept[SPREAD2]
    slopes = mean.shape[0] - 3
    for place in range(slopes):
        ended[ENDED_SLOPES + place] = mean[place + 1]
        ended[ENDED_SLOPES + slopes + place] = kept[SLOTS + place] / bales


@compiled
def forget_job(kept: Floats) -> None:
    """Sums of a job begin anew."""
    kept[RAW_SUM] = 0.0
    for place in range(SLOTS, kept.shape[0]):
        kept[place] = 0.0
