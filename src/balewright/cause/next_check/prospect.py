"""What every open check would say, as chances that each cause is behind the trouble after it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from balewright.cause.infer.arrays import Floats, Ints
from balewright.cause.infer.posterior import infer
from balewright.cause.infer.refusals import Contradiction, TooWide
from balewright.cause.infer.sweep import sweep
from balewright.cause.laid_out import LaidOut, Weighed
from balewright.cause.network import Kind
from balewright.cause.reasons.refused import in_keys
from balewright.cause.reasons.symptoms import behind, without_symptoms

_SEEN: Final = 1e-7
"""A cause that is never behind the trouble with more than this chance is not reckoned with."""


@dataclass(frozen=True, eq=False)
class Prospect:
    """Where things stand and where each check would lead.

    causes[k]: places of the causes that matter; now[k]: chance to be behind the trouble; checks
    [c]: places of the open checks; on_frac[c]: chance to show a fault; if_on, if_off[c, k]: `now`
    after the one and the other; moves_frac[c]: chance expected to be shifted between all causes.
    """

    causes: Ints
    now: Floats
    checks: Ints
    on_frac: Floats
    if_on: Floats
    if_off: Floats
    moves_frac: Floats


def open_checks(laid: LaidOut, asked: frozenset[str]) -> Ints:
    """Places of the checks nobody has been asked for."""
    seen = laid.network.observations
    return np.array(
        [at for at, one in enumerate(seen) if one.kind is Kind.CHECK and one.key not in asked],
        dtype=np.int64,
    )


def prospect_of(laid: LaidOut, weighed: Weighed) -> Prospect | None:
    """Both outcomes of every open check, exactly; None where nothing wants explaining.

    Raises EvidenceRefused, in keys, where there is no exact answer.
    """
    if not (weighed.on > weighed.off).any():
        return None
    checks = open_checks(laid, weighed.asked)
    bare = without_symptoms(laid, weighed)
    try:
        now = infer(laid.arrays, weighed.on, weighed.off).posterior_frac
        base = infer(laid.arrays, *bare).posterior_frac
        if not checks.size:
            return _nothing_open(behind(now, base))
        after = sweep(laid.arrays, weighed.on, weighed.off, checks)
        before = sweep(laid.arrays, *bare, checks)
    except (Contradiction, TooWide) as refusal:
        raise in_keys(refusal, laid) from refusal
    if_on = _behind_or(behind(now, base), after.if_on, before.if_on)
    if_off = _behind_or(behind(now, base), after.if_off, before.if_off)
    standing = behind(now, base)
    most = np.maximum(standing, np.maximum(if_on, if_off).max(axis=0))
    causes = np.flatnonzero(most > _SEEN)
    moves = after.on_frac * _shift(after.if_on, now) + after.off_frac * _shift(after.if_off, now)
    return Prospect(
        causes, standing[causes], checks, after.on_frac, if_on[:, causes], if_off[:, causes], moves
    )


def _nothing_open(standing: Floats) -> Prospect:
    causes = np.flatnonzero(standing > _SEEN)
    none, empty = np.zeros((0, causes.size)), np.zeros(0)
    return Prospect(
        causes, standing[causes], np.zeros(0, np.int64), empty, none, none, empty
    )  # fmt: skip


def _behind_or(standing: Floats, after: Floats, before: Floats) -> Floats:
    """`behind` row by row; where an outcome cannot be, how things stand."""
    impossible = np.isnan(after) | np.isnan(before)
    rows = behind(np.where(impossible, 0.0, after), np.where(impossible, 0.0, before))
    answer: Floats = np.where(impossible, standing, rows)
    return answer


def _shift(after: Floats, now: Floats) -> Floats:
    """Half of all the chance that is shifted."""
    answer: Floats = np.nan_to_num(np.abs(after - now)).sum(axis=1) / 2.0
    return answer
