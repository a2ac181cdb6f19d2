"""The bale's shape: left against right.

A bale that is thicker on one side is fed more there. On its thin shoulder the film has a shorter
way than the one it was stretched for and lies loose; the bale also runs off the wrapper's middle.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from balewright.findings.finding import FindingKind, Weight
from balewright.findings.runs import supported_runs
from balewright.findings.sure import lasting_noise, level_interval
from balewright.findings.watched import Found, Watched
from balewright.quantities.reason import because

LOPSIDED_M: Final = 0.05
"""Difference of the two ends' diameters from which film lies loose: some 4 % of the girth, about
as much as film on the bale still springs back: `assumed`."""
NOISE_TIMES: Final = 3.0
"""A machine whose readings jump from bale to bale (or whose driver changes sides with every
bale) gets a wider limit: so many times its own noise."""
SHAPE_ERROR_M: Final = 0.02


def find_shape(watched: Watched) -> Iterator[Found]:
    """Runs of bales thicker on the same side."""
    if not (watched.bales.has("diameter_left_m") and watched.bales.has("diameter_right_m")):
        return
    gap = watched.floats("diameter_left_m") - watched.floats("diameter_right_m")
    told = ~watched.says("diameter_how", "nominal", "entered")
    judged = watched.whole & np.isfinite(gap) & told
    limit_m = max(LOPSIDED_M, NOISE_TIMES * lasting_noise(gap[judged]))
    for sign, side in ((1.0, "left"), (-1.0, "right")):
        for run in supported_runs(sign * gap > limit_m, judged):
            seen = level_interval(sign * gap[run.rows], SHAPE_ERROR_M)
            words = because(
                f"findings.shape.{side}", gap_m=round(seen.best, 3), **watched.facts(run)
            )
            yield Found(
                FindingKind.SHAPE_MOVED, Weight.COST, run, 0.0, seen, "m",
                ("diameter_left_m", "diameter_right_m"), words, "bale shape",
            )  # fmt: skip
