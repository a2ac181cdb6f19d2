"""Which evidence wants explaining, and how likely each cause is behind it."""

from __future__ import annotations

from typing import Final

import numpy as np

from balewright.cause.infer.arrays import Floats
from balewright.cause.infer.posterior import infer
from balewright.cause.laid_out import LaidOut, Weighed
from balewright.cause.network import Kind

EVERYDAY_FRAC: Final = 0.05
"""A report that holds this often without any cause is a circumstance ("since a new roll")."""


def symptoms_of(laid: LaidOut, weighed: Weighed) -> tuple[int, ...]:
    """Observations that speak for something being wrong and that somebody wants gone.

    What the complaint names; where nobody named one, what was reported, circumstances aside; else
    what the records show; else what checks read.
    """
    speak = [int(at) for at in np.flatnonzero(weighed.on > weighed.off)]
    seen = laid.network.observations
    if weighed.complaint is not None:
        return tuple(at for at in speak if seen[at].key in weighed.complaint)
    reported = (
        at for at in speak if seen[at].kind is Kind.REPORT and seen[at].leak_frac < EVERYDAY_FRAC
    )
    found = (at for at in speak if seen[at].kind is Kind.FINDING)
    return tuple(reported) or tuple(found) or tuple(speak)


def need_of(laid: LaidOut, weighed: Weighed) -> Floats:
    """need[n]: chance that the symptoms would not all have come about without the cause, where it
    is there.

    A cause can only turn things on, so what would be seen without it is part of what is seen with
    it, and P(there, needed) = (P(there | symptoms) - P(there)) / (1 - P(there)), all given what
    was seen off. Exact for causes that are independent without the symptoms, so what else was seen
    on is left aside here: it tells how likely a cause is, and hardly whether the symptoms need it.
    """
    symptoms = symptoms_of(laid, weighed)
    none: Floats = np.zeros(laid.arrays.prior_frac.size)
    if not symptoms:
        return none
    on, off = weighed.on.copy(), weighed.off.copy()
    others = np.setdiff1d(np.flatnonzero(on > off), symptoms)
    on[others] = off[others] = 1.0
    there = infer(laid.arrays, on, off).posterior_frac
    on[list(symptoms)] = off[list(symptoms)] = 1.0
    before = infer(laid.arrays, on, off).posterior_frac
    both = there * (1.0 - before)
    need = np.divide(there - before, both, out=none, where=both > 0.0)
    answer: Floats = np.where(before >= 1.0, 1.0, np.clip(need, 0.0, 1.0))
    return answer
