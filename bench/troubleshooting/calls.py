"""Calls rehearsed from the network itself: how well the next step is chosen, knowing what it knows.

    python -m bench.troubleshooting.calls [--calls 300] [--several] [--seed 5]
        [--rates-off 3] [--prices-off 2]

A world is drawn from the priors (one cause, or with --several every cause by its own) and from the
links; somebody calls for one symptom, with all that its causes make people report; records show
what they would. Then each step is followed until no reported symptom is left: a check answers as
the world is; a repair takes its cause away. The oracle knows what to repair; the best order of
repairs knows the true numbers. With --rates-off, who decides believes each rate times or over that
number, by chance; with --prices-off likewise the minutes of every check and repair; what is paid
is the truth.
"""

from __future__ import annotations

import argparse
from dataclasses import dataclass, replace

import numpy as np

from balewright.cause.evidence_value import NO, YES, Seen
from balewright.cause.facts import machine_facts
from balewright.cause.laid_out import LaidOut, weigh
from balewright.cause.network import Hands, Kind, Network
from balewright.cause.next_check.advise import Desk, advise, desk_of
from balewright.cause.next_check.bill import check_money
from balewright.cause.next_check.costs import Costs
from balewright.cause.next_check.step import Deed, Step
from balewright.cause.rank import rank_laid
from balewright.readers.fault_network import shipped_network
from balewright.readers.profile import shipped_profiles

HOUSE = Costs(
    hour_money=60.0, operator_hour_money=25.0, workshop_hour_money=70.0, travel_h=1.5,
    travel_money=40.0, haul_h=3.0, haul_money=100.0, part_days=1.0, standing_money_h=50.0,
)  # fmt: skip
MOST_STEPS = 150


@dataclass
class World:
    """there[n]: causes; fires[m, n]: which of them turns what on; leaks[m]: what is on anyway."""

    there: np.ndarray
    fires: np.ndarray
    leaks: np.ndarray

    def on(self, at: int) -> bool:
        """Whether an observation is on."""
        return bool(self.fires[at].any() or self.leaks[at])


@dataclass(frozen=True)
class Call:
    """What one call came to."""

    money: float
    alone_money: float
    oracle_money: float
    checks: int
    repairs: int
    place: int
    cured: bool


def draw(laid: LaidOut, rng: np.random.Generator, several: bool) -> tuple[World, list[int]]:
    """A world in which somebody has something to report, and what could be reported."""
    prior, leak = laid.arrays.prior_frac, laid.arrays.leak_frac
    odds = prior / (1.0 - prior)
    kinds = [one.kind for one in laid.network.observations]
    while True:
        there = rng.random(prior.size) < prior
        if not several:
            there = np.arange(prior.size) == rng.choice(prior.size, p=odds / odds.sum())
        fires = (rng.random(laid.chance.shape) < laid.chance) & there
        world = World(there, fires, rng.random(leak.size) < leak)
        reports = [
            at
            for at, kind in enumerate(kinds)
            if kind is Kind.REPORT and leak[at] < 0.05 and fires[at].any()
        ]
        if reports:
            return world, reports


def evidence_at_opening(laid: LaidOut, world: World, causes: np.ndarray) -> dict[str, Seen]:
    """Reports of the causes somebody calls for, and all that records would show."""
    seen: dict[str, Seen] = {}
    for at, one in enumerate(laid.network.observations):
        if one.kind is Kind.REPORT and world.fires[at, causes].any():
            seen[one.key] = YES
        if one.kind is Kind.FINDING:
            seen[one.key] = YES if world.on(at) else NO
    return seen


@dataclass(frozen=True)
class House:
    """truth: the network as it is; belief: as who decides has it; costs: of both."""

    truth: Network
    belief: Network
    costs: Costs

    def desks(self, exposure: dict[str, float]) -> tuple[Desk, Desk]:
        """Both laid out."""
        return desk_of(self.truth, self.costs, exposure), desk_of(self.belief, self.costs, exposure)


def paid_money(true: Desk, step: Step) -> float:
    """What a step really costs."""
    prices, there = true.prices, true.prices.there
    if step.check is not None:
        at = np.array([true.laid.observation_at[step.check]])
        return float(check_money(true.laid.network, prices, at, there)[0])
    if step.cause is None:
        return step.step_money
    bill, at = true.bills[there], true.laid.cause_at[step.cause]
    group = int(bill.group[at])
    return float(bill.repair_money[at]) + (bill.setup_money[group - 1] if group else 0.0)


def play(house: House, rng: np.random.Generator, several: bool) -> Call:
    """One call from its opening to its end."""
    exposure: dict[str, float] = {}
    true, desk = house.desks(exposure)
    laid = desk.laid
    world, reports = draw(true.laid, rng, several)
    causes = np.flatnonzero(world.fires[rng.choice(reports)])
    seen = evidence_at_opening(laid, world, causes)
    wanted = [
        at
        for at, one in enumerate(laid.network.observations)
        if one.kind is Kind.REPORT and one.leak_frac < 0.05 and seen.get(one.key) is YES
    ]
    oracle = oracle_money(true, causes)
    ranking = rank_laid(laid, weigh(laid, seen))
    keys = {laid.network.causes[at].key for at in causes}
    place = next(n for n, one in enumerate(ranking.causes, 1) if one.key in keys)
    money = alone = 0.0
    checks = repairs = 0
    for number in range(MOST_STEPS):
        advice = advise(desk, weigh(desk.laid, seen))
        step = advice.step
        if number == 0:
            alone = advise(true, weigh(true.laid, seen)).repair_money
        money += paid_money(true, step)
        if step.check is not None:
            checks += 1
            seen[step.check] = YES if world.on(laid.observation_at[step.check]) else NO
        elif step.cause is not None:
            repairs += 1
            exposure[step.cause] = 0.0
            world.fires[:, laid.cause_at[step.cause]] = False
            if not any(world.fires[at].any() for at in wanted):
                return Call(money, alone, oracle, checks, repairs, place, True)
            for at in wanted:
                seen[laid.network.observations[at].key] = YES if world.on(at) else NO
        else:
            break
        if step.deed is Deed.SEND or step.cause is not None:
            there = step.who if step.deed is Deed.SEND else house.costs.there
            house = replace(house, costs=replace(house.costs, there=there))
            true, desk = house.desks(exposure)
    return Call(money, alone, oracle, checks, repairs, place, False)


def believed(
    network: Network, rng: np.random.Generator, rates_off: float, prices_off: float
) -> Network:
    """The network with each rate and each price off by a factor, up or down by chance."""

    def off(by: float) -> float:
        return by if rng.random() < 0.5 else 1.0 / by

    causes = tuple(
        replace(
            one,
            arises_per_1000=one.arises_per_1000 * off(rates_off),
            repair=replace(one.repair, minutes=one.repair.minutes * off(prices_off)),
        )
        for one in network.causes
    )
    seen = tuple(
        one
        if one.check is None
        else replace(one, check=replace(one.check, minutes=one.check.minutes * off(prices_off)))
        for one in network.observations
    )
    return replace(network, causes=causes, observations=seen)


def oracle_money(desk: Desk, causes: np.ndarray) -> float:
    """Every cause repaired at once, each way gone once."""
    bill = desk.bills[Hands.OPERATOR]
    ways = {int(bill.group[at]) for at in causes} - {0}
    return float(bill.repair_money[causes].sum() + sum(bill.setup_money[n - 1] for n in ways))


def main() -> None:
    """Print one row of figures."""
    parser = argparse.ArgumentParser(prog="python -m bench.troubleshooting.calls")
    parser.add_argument("--calls", type=int, default=300)
    parser.add_argument("--seed", type=int, default=5)
    parser.add_argument("--several", action="store_true")
    parser.add_argument("--rates-off", type=float, default=1.0)
    parser.add_argument("--prices-off", type=float, default=1.0)
    given = parser.parse_args()
    facts = machine_facts(shipped_profiles()["mossgrinder-m2"])
    network = shipped_network().for_machine(facts)
    costs = replace(HOUSE, parts_to_hand=frozenset(network.part_by_key))
    rng = np.random.default_rng(given.seed)
    belief = believed(network, np.random.default_rng(1), given.rates_off, given.prices_off)
    house = House(network, belief, costs)
    calls = [play(house, rng, given.several) for _ in range(given.calls)]

    def mean(name: str) -> float:
        return float(np.mean([getattr(one, name) for one in calls]))

    first, third = (np.mean([one.place <= n for one in calls]) for n in (1, 3))
    print("| causes, observations | first | first three | cost | repairs alone | oracle | checks |")
    print("|---|---|---|---|---|---|---|")
    print(
        f"| {len(network.causes)}, {len(network.observations)} | {first:.0%} | {third:.0%} | "
        f"{mean('money'):.0f} | {mean('alone_money'):.0f} | {mean('oracle_money'):.0f} | "
        f"{mean('checks'):.1f} |"
    )
    print(f"cured {mean('cured'):.1%}, repairs {mean('repairs'):.2f}")


if __name__ == "__main__":
    main()
