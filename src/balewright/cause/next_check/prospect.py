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
from balewright.cause.reasons.beyond import beyond_after, beyond_of, shared_out
from balewright.cause.reasons.circumstances import focus
from balewright.cause.reasons.refused import in_keys
from balewright.cause.reasons.symptoms import need_of, symptoms_of

_SEEN: Final = 1e-7
"""A cause that is never behind the trouble with more than this chance is not reckoned with."""


@dataclass(frozen=True, eq=False)
class Prospect:
    """Where things stand and where each check would lead.

    causes[k]: places of the causes that matter, by their keys; now[k]: chance to be behind the
    trouble; checks[c]: places of the open checks; on_frac[c]: chance to show a fault; if_on,
    if_off[c, k]: `now` after the one and the other; moves_frac[c]: of it, expected to be shifted.
    """

    causes: Ints
    now: Floats
    checks: Ints
    on_frac: Floats
    if_on: Floats
    if_off: Floats
    moves_frac: Floats


def open_checks(laid: LaidOut, asked: frozenset[str]) -> Ints:
    """Places of the checks nobody has been asked for, by their keys."""
    seen = laid.network.observations
    found = [at for at, one in enumerate(seen) if one.kind is Kind.CHECK and one.key not in asked]
    return np.array(sorted(found, key=lambda at: seen[at].key), dtype=np.int64)


def prospect_of(laid: LaidOut, weighed: Weighed) -> Prospect | None:
    """Both outcomes of every open check, exactly; None where nothing wants explaining.

    How far the symptoms need a cause that is there is taken to stay as it is. So what a check
    says is expected to change no chance on the whole, and no check is made for a fault that the
    symptoms have nothing to do with. Raises EvidenceRefused, in keys, where there is no exact
    answer.
    """
    if not symptoms_of(laid, weighed):
        return None
    laid = focus(laid, weighed)
    checks = open_checks(laid, weighed.asked)
    try:
        whole = infer(laid.arrays, weighed.on, weighed.off)
        need = need_of(laid, weighed)
        after = sweep(laid.arrays, weighed.on, weighed.off, checks)
        beyond = beyond_of(laid, weighed, whole)
        beyond_on, beyond_off = beyond_after(laid, beyond, checks, after.on_frac)
    except (Contradiction, TooWide) as refusal:
        raise in_keys(refusal, laid) from refusal
    now = whole.posterior_frac
    # an outcome that cannot be leaves things as they stand
    if_on = np.where(np.isnan(after.if_on), now, after.if_on)
    if_off = np.where(np.isnan(after.if_off), now, after.if_off)
    most = np.maximum(now, np.maximum(if_on, if_off).max(axis=0, initial=0.0))
    keys = laid.network.causes
    matter = np.flatnonzero(most * need > _SEEN)
    causes = np.array(sorted(matter, key=lambda at: keys[at].key), dtype=np.int64)
    moves = after.on_frac * _shift(if_on, now, need) + after.off_frac * _shift(if_off, now, need)
    standing = shared_out((now * need)[None, causes], np.array([beyond.frac]))[0]
    return Prospect(
        causes, standing, checks, after.on_frac, shared_out((if_on * need)[:, causes], beyond_on),
        shared_out((if_off * need)[:, causes], beyond_off), moves,
    )  # fmt: skip


def _shift(after: Floats, now: Floats, need: Floats) -> Floats:
    """Half of all the chance to be behind the trouble that is shifted."""
    answer: Floats = (np.abs(after - now) * need).sum(axis=1) / 2.0
    return answer
