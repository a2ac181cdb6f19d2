"""Whether the evidence fits together, and which part of it does not.

Each piece of evidence is compared with what the rest of it leads to expect. Where all come from
few causes, each makes the others likelier; a piece that the rest makes much less likely than it
was before anything was seen speaks against the rest, or something is not as it was told
(conflict measure: Jensen, Chamberlain, Nordahl and Jensen 1991, ln of the product of the pieces'
chances by the chance of all; above 0 they are less likely together than each by itself).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from balewright.cause.infer.arrays import Arrays, Floats, Ints, frozen_floats, frozen_ints
from balewright.cause.infer.evidence import checked_weights
from balewright.cause.infer.posterior import infer
from balewright.cause.infer.together import none_of


@dataclass(frozen=True, eq=False)
class Fitting:
    """How the evidence fits together.

    log_conflict: ln(product of the pieces' chances / chance of all); above 0: they do not fit.
    observation[k]: the pieces, as numbered in the network. alone_frac[k]: chance of each before
    anything was seen; given_rest_frac[k]: given all the others (densities, for readings; then only
    their ratio says something). unexplained_frac[k]: chance that none of its causes is there.
    """

    log_conflict: float
    observation: Ints
    alone_frac: Floats
    given_rest_frac: Floats
    unexplained_frac: Floats

    @property
    def log_against(self) -> Floats:
        """ln(chance alone / chance given the rest) of each piece; above 0: the rest speaks against
        it.
        """
        return np.log(self.alone_frac) - np.log(self.given_rest_frac)


def fitting(arrays: Arrays, weight_on: ArrayLike, weight_off: ArrayLike) -> Fitting:
    """How the evidence fits together. Two passes through the network for each piece of it.

    weight_on, weight_off: the evidence, as `infer` takes it. Raises what `infer` raises.
    """
    on, off = checked_weights(arrays, weight_on, weight_off)
    before = infer(arrays, on, off)
    pieces = np.flatnonzero(on != off)
    ones = np.ones(on.size)
    alone, rest, unexplained = [], [], []
    for piece in pieces:
        only_on, only_off = ones.copy(), ones.copy()
        only_on[piece], only_off[piece] = on[piece], off[piece]
        alone.append(infer(arrays, only_on, only_off).log_evidence)
        less_on, less_off = on.copy(), off.copy()
        less_on[piece] = less_off[piece] = 1.0
        rest.append(before.log_evidence - infer(arrays, less_on, less_off).log_evidence)
        causes = arrays.cause[arrays.start[piece] : arrays.start[piece + 1]].tolist()
        unexplained.append(none_of(arrays, on, off, causes, before))
    scale = float(np.log(on[on == off]).sum())
    return Fitting(
        math.fsum(alone) - (before.log_evidence - scale), frozen_ints(pieces),
        frozen_floats(np.exp(alone)), frozen_floats(np.exp(rest)), frozen_floats(unexplained),
    )  # fmt: skip
