"""Time from a full chamber to a wrapped bale.

Sources differ: 2 h (West Virginia), 2 to 3 h (Teagasc), 4 h and 12 h at the outside (Penn State),
24 h (Wisconsin). A single bale's clock settles these. A machine that wraps what it bales takes
minutes: there a run of bales that wait shows a hand-over that does not work.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from balewright.findings.finding import FindingKind, Weight
from balewright.findings.runs import episodes, supported_runs
from balewright.findings.sure import level_interval
from balewright.findings.watched import Floats, Found, Watched
from balewright.quantities.reason import because
from balewright.quantities.si import MICROSECONDS_PER_S, S_PER_H

STRICT_H: Final = 2.0
LATE_H: Final = 4.0
OUTSIDE_H: Final = 12.0
FAR_OUTSIDE_H: Final = 24.0
WAITING_S: Final = 45.0
"""A bale of a combined machine that takes this much longer than planned has waited: `assumed`."""


def _wrapped_us(watched: Watched) -> Floats:
    """When each bale was wrapped; where that is unknown, when it was tipped."""
    wrapped = watched.floats("wrap_end_at")
    return np.where(np.isfinite(wrapped), wrapped, watched.floats("tipped_at"))


def waited_s(watched: Watched) -> Floats:
    """Seconds from full to wrapped; NaN where either is unknown or the clock ran backwards."""
    seconds = (_wrapped_us(watched) - watched.floats("full_at")) / MICROSECONDS_PER_S
    return np.where(seconds >= 0, seconds, np.nan)


def _own_s(watched: Watched) -> Floats:
    """The same, less the time in which the wrapper still had the bale before."""
    wrapped = _wrapped_us(watched)
    before = np.concatenate([[np.nan], wrapped[:-1]])
    seconds = (wrapped - np.fmax(watched.floats("full_at"), before)) / MICROSECONDS_PER_S
    return np.where(seconds >= 0, seconds, np.nan)


def find_delay(watched: Watched) -> Iterator[Found]:
    """Bales wrapped hours late, and runs of bales that wait longer than the machine needs."""
    seconds = waited_s(watched)
    planned = watched.planned(lambda plan: plan.full_to_wrapped_s)
    judged = np.isfinite(planned) & np.isfinite(seconds) & watched.whole
    evidence = ("full_at", "wrap_end_at" if watched.bales.has("wrap_end_at") else "tipped_at")
    late = judged & (seconds > STRICT_H * S_PER_H)
    for run in episodes(late, judged):
        hours = seconds[run.rows] / S_PER_H
        worst = float(hours.max())
        band = next(
            (band for limit, band in ((FAR_OUTSIDE_H, "day"), (OUTSIDE_H, "outside"),
                                      (LATE_H, "late")) if worst > limit),
            "strict",
        )  # fmt: skip
        words = because(
            f"findings.delay.{band}",
            delay_h=round(worst, 2),
            **watched.facts(run),
        )
        weight = Weight.COST if band == "strict" else Weight.HARM
        yield Found(
            FindingKind.WRAPPED_LATE, weight, run, STRICT_H, level_interval(hours), "h", evidence,
            words,
        )  # fmt: skip
    own_s = _own_s(watched)
    short_term = judged & ~late & np.isfinite(own_s)
    for run in supported_runs(short_term & (own_s > planned + WAITING_S), short_term):
        seen = level_interval(own_s[run.rows])
        asked = float(np.median(planned[run.rows]))
        words = because(
            "findings.delay.waiting",
            delay_s=round(seen.best),
            planned_s=round(asked),
            **watched.facts(run),
        )
        yield Found(FindingKind.WRAPPED_LATE, Weight.COST, run, asked, seen, "s", evidence, words)
