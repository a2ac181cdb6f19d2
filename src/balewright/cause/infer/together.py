"""Causes taken together: none of several, two at once, exactly one."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from balewright.cause.infer.arrays import Arrays, Floats, frozen_floats
from balewright.cause.infer.evidence import checked_weights
from balewright.cause.infer.posterior import Posterior, infer
from balewright.cause.infer.refusals import Contradiction
from balewright.quantities.errors import BadInput, Fault


@dataclass(frozen=True, eq=False)
class Together:
    """Of some causes, given the evidence: none_frac, chance that none of them is there;
    both_frac[k, k], chance that both of a pair are (on the diagonal: that the one is).
    """

    causes: tuple[int, ...]
    none_frac: float
    both_frac: Floats


@dataclass(frozen=True, eq=False)
class Alone:
    """Given the evidence: none_frac, chance that no cause of the network is there; only_frac[n],
    chance that this cause and no other is. What is left over are two or more at once.
    """

    none_frac: float
    only_frac: Floats


def together(
    arrays: Arrays, weight_on: ArrayLike, weight_off: ArrayLike, causes: Sequence[int]
) -> Together:
    """How a few causes stand together. One pass through the network for each of them.

    weight_on, weight_off: the evidence, as `infer` takes it; causes: which, each once. Raises
    what `infer` raises, and BadInput for a cause that is none.
    """
    asked = tuple(int(one) for one in causes)
    if len(set(asked)) != len(asked) or not set(asked) <= set(range(arrays.causes)):
        need = f"different causes of 0 to {arrays.causes - 1}"
        raise BadInput(Fault("causes", need, str(list(asked)), "Ask about what is there."))
    on, off = checked_weights(arrays, weight_on, weight_off)
    before = infer(arrays, on, off)
    both = np.zeros((len(asked), len(asked)))
    for row, cause in enumerate(asked):
        present = before.posterior_frac[cause]
        if present > 0.0:
            given = infer(_with(arrays, (cause,), 1.0), on, off)
            both[row] = present * given.posterior_frac[list(asked)]
    both = (both + both.T) / 2.0
    return Together(asked, none_of(arrays, on, off, asked, before), frozen_floats(both))


def none_of(
    arrays: Arrays, on: Floats, off: Floats, causes: Sequence[int], before: Posterior
) -> float:
    """Chance that none of the causes is there, 0..1. before: what `infer` says of the evidence."""
    absent = 1.0 - arrays.prior_frac[list(causes)]
    if (absent == 0.0).any():
        return 0.0
    try:
        without = infer(_with(arrays, causes, 0.0), on, off)
    except Contradiction:
        return 0.0
    log = without.log_evidence - before.log_evidence + float(np.log(absent).sum())
    return min(1.0, math.exp(log))


def _with(arrays: Arrays, causes: Sequence[int], prior_frac: float) -> Arrays:
    """The network with some causes surely there, or surely not."""
    prior = arrays.prior_frac.copy()
    prior[list(causes)] = prior_frac
    return replace(arrays, prior_frac=prior)


def alone(arrays: Arrays, weight_on: ArrayLike, weight_off: ArrayLike) -> Alone:
    """Whether one cause by itself would do. Raises what `infer` raises."""
    on, off = checked_weights(arrays, weight_on, weight_off)
    log_evidence = infer(arrays, on, off).log_evidence
    keeps = np.ones((arrays.causes + 1, arrays.observations))
    row = np.repeat(np.arange(arrays.observations), np.diff(arrays.start))
    keeps[arrays.cause, row] = 1.0 - arrays.chance
    stays_off = keeps * (1.0 - arrays.leak_frac)
    goes_on = np.broadcast_to(arrays.leak_frac, keeps.shape).copy()
    goes_on[arrays.cause, row] += (1.0 - arrays.leak_frac[row]) * arrays.chance
    with np.errstate(divide="ignore"):
        fits = np.log(on * goes_on + off * stays_off).sum(axis=1)
        absent, present = np.log1p(-arrays.prior_frac), np.log(arrays.prior_frac)
    sets = np.full(arrays.causes + 1, absent.sum())
    for cause in range(arrays.causes):
        sets[cause] = present[cause] + np.delete(absent, cause).sum()
    chances = np.exp(fits + sets - log_evidence)
    return Alone(float(chances[-1]), frozen_floats(chances[:-1]))
