"""Which check to make first, or none: one look ahead, then repairs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from balewright.cause.infer.arrays import Floats, Ints
from balewright.cause.next_check.bill import Bill
from balewright.cause.next_check.cure import Cures, expected_cures

_GAINS: Final = 1e-9
"""Relative saving below which a check changes nothing."""
LIKELY_FRAC: Final = 0.5
"""A check waits only for a repair that is likelier than not to be the one: by cost alone it might
wait for any cheap one, and nobody repairs one thing after another on suspicion."""


@dataclass(frozen=True, eq=False)
class Outcomes:
    """Checks that could be made. on_frac[c]: chance to show a fault; if_on, if_off[c, n]: chance
    of each cause to be behind the trouble afterwards; money[c]: what each costs; bill[c]: index
    of the bill that holds after it (somebody has been sent by then).
    """

    on_frac: Floats
    if_on: Floats
    if_off: Floats
    money: Floats
    bill: Ints


@dataclass(frozen=True, eq=False)
class Choice:
    """now: repairs as things stand, one row; total_money[c]: expected with each check first;
    best: the check to make, None where repairing at once (or giving up) costs no more; waits: that
    check would be worth making, but whatever it says the same repair comes next.
    """

    now: Cures
    total_money: Floats
    best: int | None
    waits: bool = False


def choose(
    now: Floats, outcomes: Outcomes, bills: tuple[Bill, ...], may_wait: bool = True
) -> Choice:
    """Compare every check, followed by repairs in the best order, with repairing at once.

    now[n]: chance of each cause to be behind the trouble; bills: as things stand, then as they
    stand after somebody was sent.

    It looks one check ahead and asks again after each answer. So from any state it costs at most
    what the best order of repairs does (a policy improved once; source key
    `bertsekas-rollout`); how much more than the best of all policies is measured in
    docs/models/next-check.md. A check that costs nothing and can change a chance comes first,
    the one that changes most: knowing more for nothing never costs. One that costs something waits
    where both answers are followed by the repair that would be made now: where that helps, the
    check is saved, and where not, it can still be made. may_wait: whether that is done, else checks
    come as early as they are worth it.
    """
    cured = expected_cures(now[None, :], bills[0])
    total = np.full(outcomes.money.size, np.inf)
    for number, bill in enumerate(bills):
        rows = np.flatnonzero(outcomes.bill == number)
        if rows.size:
            both = np.vstack((outcomes.if_on[rows], outcomes.if_off[rows]))
            after = expected_cures(both, bill).money
            on = outcomes.on_frac[rows]
            total[rows] = outcomes.money[rows] + on * after[: rows.size]
            total[rows] += (1.0 - on) * after[rows.size :]
    best = _best(now, outcomes, total, float(cured.money[0]))
    if may_wait and best is not None and outcomes.money[best] > 0.0:
        by_then = bills[int(outcomes.bill[best])]
        likely = bool(now[cured.order[0, 0]] >= LIKELY_FRAC)
        answers = outcomes.if_on[best], outcomes.if_off[best]
        if likely and _changes_nothing_yet(cured, *answers, by_then):
            return Choice(cured, total, None, waits=True)
    return Choice(cured, total, best)


def _changes_nothing_yet(now: Cures, if_on: Floats, if_off: Floats, bill: Bill) -> bool:
    """Whether the repair made first is the same now and after both answers, by who is there."""
    if not now.steps[0] or bill.group[now.order[0, 0]]:
        return False
    both = expected_cures(np.vstack((if_on, if_off)), bill)
    return bool(both.steps.all() and (both.order[:, 0] == now.order[0, 0]).all())


def _best(now: Floats, outcomes: Outcomes, total: Floats, at_once_money: float) -> int | None:
    if not total.size:
        return None
    moves = outcomes.on_frac * np.abs(outcomes.if_on - now).sum(axis=1)
    moves += (1.0 - outcomes.on_frac) * np.abs(outcomes.if_off - now).sum(axis=1)
    free = np.flatnonzero((outcomes.money <= 0.0) & (moves > _GAINS))
    if free.size:
        return int(free[np.argmax(np.round(moves[free], 12))])
    best = int(np.argmin(np.round(total / max(at_once_money, 1e-300), 12)))
    return best if total[best] < at_once_money * (1.0 - _GAINS) else None
