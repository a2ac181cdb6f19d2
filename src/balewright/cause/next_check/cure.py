"""What it is expected to cost until the trouble is gone, by repairs alone."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from balewright.cause.infer.arrays import Floats, Ints
from balewright.cause.next_check.bill import Bill


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

    With one fault and no ways, the order by chance over price costs least (Heckerman, Breese and
    Rommelse 1995; source key `heckerman-troubleshooting-1995`). A way that several repairs share
    (sending somebody) is paid once, before the first of them: then the least has the way and the
    repairs that go with it as one block, with the best chance over price that any first part of
    them has (source key `ottosen-jensen-2010`). The chance that a repair is still
    paid for is the chance that its cause or a later one is behind the trouble, at most the sum of
    their chances: exact for one fault, never too low for several. What no cause is behind goes all
    the way, and giving up costs `help_money`; where giving up earlier costs less, it is earlier.
    """
    rows, causes = behind.shape
    ratio = behind / bill.repair_money
    order = np.argsort(-ratio, axis=1, kind="stable")
    urgent = np.take_along_axis(ratio, order, axis=1)
    group = bill.group[order]
    p = np.take_along_axis(behind, order, axis=1)
    money = bill.repair_money[order]
    for number, setup in enumerate(bill.setup_money, start=1):
        if setup > 0.0 and (bill.group == number).any():
            urgent = _in_block(urgent, p, money, group == number, setup)
    again = np.argsort(-urgent, axis=1, kind="stable")
    order = np.take_along_axis(order, again, axis=1)
    group = np.take_along_axis(group, again, axis=1)
    p = np.take_along_axis(p, again, axis=1)
    money = np.take_along_axis(money, again, axis=1)
    for number, setup in enumerate(bill.setup_money, start=1):
        member = group == number
        if setup > 0.0 and member.any():
            first = np.argmax(member, axis=1)
            money[np.arange(rows), first] += np.where(member.any(axis=1), setup, 0.0)
    nothing = np.maximum(0.0, 1.0 - p.sum(axis=1))
    left = np.empty((rows, causes + 1))
    left[:, causes] = nothing
    left[:, :causes] = np.cumsum(p[:, ::-1], axis=1)[:, ::-1] + nothing[:, None]
    np.minimum(left, 1.0, out=left)
    total = left * bill.help_money
    total[:, 1:] += np.cumsum(money * left[:, :causes], axis=1)
    steps = np.argmin(total, axis=1)
    return Cures(total[np.arange(rows), steps], order, steps)


def _in_block(urgent: Floats, p: Floats, money: Floats, member: Floats, setup: float) -> Floats:
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
