"""The whole answer on cost: the bale, what settings change, owning or hiring, the spread."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from balewright.plan.cost.bale_cost import BaleCost, cost_of
from balewright.plan.cost.break_even import bales_to_own
from balewright.plan.cost.changes import Change, changes_of
from balewright.plan.cost.job import Job, made_of
from balewright.plan.cost.outlay import Made, Outlay
from balewright.plan.cost.spread import cost_ends
from balewright.quantities.interval import Interval


@dataclass(frozen=True)
class Hired:
    """A rate somebody asks: bale_money; leave_out: parts of one's own bale it does not cover."""

    bale_money: float
    leave_out: tuple[str, ...] = ()


@dataclass(frozen=True)
class CostAnswer:
    """made: the bale; cost: of it; changes: one setting at a time; hired: what was asked, None
    where nothing was; own_from_bales: bales a year from which owning costs less than that, None
    where it never does or nothing was asked; ends: money a tonne of dry matter with uncertain
    inputs, None where none were given.
    """

    made: Made
    cost: BaleCost
    changes: tuple[Change, ...]
    hired: Hired | None = None
    own_from_bales: float | None = None
    ends: Interval | None = None


def answer_cost(
    job: Job,
    outlay: Outlay,
    hired: Hired | None = None,
    spread: Mapping[str, Interval] | None = None,
) -> CostAnswer:
    """Everything a page on cost shows, for `job` at the prices of `outlay`.

    hired: a rate to hold the own cost against; spread: uncertain inputs as `cost_ends` takes
    them. About 20 ms with a rate, 1 ms without. Source keys: `iowa-a3-29`, `colorado-3759`.
    """
    made = made_of(job)
    own_from = None if hired is None else bales_to_own(
        made, outlay, hired.bale_money, hired.leave_out
    )  # fmt: skip
    return CostAnswer(
        made=made,
        cost=cost_of(made, outlay),
        changes=changes_of(job, outlay),
        hired=hired,
        own_from_bales=own_from,
        ends=cost_ends(made, outlay, spread) if spread else None,
    )
