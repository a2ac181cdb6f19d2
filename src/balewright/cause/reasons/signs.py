"""What each piece of evidence does to each cause, found by leaving it out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from balewright.cause.infer.arrays import Floats, Ints
from balewright.cause.infer.posterior import Posterior, infer
from balewright.cause.laid_out import LaidOut, Weighed
from balewright.cause.ranking import Sign, Unexplained
from balewright.cause.reasons.symptoms import symptoms_of

_NOTHING: Final = 1e-9
_LOUD: Final = 0.5
"""A link this strong is one that a cause usually shows in."""


@dataclass(frozen=True, eq=False)
class LeftOutOnce:
    """at[e]: pieces of evidence; lift[e, n]: logarithm of the odds ratio of every cause with and
    without each; alone_frac[e]: chance that no cause turned it on, NaN for what was seen off.
    """

    at: tuple[int, ...]
    lift: Floats
    alone_frac: Floats


def leave_out(laid: LaidOut, weighed: Weighed, whole: Posterior, causes: Ints) -> LeftOutOnce:
    """Leave out each symptom, and each other piece of evidence that any of `causes` shows in.

    whole: with all of it; causes[k]: places of those to be given reasons. Exact: each is answered
    anew.
    """
    symptoms = set(symptoms_of(laid, weighed))
    known = np.flatnonzero(weighed.on != weighed.off)
    linked = np.any(laid.chance[known][:, causes] > 0.0, axis=1).tolist()
    at = tuple(int(one) for one, near in zip(known, linked, strict=True) if near or one in symptoms)
    lift = np.zeros((len(at), whole.posterior_frac.size))
    alone = np.full(len(at), np.nan)
    with_it = _log_odds(whole.posterior_frac)
    for row, one in enumerate(at):
        less = infer(laid.arrays, *weighed.without(one))
        with np.errstate(invalid="ignore"):
            lift[row] = with_it - _log_odds(less.posterior_frac)
        on, off = weighed.on[one], weighed.off[one]
        if on > off:
            # P(e) = on P(on) + off P(off), both with the rest; what turned it on by itself is a
            # fixed share of the cases in which the causes left it off
            chance = np.exp(whole.log_evidence - less.log_evidence)
            dark = np.clip((on - chance) / (on - off), 0.0, 1.0)
            leak = laid.arrays.leak_frac[one]
            alone[row] = min(1.0, dark * (on * leak / (1.0 - leak) + off) / chance)
    return LeftOutOnce(at, np.nan_to_num(lift, nan=0.0, posinf=700.0, neginf=-700.0), alone)


def _log_odds(chance: Floats) -> Floats:
    with np.errstate(divide="ignore"):
        answer: Floats = np.log(chance) - np.log1p(-chance)
    return answer


def unexplained(laid: LaidOut, found: LeftOutOnce, from_frac: float) -> tuple[Unexplained, ...]:
    """What was seen and more likely than `from_frac` came without any of the causes."""
    keys = laid.network.observations
    rows = [
        Unexplained(keys[at].key, float(alone))
        for at, alone in zip(found.at, found.alone_frac, strict=True)
        if alone > from_frac
    ]
    return tuple(sorted(rows, key=lambda one: (-one.alone_frac, one.on)))


def signs_of(
    laid: LaidOut, weighed: Weighed, found: LeftOutOnce, cause: int
) -> tuple[tuple[Sign, ...], tuple[Sign, ...]]:
    """What speaks for one cause and what against it, of the evidence it shows in."""
    signs = []
    for row, at in enumerate(found.at):
        lift = float(found.lift[row, cause])
        if laid.chance[at, cause] > 0.0 and abs(lift) > _NOTHING:
            key = laid.network.observations[at].key
            signs.append(Sign(key, weighed.used[key], float(np.exp(lift))))
    signs.sort(key=lambda sign: (_rounded(sign.lift_ratio), sign.on))
    against = tuple(sign for sign in signs if sign.lift_ratio < 1.0)
    lifted = [sign for sign in signs if sign.lift_ratio > 1.0]
    lifted.sort(key=lambda sign: (-_rounded(sign.lift_ratio), sign.on))
    return tuple(lifted), against


def _rounded(ratio: float) -> float:
    """So that equal signs come by their names and not by the last digit."""
    return float(f"{ratio:.10g}")


def expected_of(laid: LaidOut, weighed: Weighed, cause: int) -> tuple[str, ...]:
    """What a cause usually shows in and nobody has asked about, the surest first."""
    chances = laid.chance[:, cause]
    keys = laid.network.observations
    rows = [(-float(chances[at]), keys[at].key) for at in np.flatnonzero(chances >= _LOUD)]
    return tuple(key for _, key in sorted(rows) if key not in weighed.asked)
