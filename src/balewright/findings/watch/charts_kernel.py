"""The charts of one measure walked together until the first of them tells something, compiled."""

from __future__ import annotations

from typing import Final

from balewright.findings.charts.compiled_kernel import Floats, compiled
from balewright.findings.charts.cusum_kernel import DOWN_SINCE, UP_SINCE, tabular_step
from balewright.findings.charts.windows_kernel import DOWN, UP, at_most, level_bale, level_now

SUDDEN, LASTING = 0, 1
"""Which chart told: the one for steps, or the one for all windows."""
REFERENCE: Final = 0.5
"""k of the sudden chart, best for a change of one bale spread."""
_LEAST_SHARE: Final = 0.01
"""A bale in which less of a change would show says nothing of a lasting one."""


@compiled
def walk_until_told(
    odd: Floats, share: Floats, sudden: Floats, lasting: Floats, limits: tuple[float, float]
) -> tuple[int, int, int, int, float]:
    """Feed bales to both charts until one passes its limit.

    odd, share: (n,), as the filter gives them; sudden, lasting: the states, changed in place;
    limits: of the two. Gives the place of the bale that told (-1 none), which chart, the side (1
    up, -1 down), since which bale as the chart counts, and the statistic. The lasting chart is
    asked only where a bound says that it may have passed.
    """
    for at in range(odd.shape[0]):
        weight = share[at] if share[at] > _LEAST_SHARE else 0.0
        up, down = tabular_step(sudden, odd[at], REFERENCE)
        level_bale(lasting, odd[at], weight)
        if max(up, down) > limits[0]:
            side = 1 if up > down else -1
            since = sudden[UP_SINCE] if up > down else sudden[DOWN_SINCE]
            return at, SUDDEN, side, int(since), max(up, down)
        for which in (UP, DOWN):
            if at_most(lasting, which) > limits[1]:
                fits, start = level_now(lasting, which)
                if fits > limits[1]:
                    return at, LASTING, 1 if which == UP else -1, int(start), fits
    return -1, 0, 0, -1, 0.0
