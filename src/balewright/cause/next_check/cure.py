"""What it is expected to cost until the trouble is gone, by repairs alone."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.cause.infer.arrays import Floats, Ints
from balewright.cause.next_check.bill import Bill

Truths = NDArray[np.bool_]

_ROUNDING: Final = 1e-12


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
    for several. What no cause is behind goes all the way to giving up: another machine, or somebody
    who knows more, who finds the cause and has it repaired. Where giving up earlier, or going no
    way at all, costs less, that is done: with another machine the least of all orders, with
    somebody who knows more the least of all stops along this one.
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
    order = _falling(ratio)
    urgent = np.take_along_axis(ratio, order, axis=1)
    for number, setup in enumerate(bill.setup_money, start=1):
        member = bill.group[order] == number
        if setup > 0.0 and number not in never and member.any():
            p = np.take_along_axis(useful, order, axis=1)
            urgent = _in_block(urgent, p, bill.repair_money[order], member, setup)
    again = _falling(urgent)
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
    left[:, :causes] = _from_here(p) + nothing[:, None]
    np.minimum(left, 1.0, out=left)
    total = np.minimum(
        _times(left, bill.swap_money), _times(left, bill.help_money) + _found(behind, bill, order)
    )
    total[:, 1:] += np.cumsum(money * left[:, :causes], axis=1)
    steps = np.argmin(total, axis=1)
    return Cures(total[np.arange(rows), steps], order, steps)


def _found(behind: Floats, bill: Bill, order: Ints) -> Floats:
    """After each number of repairs, what repairing the cause costs once somebody has found it.

    Whoever finds it is there, so that only the way to the workshop may still be to go.
    """
    rows, causes = order.shape
    p, group = np.take_along_axis(behind, order, axis=1), bill.group[order]
    rest = np.zeros((rows, causes + 1))
    rest[:, :causes] = _from_here(p * bill.repair_money[order])
    haul, hauled = bill.setup_money[1], group == 2
    if haul > 0.0 and hauled.any():
        gone = np.cumsum(hauled, axis=1) - hauled > 0
        rest[:, :causes] += haul * np.where(gone, 0.0, _from_here(np.where(hauled, p, 0.0)))
    return rest


def _falling(urgent: Floats) -> Ints:
    """Places by falling urgency; equal ones stay in their order, whatever their last digit."""
    most = urgent.max(axis=1, initial=0.0)
    shares = np.round(urgent / np.where(most > 0.0, most, 1.0)[:, None], 12)
    answer: Ints = np.argsort(-shares, axis=1, kind="stable")
    return answer


def _times(left: Floats, price_money: float) -> Floats:
    """Chance times price; of what cannot be had at any price nothing, where it is never needed."""
    if math.isfinite(price_money):
        return left * price_money
    answer: Floats = np.where(left > _ROUNDING, math.inf, 0.0)
    return answer


def _from_here(values: Floats) -> Floats:
    """Sum of each and all later ones, row by row."""
    answer: Floats = np.cumsum(values[:, ::-1], axis=1)[:, ::-1]
    return answer


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
