"""Chances of exact sets of causes: none there, one and no other, two and no other."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from balewright.cause.infer.arrays import Floats, Ints
from balewright.cause.laid_out import LaidOut, Weighed
from balewright.cause.ranking import Pair

PAIRED: Final = 12
"""Of this many first causes every two are looked at together."""


@dataclass(frozen=True, eq=False)
class ExactSets:
    """Logarithms of the chance of a set of causes, no other, together with the evidence.

    fits: of no cause; one[n]: of each by itself; odds[n]: of each cause beforehand; off[e, n]:
    factor by which each cause leaves each piece of evidence off; off_none[e]: the same of none;
    on_weight, off_weight[e]: weights of the evidence.
    """

    fits: float
    one: Floats
    odds: Floats
    off: Floats
    off_none: Floats
    on_weight: Floats
    off_weight: Floats

    def two(self, at: Ints) -> Floats:
        """log_two[k, k] of the causes at those places, -inf where both are one."""
        off = self.off_none[:, None, None] * self.off[:, at][:, :, None] * self.off[:, at][:, None]
        seen = self.on_weight[:, None, None] * (1.0 - off) + self.off_weight[:, None, None] * off
        with np.errstate(divide="ignore"):
            joint = np.log(seen).sum(axis=0)
        answer: Floats = joint + self.odds[at][:, None] + self.odds[at][None, :]
        np.fill_diagonal(answer, -np.inf)
        return answer


def exact_sets(laid: LaidOut, weighed: Weighed) -> ExactSets:
    """Sets of none and of one cause. The chance of no cause beforehand is left out of all."""
    known = np.flatnonzero(weighed.on != weighed.off)
    prior = laid.arrays.prior_frac
    off = 1.0 - laid.chance[known]
    off_none = 1.0 - laid.arrays.leak_frac[known]
    on_weight, off_weight = weighed.on[known], weighed.off[known]
    with np.errstate(divide="ignore"):
        odds = np.log(prior) - np.log1p(-prior)
        alone = on_weight * (1.0 - off_none) + off_weight * off_none
        each = off_none[:, None] * off
        joint = on_weight[:, None] * (1.0 - each) + off_weight[:, None] * each
        none = float(np.log(alone).sum())
        one = np.log(joint).sum(axis=0) + odds
    return ExactSets(none, one, odds, off, off_none, on_weight, off_weight)


def log_none_before(laid: LaidOut) -> float:
    """Logarithm of the chance that no cause is there, before anything was seen."""
    with np.errstate(divide="ignore"):
        return float(np.log1p(-laid.arrays.prior_frac).sum())


def likely_pair(laid: LaidOut, sets: ExactSets, first: Ints, log_evidence: float) -> Pair | None:
    """The likeliest two causes, where they are likelier than any single one; else None.

    first[k]: places of the causes to look at; log_evidence: of what was seen.
    """
    if first.size < 2:
        return None
    two = sets.two(first)
    best = int(np.argmax(two))
    a, b = first[best // first.size], first[best % first.size]
    most, single = float(two.flat[best]), float(sets.one.max())
    if not most > max(single, sets.fits):
        return None
    causes = laid.network.causes
    both = most + log_none_before(laid) - log_evidence
    key = sorted((causes[a].key, causes[b].key))
    return Pair((key[0], key[1]), min(1.0, math.exp(both)), math.exp(min(700.0, most - single)))
