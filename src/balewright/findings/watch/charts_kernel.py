"""The charts of one measure walked together until the first of them tells something, compiled."""

from __future__ import annotations

from typing import Final

import numpy as np

from balewright.findings.charts.compiled_kernel import Floats, compiled
from balewright.findings.charts.cusum_kernel import DOWN_SINCE, UP_SINCE, tabular_step
from balewright.findings.charts.windows_kernel import windows_step

SUDDEN, LASTING = 0, 1
"""Which chart told: the one for steps, or the one for all windows."""
REFERENCE: Final = 0.5
"""k of the sudden chart, best for a change of one bale spread."""


@compiled
def walk_until_told(
    odd: Floats, share: Floats, sudden: Floats, lasting: Floats, limits: tuple[float, float]
) -> tuple[int, int, int, int, float]:
    """Feed bales to both charts until one passes its limit.

    odd, share: (n,), as the filter gives them; sudden, lasting: the states, changed in place;
    limits: of the two. Gives the place of the bale that told (-1 none), which chart, the side (1
    up, -1 down), since which bale as the chart counts, and the statistic.
    """
    for at in range(odd.shape[0]):
        if np.isnan(odd[at]):
            tabular_step(sudden, np.nan, REFERENCE)
            windows_step(lasting, np.nan, 0.0)
            continue
        up, down = tabular_step(sudden, odd[at], REFERENCE)
        high, high_since, low, low_since = windows_step(lasting, odd[at], share[at])
        if max(up, down) > limits[0]:
            side = 1 if up > down else -1
            since = sudden[UP_SINCE] if up > down else sudden[DOWN_SINCE]
            return at, SUDDEN, side, int(since), max(up, down)
        if max(high, low) > limits[1]:
            side = 1 if high > low else -1
            return at, LASTING, side, int(high_since if high > low else low_since), max(high, low)
    return -1, 0, 0, -1, 0.0
