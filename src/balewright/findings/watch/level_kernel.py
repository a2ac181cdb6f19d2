"""One measure of one machine, bale by bale, compiled: what was to be expected, and how odd it is.

The value of a bale is a level, plus what explains it (slopes on a few outside values), plus what
its job or roll adds, plus chance. A filter keeps the likeliest level, slopes and addition with
their covariance; what it did not expect, over its own uncertainty, is close to a standard normal
number while nothing changed. Each comes with the share of a lasting change that shows in it: the
filter soon takes a change for an honest addition of the job, and says how far it did.

Readings far off count as CLIP standard deviations. Spread from bale to bale, between groups and
the likeness of neighbours are learnt on the way from usual ones that weigh like a few bales.
Everything stands in the arrays handed in, so that a series may be continued.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.plan.film.layers_kernel import compiled

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

CLIP: Final = 3.0
SLOTS: Final = 16
JUDGED, SINCE = 0, 1
"""Places among the numbers beside level and slopes: bales judged, in all and since learnt anew."""
SPREAD2, SPREAD_BALES = 2, 3
"""Square of the spread from bale to bale; the bales it rests on."""
GROUP2, GROUP_RAW, GROUPS = 4, 5, 6
"""Square of the spread between groups; its running mean, which may be below zero; their number."""
IN_GROUP, GROUP_SUM, SHOWN = 7, 8, 9
"""Of this group: bales judged, their sum above level and slopes, share of a change taken as its."""
LIKE, LIKE_BALES, LAST = 10, 11, 12
"""Likeness of neighbours; the bales it rests on; the last oddness."""
HELD_SUM, ODD_GROUP = 14, 15
"""Of this group: the sum of its odd readings; 1 once it was taken for an odd group."""
LEAST2: Final = 13
"""Square of the least spread to reckon with: what is finer does not matter to anybody."""
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
"""Weight of groups seen, the usual ones included, before the first bale is judged."""
_UNSURE: Final = 3.0
"""A spread between few groups may well be larger: so many groups' worth is added."""
_LEAST_GROUP2: Final = 0.0025
_LOOKS: Final = (2.0, 4.0, 8.0, 14.0)
_ODD: Final = 3.0
_ODD_SPREADS2: Final = 9.0
"""A job or roll that is off from its first bales, by more than chance makes of it after so many,
may add so much (a square, in bale spreads): one odd job is no change, the next ones will tell."""
_WANDER: Final = 0.0004
"""Square of what an honest level may wander from group to group, in bale spreads: `assumed`."""


@compiled
def _begin_group(mean: Floats, covariance: Floats, kept: Floats) -> None:
    """Close the last group, learn from what it added, and open the next."""
    group = mean.shape[0] - 1
    if kept[IN_GROUP] > 0.0 and kept[JUDGED] >= EARLY_BALES:
        bales = kept[IN_GROUP]
        unsure = covariance[0, 0]
        chance = kept[SPREAD2] / bales + min(unsure, kept[GROUP2])
        most = CLIP * CLIP * (kept[GROUP2] + chance)
        square = min((kept[GROUP_SUM] / bales) ** 2, most) - chance
        weight = bales / (bales + _FEW_BALES) * kept[GROUP2] / (kept[GROUP2] + unsure)
        kept[GROUPS] = min(kept[GROUPS] + weight, _LONG_GROUPS)
        kept[GROUP_RAW] += weight * (square - kept[GROUP_RAW]) / kept[GROUPS]
        kept[GROUP2] = max(kept[GROUP_RAW], _LEAST_GROUP2 * kept[SPREAD2])
        covariance[0, 0] += _WANDER * kept[SPREAD2]
    mean[group] = 0.0
    covariance[group, :] = 0.0
    covariance[:, group] = 0.0
    covariance[group, group] = kept[GROUP2] * (1.0 + _UNSURE / kept[GROUPS])
    kept[IN_GROUP] = 0.0
    kept[GROUP_SUM] = 0.0
    kept[HELD_SUM] = kept[ODD_GROUP] = 0.0
    kept[SHOWN] = 0.0
    kept[LAST] = np.nan


@compiled
def _learn_spread(held: float, kept: Floats) -> None:
    """Early on by halves: up where a reading is farther than half of them are, else down."""
    if kept[JUDGED] < EARLY_BALES:
        step = 6.0 / (kept[JUDGED] + 4.0)
        factor = math.exp(step if abs(held) > _MIDDLE else -step)
        kept[SPREAD2] *= factor
        kept[GROUP2] *= factor
        kept[GROUP_RAW] *= factor
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
def _look_for_odd_group(held: float, covariance: Floats, kept: Floats) -> None:
    """Leave room for what one job or roll adds where its first bales are all off one way."""
    kept[HELD_SUM] += held
    bales = kept[IN_GROUP]
    if kept[ODD_GROUP] > 0.0 or not (
        bales == _LOOKS[0] or bales == _LOOKS[1] or bales == _LOOKS[2]
    ):
        return
    if abs(kept[HELD_SUM]) > _ODD * math.sqrt(bales):
        kept[ODD_GROUP] = 1.0
        group = covariance.shape[0] - 1
        covariance[group, group] += _ODD_SPREADS2 * kept[SPREAD2]


@compiled
def filter_bales(
    given: tuple[Floats, Floats, Bools, Bools],
    mean: Floats,
    covariance: Floats,
    kept: Floats,
    learning_bales: float,
) -> tuple[Floats, Floats, Floats]:
    """Walk over bales in order.

    given: values (n,), NaN where not judged; explaining (n, p), centred and scaled, 0 where
    unknown; at which bales a group begins (n,), and at which the level is to be learnt anew (n,).
    mean (p + 2,): level, slopes, the group's addition; covariance (p + 2, p + 2); kept (SLOTS,): as
    named above; learning_bales: so many are learnt from before the first is judged. mean,
    covariance and kept are changed in place. Gives the oddness of each bale, NaN while learning or
    unknown; by how much it would be moved by a lasting change of one bale spread; and what was
    expected, all (n,).
    """
    values, explaining, new_group, anew = given
    bales, size = values.shape[0], mean.shape[0]
    odd, share, expected = np.full(bales, np.nan), np.zeros(bales), np.full(bales, np.nan)
    row, gain = np.ones(size), np.empty(size)
    for at in range(bales):
        if anew[at]:
            covariance[0, 0] += 100.0 * kept[SPREAD2]
            kept[SINCE] = 0.0
            kept[LAST] = np.nan
        if new_group[at]:
            _begin_group(mean, covariance, kept)
        for place in range(size - 2):
            row[place + 1] = explaining[at, place]
        expected[at] = np.dot(row, mean)
        if math.isnan(values[at]):
            continue
        unsure = _expect(row, covariance, gain) + kept[SPREAD2]
        spread = math.sqrt(unsure)
        held = min(max((values[at] - expected[at]) / spread, -CLIP), CLIP)
        for place in range(size):
            mean[place] += gain[place] / spread * held
            for other in range(size):
                covariance[place, other] -= gain[place] * gain[other] / unsure
        above = held * spread + expected[at] - row[0] * mean[0]
        kept[GROUP_SUM] += above - np.dot(row[1 : size - 1], mean[1 : size - 1])
        shown = 1.0 - kept[SHOWN]
        kept[SHOWN] += gain[size - 1] / unsure * shown
        if kept[SINCE] >= learning_bales and kept[GROUPS] >= _FEW_GROUPS:
            odd[at], share[at] = _freshen(held, shown * math.sqrt(kept[SPREAD2]) / spread, kept)
        _learn_likeness(held, kept)
        _learn_spread(held, kept)
        kept[JUDGED] += 1.0
        kept[SINCE] += 1.0
        kept[IN_GROUP] += 1.0
        _look_for_odd_group(held, covariance, kept)
    return odd, share, expected
