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
    """Observations that speak for something being wrong: what somebody came with.

    Reports and findings; checks only where there are none of those. Circumstances are not among
    them: they tell causes apart, and nobody wants them gone.
    """
    speak = np.flatnonzero(weighed.on > weighed.off)
    seen = laid.network.observations
    came_with = tuple(
        int(at)
        for at in speak
        if seen[at].kind is Kind.FINDING
        or (seen[at].kind is Kind.REPORT and seen[at].leak_frac < EVERYDAY_FRAC)
    )
    return came_with or tuple(int(at) for at in speak)


def without_symptoms(laid: LaidOut, weighed: Weighed) -> tuple[Floats, Floats]:
    """Both weights with every symptom not known."""
    on, off = weighed.on.copy(), weighed.off.copy()
    at = list(symptoms_of(laid, weighed))
    on[at] = off[at] = 1.0
    return on, off


def behind(posterior: Floats, base: Floats) -> Floats:
    """Chance of each cause to be there and to be needed for the symptoms.

    posterior: chance of each cause given everything; base: given everything but the symptoms.
    Exact where the causes are independent without the symptoms (only things seen off, or checks
    that read bad for one cause each): a cause can only turn things on, so the symptoms without it
    are part of the symptoms with it, and P(there, needed | all) = (posterior - base) / (1 - base).
    Shapes are those of the arguments.
    """
    room = 1.0 - base
    sure = room <= 1e-12
    needed = (posterior - base) / np.where(sure, 1.0, room)
    answer: Floats = np.clip(np.where(sure, posterior, needed), 0.0, 1.0)
    return answer


def behind_now(laid: LaidOut, weighed: Weighed, posterior: Floats) -> Floats:
    """`behind` for the evidence as it is."""
    if not (weighed.on > weighed.off).any():
        return np.zeros_like(posterior)
    base = infer(laid.arrays, *without_symptoms(laid, weighed)).posterior_frac
    return behind(posterior, base)
