"""Which causes are likely behind what was seen, and whether that is enough to tell."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import replace
from typing import Final

import numpy as np

from balewright.cause.evidence_value import Seen
from balewright.cause.infer.arrays import Floats
from balewright.cause.infer.posterior import Posterior, infer
from balewright.cause.infer.refusals import Contradiction, TooWide
from balewright.cause.laid_out import LaidOut, Weighed, lay_out, weigh
from balewright.cause.network import Kind, Network
from balewright.cause.ranking import RankedCause, Ranking
from balewright.cause.reasons.beyond import beyond_of
from balewright.cause.reasons.circumstances import focus
from balewright.cause.reasons.exact_sets import PAIRED, exact_sets, likely_pair, log_none_before
from balewright.cause.reasons.refused import in_keys
from balewright.cause.reasons.signs import expected_of, leave_out, signs_of, unexplained
from balewright.cause.reasons.symptoms import need_of
from balewright.quantities.reason import Reason, because

FIRST_FRAC: Final = 0.4
"""The first cause stands out only where it is behind what was seen with this chance at least,"""
AHEAD_RATIO: Final = 2.0
"""and that many times as likely as the second."""
APART_FRAC: Final = 0.2
"""A check tells two causes apart where it shows them with chances this far from each other."""
REASONED: Final = 6
"""Causes that are given their reasons."""
ALONE_FRAC: Final = 0.5
"""What none of the causes turned on with more than this chance is listed as unexplained."""


def rank_causes(
    network: Network,
    evidence: Mapping[str, Seen],
    exposure: Mapping[str, float] | None = None,
    complaint: Collection[str] | None = None,
) -> Ranking:
    """The causes a machine can have, in the order of how likely each is behind what was seen.

    network: the machine's part of it (`Network.for_machine`); evidence: what is known, by key of
    the observation; exposure: bales since a cause was last known not to be there, by its key (0:
    just put right), unknown where left out; complaint: keys of the evidence that somebody wants
    gone, None: what was reported, else what the records show.

    Several causes may be there at once; the answer is exact. Raises NotAnswerable where the
    network is empty, where the evidence cannot be, and where it hangs together too widely; the
    text names the observations. Valid as far as the network's numbers are.
    """
    laid = lay_out(network, exposure)
    return rank_laid(laid, weigh(laid, evidence, complaint))


def rank_laid(laid: LaidOut, weighed: Weighed) -> Ranking:
    """The same for a network and evidence that are laid out."""
    laid = focus(laid, weighed)
    try:
        whole = infer(laid.arrays, weighed.on, weighed.off)
        needed = whole.posterior_frac * need_of(laid, weighed)
    except (Contradiction, TooWide) as refusal:
        raise in_keys(refusal, laid) from refusal
    keys = [one.key for one in laid.network.causes]
    # rounded, so that equal causes come by their names and not by the last digit
    chances = (-np.round(one, 12) for one in (whole.posterior_frac, needed))
    order = np.lexsort((np.array(keys), *chances)).astype(np.int64)
    first = order[:REASONED]
    found = leave_out(laid, weighed, whole, first)
    causes = [
        RankedCause(
            keys[at], float(laid.arrays.prior_frac[at]), float(whole.posterior_frac[at]),
            float(needed[at]),
        )
        for at in order
    ]  # fmt: skip
    for place, at in enumerate(first):
        lifted, against = signs_of(laid, weighed, found, int(at))
        expected = expected_of(laid, weighed, int(at))
        causes[place] = replace(causes[place], lifted=lifted, against=against, expected=expected)
    sets = exact_sets(laid, weighed)
    clear, verdict = _verdict(laid, weighed, causes)
    return Ranking(
        causes=tuple(causes),
        none_frac=_exp(sets.fits + log_none_before(laid) - whole.log_evidence),
        beyond_frac=beyond_of(laid, weighed, whole).frac,
        pair=likely_pair(laid, sets, order[:PAIRED], whole.log_evidence),
        clear=clear,
        verdict=verdict,
        unexplained=unexplained(laid, found, ALONE_FRAC),
        conflict_ratio=_conflict(laid, weighed, whole),
        left_out=weighed.left_out,
        log_evidence=whole.log_evidence,
        width=whole.width,
    )


def _exp(log: float) -> float:
    return min(1.0, math.exp(log))


def _conflict(laid: LaidOut, weighed: Weighed, whole: Posterior) -> float:
    """Chance of each piece by itself, multiplied, over the chance of all of it (F. V. Jensen)."""
    known = np.flatnonzero(weighed.on != weighed.off)
    dark = (1.0 - laid.arrays.leak_frac[known]) * np.prod(
        1.0 - laid.chance[known] * laid.arrays.prior_frac, axis=1
    )
    by_itself: Floats = weighed.on[known] * (1.0 - dark) + weighed.off[known] * dark
    # evidence on which both weights are equal says nothing and is in neither
    told = weighed.on == weighed.off
    both = float(np.log(by_itself).sum() + np.log(weighed.on[told]).sum())
    return math.exp(max(-700.0, min(700.0, both - whole.log_evidence)))


def _verdict(laid: LaidOut, weighed: Weighed, causes: list[RankedCause]) -> tuple[bool, Reason]:
    """Whether the first cause stands out, and why or why not."""
    first = causes[0]
    second_frac = causes[1].behind_frac if len(causes) > 1 else 0.0
    if first.behind_frac == 0.0:
        return False, because("cause.verdict.nothing")
    ahead = first.behind_frac >= AHEAD_RATIO * second_frac
    if first.behind_frac >= FIRST_FRAC and ahead:
        return True, because("cause.verdict.clear", first_frac=first.behind_frac)
    checks = _telling(laid, weighed, [one.key for one in causes[:2]])
    if not checks:
        return False, because("cause.verdict.no_check", first_frac=first.behind_frac)
    if first.behind_frac < FIRST_FRAC:
        return False, because(
            "cause.verdict.low", first_frac=first.behind_frac, least_frac=FIRST_FRAC, checks=checks
        )
    return False, because(
        "cause.verdict.close", first_frac=first.behind_frac, second_frac=second_frac, checks=checks
    )


def _telling(laid: LaidOut, weighed: Weighed, keys: list[str]) -> int:
    """How many checks nobody has made would tell the first causes apart, or the first from none."""
    at = [laid.cause_at[key] for key in keys]
    shown = laid.chance[:, at]
    apart = shown.max(axis=1) - (shown.min(axis=1) if len(at) > 1 else 0.0)
    seen = laid.network.observations
    return sum(
        seen[one].kind is Kind.CHECK and seen[one].key not in weighed.asked
        for one in np.flatnonzero(apart >= APART_FRAC)
    )
