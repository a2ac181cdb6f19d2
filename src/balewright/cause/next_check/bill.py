"""What each repair and each check of a network costs, as arrays."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from balewright.cause.infer.arrays import Floats, Ints
from balewright.cause.network import Hands, Network
from balewright.cause.next_check.costs import BETWEEN_H, Prices

HANDS: Final = (Hands.OPERATOR, Hands.TECHNICIAN, Hands.WORKSHOP)
"""In the order of what it takes to have them there."""
_LEAST: Final = 1e-9
"""Of a repair's price, so that chance over price stays a number."""


@dataclass(frozen=True, eq=False)
class Bill:
    """Prices of all repairs as seen from where things stand.

    repair_money[n]: work, waiting, parts, and what a missing one costs; group[n]: 0 can be done as
    things stand, 1 wants a technician sent first, 2 the machine in the workshop; setup_money:
    of group 1 and 2, 0 where that is done; help_money: somebody who knows more comes and
    finds it, infinite where nobody does; swap_money: another machine, infinite where none is had.
    """

    repair_money: Floats
    group: Ints
    setup_money: tuple[float, float]
    help_money: float
    swap_money: float = math.inf

    def of(self, at: Ints) -> Bill:
        """The bill of some of the causes."""
        return replace(self, repair_money=self.repair_money[at], group=self.group[at])


def bill_of(network: Network, prices: Prices, there: Hands) -> Bill:
    """The bill of a network's repairs with `there` at the machine already."""
    by = np.array([HANDS.index(one.repair.by) for one in network.causes], dtype=np.int64)
    hours = np.array([one.repair.minutes / 60.0 for one in network.causes])
    money = hours * (_hour(prices, there)[by] + prices.standing_money_h)
    for at, one in enumerate(network.causes):
        parts = one.repair.parts
        if parts and prices.in_money:
            money[at] += sum(network.part_by_key[key].money for key in parts)
        money[at] += missing_frac(prices, parts) * prices.missing_money
    stands = HANDS.index(there)
    setup = tuple(
        0.0 if stands >= group else amount
        for group, amount in ((1, prices.trip_money), (2, prices.haul_money))
    )
    group = np.where(by > stands, by, 0)
    swap = math.inf if prices.swap_money is None else prices.swap_money
    return Bill(np.maximum(money, _LEAST), group, (setup[0], setup[1]), prices.help_money, swap)


def missing_frac(prices: Prices, parts: tuple[str, ...]) -> float:
    """Chance that a repair has to wait for one of its parts."""
    if not parts:
        return 0.0
    if prices.parts_to_hand is None:
        return prices.missing_frac
    return float(any(key not in prices.parts_to_hand for key in parts))


def check_money(network: Network, prices: Prices, at: Ints, there: Hands) -> Floats:
    """What each check costs, the way to it in it. at[c]: places of checks."""
    stands = HANDS.index(there)
    hour = _hour(prices, there)
    setup = (0.0, prices.trip_money, prices.haul_money)
    found = np.zeros(at.size)
    for row, one in enumerate(at):
        check = network.observations[one].check
        if check is None:
            raise TypeError(f"{network.observations[one].key} is no check")
        by = HANDS.index(check.by)
        hours = check.minutes / 60.0 + BETWEEN_H
        found[row] = hours * (hour[by] + prices.standing_money_h)
        found[row] += check.money if prices.in_money else 0.0
        found[row] += setup[by] if by > stands else 0.0
    return found


def _hour(prices: Prices, there: Hands) -> Floats:
    """An hour by who works; whoever is there is paid while somebody lesser works."""
    each = np.array([money for _, money in prices.hour_money])
    stands = HANDS.index(there)
    if stands:
        each[:stands] = each[stands]
    return each
