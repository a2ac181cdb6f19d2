"""Circumstances belong to what somebody called about, and to no other fault there may be."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from balewright.cause.infer.arrays import Arrays
from balewright.cause.laid_out import LaidOut, Weighed
from balewright.cause.network import Kind
from balewright.cause.reasons.symptoms import EVERYDAY_FRAC, symptoms_of


def focus(laid: LaidOut, weighed: Weighed) -> LaidOut:
    """The network with circumstances linked only to causes that may be behind what was seen.

    "Since a new roll" is said of the trouble. A cause that shows in none of the symptoms, there or
    not, is not what it was said of; without this any fault of a roll that happens to be there
    would explain it away. Unchanged where no circumstance or nothing beside them is known.
    """
    seen = laid.network.observations
    known = np.flatnonzero(weighed.on != weighed.off)
    about = [
        int(at)
        for at in known
        if seen[at].kind is Kind.REPORT and seen[at].leak_frac >= EVERYDAY_FRAC
    ]
    symptoms = [at for at in symptoms_of(laid, weighed) if at not in about]
    if not about or not symptoms:
        return laid
    meant = laid.chance[symptoms].max(axis=0) > 0.0
    arrays = laid.arrays
    of = np.repeat(np.arange(arrays.observations), np.diff(arrays.start))
    kept = ~np.isin(of, about) | meant[arrays.cause]
    start = np.concatenate(([0], np.cumsum(np.bincount(of[kept], minlength=arrays.observations))))
    chance = laid.chance.copy()
    chance[np.ix_(about, ~meant)] = 0.0
    chance.setflags(write=False)
    focused = Arrays(
        arrays.prior_frac, start, arrays.cause[kept], arrays.chance[kept], arrays.leak_frac
    )
    return replace(laid, arrays=focused, chance=chance)
