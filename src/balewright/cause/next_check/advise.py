"""The next step for a machine: a check, a repair, somebody on the way, another machine."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

import numpy as np

from balewright.cause.evidence_value import Seen
from balewright.cause.laid_out import LaidOut, Weighed, lay_out, weigh
from balewright.cause.network import Hands, Network
from balewright.cause.next_check.bill import HANDS, Bill, bill_of, check_money
from balewright.cause.next_check.choose import Choice, Outcomes, choose
from balewright.cause.next_check.costs import Costs, Prices, prices_of
from balewright.cause.next_check.prospect import Prospect, prospect_of
from balewright.cause.next_check.safe import refuse_unsafe
from balewright.cause.next_check.step import Advice
from balewright.cause.next_check.telling import Found, advice_of, nothing_to_do


@dataclass(frozen=True, eq=False)
class Desk:
    """What stays the same from one answer to the next: the network laid out, prices, and the
    bills of all causes by who is there; may_wait: whether a check may wait for a repair that comes
    first whatever it says.
    """

    laid: LaidOut
    prices: Prices
    bills: Mapping[Hands, Bill]
    may_wait: bool = True


def desk_of(network: Network, costs: Costs, exposure: Mapping[str, float] | None = None) -> Desk:
    """Lay out a network and its prices. Raises BadInput where a step's cautions are undecided."""
    refuse_unsafe(network)
    prices = prices_of(costs)
    bills = {there: bill_of(network, prices, there) for there in HANDS}
    return Desk(lay_out(network, exposure), prices, bills)


def next_step(
    network: Network,
    evidence: Mapping[str, Seen],
    costs: Costs,
    exposure: Mapping[str, float] | None = None,
    complaint: Collection[str] | None = None,
) -> Advice:
    """What to do next so that it costs least until the machine bales well again.

    network: the machine's part of it; evidence: what is known, by key of the observation (an
    answer "unknown" is not asked for again); costs: what is known of them; exposure: as
    `rank_causes` takes it, 0 for a cause that was put right without the trouble ending; complaint:
    as `rank_causes` takes it.

    Raises BadInput where a step of the network has its cautions undecided, NotAnswerable where
    the evidence has no exact answer.
    """
    desk = desk_of(network, costs, exposure)
    return advise(desk, weigh(desk.laid, evidence, complaint))


def advise(desk: Desk, weighed: Weighed) -> Advice:
    """The same for what is laid out already."""
    prospect = prospect_of(desk.laid, weighed)
    if prospect is None:
        return nothing_to_do(desk.prices)
    return advice_of(found_in(desk, prospect))


def found_in(desk: Desk, prospect: Prospect) -> Found:
    """What every check is worth, from a prospect."""
    there = desk.prices.there
    network = desk.laid.network
    by = [_by(network, int(at)) for at in prospect.checks]
    after = np.array([max(0, HANDS.index(one) - HANDS.index(there)) for one in by], dtype=np.int64)
    states = HANDS[HANDS.index(there) :]
    bills = tuple(desk.bills[state].of(prospect.causes) for state in states)
    money = check_money(network, desk.prices, prospect.checks, there)
    outcomes = Outcomes(prospect.on_frac, prospect.if_on, prospect.if_off, money, after)
    choice: Choice = choose(prospect.now, outcomes, bills, desk.may_wait)
    return Found(network, desk.prices, prospect, money, bills[0], choice)


def _by(network: Network, at: int) -> Hands:
    check = network.observations[at].check
    return Hands.WORKSHOP if check is None else check.by
