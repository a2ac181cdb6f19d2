"""What the evidence says about every cause: exactly, with several causes at once."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from numpy.typing import ArrayLike

from balewright.cause.infer.arrays import Arrays, Floats
from balewright.cause.infer.evidence import checked_weights, solve_for
from balewright.cause.infer.refusing import refusal

WIDEST: Final = 18
"""Observations that may be open at once: 2 to this number of entries in a table."""


@dataclass(frozen=True, eq=False)
class Posterior:
    """posterior_frac[n]: chance of each cause, given the evidence. log_evidence: natural logarithm
    of the evidence's chance (of its density, where readings came with densities). width: how many
    observations had to be held open at once.
    """

    posterior_frac: Floats
    log_evidence: float
    width: int


def infer(arrays: Arrays, weight_on: ArrayLike, weight_off: ArrayLike) -> Posterior:
    """Every cause's chance, given evidence on the observations.

    weight_on[m], weight_off[m]: how well what was seen goes with each observation being on and
    being off, 0 or above: (1, 0) seen on, (0, 1) seen off, (1, 1) not known, and for a reading its
    density in the one case and in the other.

    Raises BadInput for weights that are none, Contradiction for evidence that cannot be, TooWide
    for evidence that hangs together too widely. Errors of rounding stay below 1e-12.
    """
    on, off = checked_weights(arrays, weight_on, weight_off)
    posterior, log_evidence, width = solve_for(arrays, on, off, WIDEST)
    if width > WIDEST or log_evidence == -math.inf:
        raise refusal(arrays, on, off, width, WIDEST)
    posterior.setflags(write=False)
    return Posterior(posterior, log_evidence, width)
