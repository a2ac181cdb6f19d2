"""What it is expected to cost until the trouble is gone, by repairs alone."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from balewright.cause.infer.arrays import Floats, Ints
from balewright.cause.next_check.bill import Bill

Truths = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Cures:
    """For each row of chances: money[r], expected until the trouble is gone or given up; order
    [r, n]: causes in the order to repair them; steps[r]: how many of them before giving up.
    """

    money: Floats
    order: Ints
    steps: Ints


def expected_cures(behind: Floats, bill: Bill) -> Cures:
    """Repair one cause after another and look each time whether the trouble is gone.

    behind[r, n]: chance of each cause to be behind the trouble; bill: of the same causes.

    With one fault and no ways, the order by chance over price costs least (source key
    `heckerman-troubleshooting-1995`). A way that several repairs share (sending somebody) is paid
    once, before the first of them: then the least has the way and the repairs that go with it as
    one block, with the best chance over price that any first part of them has (source key
    `ottosen-jensen-2010`). A repair is still paid for with the chance that its cause or a later
    one is behind the trouble, at most the sum of their chances: exact for one fault, never too low
    for several. What no cause is behind goes all the way to giving up: `help_money` for each fault
    expected, or another machine. Where giving up earlier, or going no way at all, costs less, that
    is done.
    """
    best: Cures | None = None
    ways = [
        number
        for number, setup in enumerate(bill.setup_money, start=1)
        if setup > 0.0 and (bill.group == number).any()
    ]
    for size in range(len(ways) + 1):
        for never in combinations(ways, size):
            found = _in_order(behind, bill, never)
            best = found if best is None else _cheaper(best, found)
    if best is None:
        raise TypeError("no way was tried")
    return best


def _cheaper(a: Cures, b: Cures) -> Cures:
    """Row by row the one that costs less, the first where both cost the same."""
    less = b.money < a.money * (1.0 - 1e-12)
    return Cures(
        np.where(less, b.money, a.money),
        np.where(less[:, None], b.order, a.order),
        np.where(less, b.steps, a.steps),
    )


def _in_order(behind: Floats, bill: Bill, never: tuple[int, ...]) -> Cures:
    """The best order without the repairs whose way is `never` gone."""
    rows, causes = behind.shape
    done = ~np.isin(bill.group, never)
    useful = np.where(done, behind, 0.0)
    ratio = useful / bill.repair_money
    order = np.argsort(-ratio, axis=1, kind="stable")
    urgent = np.take_along_axis(ratio, order, axis=1)
    for number, setup in enumerate(bill.setup_money, start=1):
        member = bill.group[order] == number
        if setup > 0.0 and number not in never and member.any():
            p = np.take_along_axis(useful, order, axis=1)
            urgent = _in_block(urgent, p, bill.repair_money[order], member, setup)
    again = np.argsort(-urgent, axis=1, kind="stable")
    order = np.take_along_axis(order, again, axis=1)
    p, group = np.take_along_axis(useful, order, axis=1), bill.group[order]
    money = bill.repair_money[order]
    for number, setup in enumerate(bill.setup_money, start=1):
        member = group == number
        if setup > 0.0 and member.any():
            money[np.arange(rows), np.argmax(member, axis=1)] += setup * member.any(axis=1)
    nothing = np.maximum(0.0, 1.0 - behind.sum(axis=1)) + behind[:, ~done].sum(axis=1)
    left = np.empty((rows, causes + 1))
    left[:, causes] = nothing
    left[:, :causes] = np.cumsum(p[:, ::-1], axis=1)[:, ::-1] + nothing[:, None]
    np.minimum(left, 1.0, out=left)
    # whoever knows more has to cure each fault too; another machine has none of them
    faults = np.maximum(1.0, behind.sum(axis=1))
    total = left * np.minimum(bill.help_money * faults, bill.swap_money)[:, None]
    total[:, 1:] += np.cumsum(money * left[:, :causes], axis=1)
    steps = np.argmin(total, axis=1)
    return Cures(total[np.arange(rows), steps], order, steps)


def _in_block(urgent: Floats, p: Floats, money: Floats, member: Truths, setup: float) -> Floats:
    """Urgency with a shared way taken in: the best first part of the group has that of the whole.

    All in the order of falling urgency of each by itself.
    """
    chance = np.cumsum(np.where(member, p, 0.0), axis=1)
    price = setup + np.cumsum(np.where(member, money, 0.0), axis=1)
    whole = chance / price
    best = np.argmax(whole, axis=1)
    at_best = np.take_along_axis(whole, best[:, None], axis=1)
    inside = member & (np.arange(p.shape[1]) <= best[:, None])
    answer: Floats = np.where(inside, np.minimum(urgent, at_best), urgent)
    return answer
