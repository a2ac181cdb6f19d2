"""The chance that no cause turned on any of the symptoms: they came from beyond the network."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from balewright.cause.infer.arrays import Floats, Ints
from balewright.cause.infer.posterior import Posterior, infer
from balewright.cause.infer.sweep import sweep
from balewright.cause.laid_out import LaidOut, Weighed
from balewright.cause.reasons.symptoms import symptoms_of


@dataclass(frozen=True, eq=False)
class Beyond:
    """frac: chance of it; on, off: the evidence as it is in that case, up to a factor."""

    frac: float
    on: Floats
    off: Floats


def beyond_of(laid: LaidOut, weighed: Weighed, whole: Posterior) -> Beyond:
    """The chance of it, given all evidence; exact. whole: what `infer` says of the evidence.

    What turned a symptom on by itself is a fixed share of the cases in which the causes left it
    off, so the symptoms become things seen off, weighted.
    """
    on, off = weighed.on.copy(), weighed.off.copy()
    leak = laid.arrays.leak_frac
    for at in symptoms_of(laid, weighed):
        off[at] += on[at] * leak[at] / (1.0 - leak[at])
        on[at] = 0.0
        if off[at] == 0.0:
            return Beyond(0.0, weighed.on, weighed.off)
    log = infer(laid.arrays, on, off).log_evidence - whole.log_evidence
    return Beyond(min(1.0, math.exp(log)), on, off)


def beyond_after(
    laid: LaidOut, beyond: Beyond, checks: Ints, on_frac: Floats
) -> tuple[Floats, Floats]:
    """The chance of it after each check showed a fault, and after it showed none.

    checks[c]: places; on_frac[c]: chance of each to show a fault, given all evidence.
    """
    if beyond.frac == 0.0 or not checks.size:
        return np.zeros(checks.size), np.zeros(checks.size)
    shown = sweep(laid.arrays, beyond.on, beyond.off, checks)
    with np.errstate(divide="ignore", invalid="ignore"):
        after_on = beyond.frac * shown.on_frac / on_frac
        after_off = beyond.frac * shown.off_frac / (1.0 - on_frac)
    return tuple(
        np.clip(np.nan_to_num(one, nan=beyond.frac, posinf=1.0), 0.0, 1.0)
        for one in (after_on, after_off)
    )  # type: ignore[return-value]


def shared_out(behind: Floats, beyond: Floats) -> Floats:
    """Chances of causes that add up to all that is not beyond, row by row.

    behind[r, n]; beyond[r]. Where two causes each would do, neither is needed, and their chances
    to be needed add up to less: that is given to them in proportion, as something has to be
    repaired. Where several are needed they add up to more, and stay.
    """
    added = behind.sum(axis=1)
    short = (added < 1.0 - beyond) & (added > 0.0)
    scale = np.where(short, (1.0 - beyond) / np.where(short, added, 1.0), 1.0)
    answer: Floats = behind * scale[:, None]
    return answer
