"""What it costs until a fault is put right: step by step, by fixed orders, knowing the answer.

Each season with a known fault becomes a call: records and what the driver says. Checks answer as
the network says they do where the true cause alone is there, the same for every policy; a repair
helps where it is of the true cause. That the same network answers and asks makes these figures
ones of the choice, not of the knowledge.
"""

from __future__ import annotations

import zlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from balewright.cause.evidence_value import NO, YES, Seen
from balewright.cause.laid_out import weigh
from balewright.cause.network import Hands, Network
from balewright.cause.next_check.advise import Desk, advise, desk_of
from balewright.cause.next_check.bill import HANDS
from balewright.cause.next_check.costs import Costs
from balewright.cause.next_check.step import Deed

HOUSE = Costs(
    hour_money=70.0, operator_hour_money=30.0, workshop_hour_money=80.0, travel_h=1.5,
    travel_money=40.0, haul_h=3.0, haul_money=200.0, part_days=1.0, standing_money_h=60.0,
)  # fmt: skip
"""An invented house; assumed."""
MOST_STEPS = 60
SCALES = {"as they are": 1.0, "halved": 0.5, "doubled": 2.0}


@dataclass(frozen=True, eq=False)
class Call:
    """A season as a call: the machine's network, its true cause, what is known at first."""

    key: str
    network: Network
    true: str
    seen: Mapping[str, Seen]


def scaled(costs: Costs, times: float) -> Costs:
    """All amounts of money (not hours) times so much."""
    money = {
        name: times * amount
        for name, amount in vars(costs).items()
        if name.endswith(("money", "money_h")) and amount is not None
    }
    return replace(costs, **money)


def misjudged(network: Network, times: float = 3.0) -> Network:
    """The network with every base rate wrong by so many times, up or down by turns of its key."""
    causes = tuple(
        replace(one, arises_per_1000=one.arises_per_1000 * times ** _side(one.key))
        for one in network.causes
    )
    return replace(network, causes=causes)


def _side(key: str) -> int:
    return 1 if zlib.crc32(key.encode()) % 2 else -1


def reads(call: Call, check: str) -> bool:
    """Whether a check reads bad with the true cause alone there: once for all policies."""
    links = {link.cause: link.chance_frac for link in call.network.shown_by[check]}
    leak = call.network.observation(check).leak_frac
    on_frac = 1.0 - (1.0 - leak) * (1.0 - links.get(call.true, 0.0))
    chance = np.random.default_rng(zlib.crc32(f"{call.key} {check}".encode()))
    return bool(chance.random() < on_frac)


def step_by_step(call: Call, costs: Costs, believed: Network) -> tuple[float, bool]:
    """Money until cured or given up, and whether cured. believed: the network that advises."""
    seen, done, spent, there = dict(call.seen), dict[str, float](), 0.0, Hands.OPERATOR
    for _ in range(MOST_STEPS):
        desk = desk_of(believed, replace(costs, there=there), done)
        step = advise(desk, weigh(desk.laid, seen)).step
        if step.deed in (Deed.SWAP, Deed.ASK, Deed.NOTHING):
            return spent + desk.prices.help_money, False
        if step.check is not None:
            spent += step.step_money
            there = _now_there(there, believed.observation(step.check).check)
            seen[step.check] = YES if reads(call, step.check) else NO
        elif step.cause is not None:
            money, there = repair_money(desk, there, step.cause)
            spent += money
            if step.cause == call.true:
                return spent, True
            done[step.cause] = 0.0
        else:
            raise AssertionError(f"{call.key}: a step without check and cause: {step.deed}")
    return spent + desk.prices.help_money, False


def _now_there(there: Hands, needs: object) -> Hands:
    by = getattr(needs, "by", Hands.OPERATOR)
    return max(there, by, key=HANDS.index)


def repair_money(desk: Desk, there: Hands, cause: str) -> tuple[float, Hands]:
    """What a repair costs with the way to it, and who is there then."""
    bill = desk.bills[there]
    at = desk.laid.cause_at[cause]
    group = int(bill.group[at])
    setup = bill.setup_money[group - 1] if group else 0.0
    by = desk.laid.network.causes[at].repair.by
    return float(bill.repair_money[at]) + setup, max(there, by, key=HANDS.index)


def in_order(call: Call, costs: Costs, order: Sequence[str]) -> float:
    """Money of repairs in an order fixed before, until the true one."""
    spent, there = 0.0, Hands.OPERATOR
    desk = desk_of(call.network, costs)
    for cause in order:
        money, there = repair_money(desk, there, cause)
        spent += money
        if cause == call.true or spent > 20.0 * desk.prices.help_money:
            return spent
    return spent + desk.prices.help_money


def fixed_order(call: Call, costs: Costs) -> list[str]:
    """Repairs by base rate over price, of the systems the call is about, then of all others."""
    desk = desk_of(call.network, costs)
    bill = desk.bills[Hands.OPERATOR]
    near = {call.network.observation(key).system for key, one in call.seen.items() if one == YES}
    worth = desk.laid.arrays.prior_frac / bill.repair_money
    keys = [one.key for one in call.network.causes]
    systems = [one.system in near for one in call.network.causes]
    places = sorted(range(len(keys)), key=lambda at: (not systems[at], -worth[at]))
    return [keys[at] for at in places]


def by_first_ranking(call: Call, costs: Costs) -> list[str]:
    """Repairs by what the call alone makes likely, over price; no checks."""
    desk = desk_of(call.network, costs)
    advice = advise(desk, weigh(desk.laid, call.seen))
    likely = [one.cause for one in advice.repairs]
    return [*likely, *(key for key in fixed_order(call, costs) if key not in likely)]


def policies(call: Call) -> dict[str, float]:
    """Money of each policy for one call, as multiples of knowing the answer where it ends so."""
    row: dict[str, float] = {}
    wrong = misjudged(call.network)
    for name, times in SCALES.items():
        costs = scaled(HOUSE, times)
        desk = desk_of(call.network, costs)
        knowing, _ = repair_money(desk, Hands.OPERATOR, call.true)
        row[f"knowing, {name}"] = knowing
        row[f"step by step, {name}"], cured = step_by_step(call, costs, call.network)
        row[f"cured, {name}"] = float(cured)
        row[f"fixed order, {name}"] = in_order(call, costs, fixed_order(call, costs))
        row[f"first ranking, {name}"] = in_order(call, costs, by_first_ranking(call, costs))
    row["step by step, rates wrong"], cured = step_by_step(call, HOUSE, wrong)
    row["cured, rates wrong"] = float(cured)
    return row
