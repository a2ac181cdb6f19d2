"""A sensor whose readings jump more from bale to bale than they used to, compiled.

Every second step between neighbours is judged, so that no reading counts twice, as
log-likelihood of a spread TIMES as wide. Steps farther than CLIP usual ones count as that. The
usual step is learnt from steps whose sum came back to zero, large ones too, or it would be learnt
too small. One job adds at most SHARE of the limit.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.findings.charts.compiled_kernel import compiled

Floats = NDArray[np.float64]
Groups = NDArray[np.int8]

TIMES: Final = 2.0
CLIP: Final = 3.0
SHARE: Final = 0.6
SLOTS: Final = 12
STEP2, STEPS, SUM, SINCE, GAIN, LAST, JUDGED, TOLD, BACK, WAITING2, WAITING, GRAIN = range(12)
"""Square of the usual step and the steps it rests on; the sum, the count of bales at which it
began, what this job added; the last reading; bales judged; 1 after it was told; sum of the return;
squares of steps not yet learnt from, and how many there are; the smallest step seen that is one.
"""
_EARLY: Final = 24.0
_ENOUGH: Final = 150.0
"""Steps learnt from before the first is judged."""
_UNSURE: Final = 12.0
"""A usual step learnt from few may well be larger: so many steps' worth is added."""
_LONG: Final = 1500.0
_MIDDLE: Final = 0.67449
_CLIPPED: Final = 0.995007
_BACK_LIMIT: Final = 4.605


@compiled
def _learn(step: float, kept: Floats) -> None:
    if kept[STEPS] < _EARLY:
        change = 6.0 / (kept[STEPS] + 4.0)
        kept[STEP2] *= math.exp(change if step > _MIDDLE else -change)
        kept[STEPS] += 1.0
        return
    kept[WAITING2] += step * step / _CLIPPED
    kept[WAITING] += 1.0
    if kept[SUM] <= 0.0:
        kept[STEPS] = min(kept[STEPS] + kept[WAITING], _LONG)
        more = (kept[WAITING2] - kept[WAITING]) / kept[STEPS]
        kept[STEP2] *= max(1.0 + more, 0.5)
        kept[WAITING2] = kept[WAITING] = 0.0


@compiled
def walk_steps(values: Floats, new_group: Groups, kept: Floats, limit: float) -> tuple[int, int]:
    """Walk until something is told.

    values (n,), NaN unknown; kept (SLOTS,) changed in place. Gives the place of the bale that told
    (-1 none) and what: 1 that it became restless, 2 that it is calm again.
    """
    for at in range(values.shape[0]):
        if new_group[at] > 0:
            kept[LAST] = np.nan
            kept[GAIN] = 0.0
        if math.isnan(values[at]):
            continue
        kept[JUDGED] += 1.0
        if math.isnan(kept[LAST]):
            kept[LAST] = values[at]
            continue
        apart = abs(values[at] - kept[LAST]) / math.sqrt(2.0)
        kept[LAST] = np.nan
        if apart > 0.0 and (apart < kept[GRAIN] or kept[GRAIN] <= 0.0):
            kept[GRAIN] = apart
        if kept[STEP2] <= 0.0:
            kept[STEP2] = apart * apart
            continue
        unsure = 1.0 + (_UNSURE / kept[STEPS] if kept[STEPS] >= _ENOUGH else 0.0)
        usual = math.sqrt(max(kept[STEP2] * unsure, kept[GRAIN] ** 2))
        step = min(apart / usual, CLIP)
        gain = 0.5 * (1.0 - 1.0 / (TIMES * TIMES)) * step * step - math.log(TIMES)
        step *= math.sqrt(unsure)
        if kept[TOLD] > 0.0:
            kept[BACK] = max(0.0, kept[BACK] - gain)
            if kept[BACK] > _BACK_LIMIT:
                return at, 2
            continue
        if kept[STEPS] >= _ENOUGH:
            gain = min(gain, SHARE * limit - kept[GAIN])
            if kept[SUM] <= 0.0:
                kept[SINCE] = kept[JUDGED]
                kept[GAIN] = 0.0
            kept[SUM] = max(0.0, kept[SUM] + gain)
            kept[GAIN] = max(0.0, kept[GAIN] + gain)
        _learn(step, kept)
        if kept[SUM] > limit:
            return at, 1
    return -1, 0
