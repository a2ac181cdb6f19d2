"""From evidence to posteriors in one call; compiled.

A result says how it went: the chance may be 0, or the evidence too wide for the room there is.
"""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np

from balewright.cause.infer.arrays import Floats, Ints
from balewright.cause.infer.fold_kernel import fold
from balewright.cause.infer.outcomes_kernel import outcomes
from balewright.cause.infer.pass_kernel import Tapes, backward, forward, new_tapes
from balewright.cause.infer.plan_kernel import by_cause, groups, order_causes
from balewright.cause.infer.steps_kernel import Steps, lay_out
from balewright.findings.charts.compiled_kernel import compiled

LEAST: Final = 1e-280
"""Below this the numbers that decide have begun to lose digits: no answer is given."""


class Solved(NamedTuple):
    """posterior[n], and log_evidence (-inf: it cannot be); width: observations open at once, and
    where it is above what was allowed there is nothing else; steps and tapes: how it was done.
    """

    posterior: Floats
    log_evidence: float
    width: int
    steps: Steps
    tapes: Tapes


@compiled
def solve(
    prior: Floats,
    start: Ints,
    cause: Ints,
    chance: Floats,
    leak: Floats,
    weight_on: Floats,
    weight_off: Floats,
    widest: int,
) -> Solved:
    """Posteriors of all causes, given evidence as a pair of weights on every observation."""
    top = np.maximum(weight_on, weight_off)
    weight_on, weight_off = weight_on / top, weight_off / top
    absent, present, leaks, kept, log = fold(
        prior, start, cause, chance, leak, weight_on, weight_off
    )
    log += np.log(top).sum()
    if log == -np.inf:
        kept[:] = 0
    bound, first, to, how, seen = by_cause(start, cause, chance, absent, present, kept)
    order, group, _, width = order_causes(first, to, groups(first, to, seen.size))
    if width > widest:
        bound, first, to, how = bound[:0], first[:1], to[:0], how[:0]
        order, group, seen = order[:0], group[:1], seen[:0]
    steps = lay_out(bound, first, to, how, order, group, absent[bound], present[bound],
                    leaks[seen], weight_on[seen], weight_off[seen])  # fmt: skip
    tapes = new_tapes(steps)
    posterior = present.copy()
    if log > -np.inf and width <= widest:
        log += forward(steps, tapes)
        if log > -np.inf:
            of_places = np.empty(steps.cause.size)
            if backward(steps, tapes, of_places) < LEAST:
                log = -np.inf
            for place in range(steps.cause.size):
                posterior[steps.cause[place]] = of_places[place]
    return Solved(posterior, log, width, steps, tapes)


@compiled
def answer(
    prior: Floats,
    start: Ints,
    cause: Ints,
    chance: Floats,
    leak: Floats,
    weight_on: Floats,
    weight_off: Floats,
    widest: int,
) -> tuple[Floats, float, int]:
    """The posteriors, log_evidence and width of `solve` alone: what led to them stays inside."""
    solved = solve(prior, start, cause, chance, leak, weight_on, weight_off, widest)
    return solved.posterior, solved.log_evidence, solved.width


@compiled
def answer_checks(
    prior: Floats,
    start: Ints,
    cause: Ints,
    chance: Floats,
    leak: Floats,
    weight_on: Floats,
    weight_off: Floats,
    widest: int,
    candidates: Ints,
) -> tuple[tuple[Floats, Floats, Floats, Floats], float, int]:
    """Both outcomes of every candidate, beside log_evidence and width. No candidate is gone through
    where there is no answer.
    """
    solved = solve(prior, start, cause, chance, leak, weight_on, weight_off, widest)
    if solved.width > widest or solved.log_evidence == -np.inf:
        candidates = candidates[:0]
    told = outcomes(
        solved.steps, solved.tapes, solved.posterior, start, cause, chance, leak, candidates
    )
    return told, solved.log_evidence, solved.width


@compiled
def are_weights(weight_on: Floats, weight_off: Floats) -> bool:
    """Whether both rows are finite, 0 or above, and nowhere both 0."""
    for at in range(weight_on.size):
        on, off = weight_on[at], weight_off[at]
        if not (0.0 <= on < np.inf and 0.0 <= off < np.inf and on + off > 0.0):
            return False
    return True
