"""Calls rehearsed from the network itself: how well the next step is chosen, knowing what it knows.

    python -m bench.troubleshooting.calls [--calls 300] [--several] [--seed 5]

A world is drawn from the priors (one cause, or with --several every cause by its own) and from the
links; somebody calls for one symptom, with all that its causes make people report; records show
what they would. Then each step is followed until no reported symptom is left: a check answers as
the world is; a repair takes its cause away. The oracle knows what to repair.
"""

from __future__ import annotations

import argparse
from dataclasses import dataclass, replace

import numpy as np

from balewright.cause.evidence_value import NO, YES, Seen
from balewright.cause.facts import machine_facts
from balewright.cause.laid_out import LaidOut, weigh
from balewright.cause.network import Hands, Kind
from balewright.cause.next_check.advise import Desk, advise, desk_of
from balewright.cause.next_check.costs import Costs
from balewright.cause.next_check.step import Deed
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


def play(desk: Desk, rng: np.random.Generator, several: bool) -> Call:
    """One call from its opening to its end."""
    laid, costs = desk.laid, replace(HOUSE, parts_to_hand=desk.prices.parts_to_hand)
    world, reports = draw(laid, rng, several)
    causes = np.flatnonzero(world.fires[rng.choice(reports)])
    seen = evidence_at_opening(laid, world, causes)
    wanted = [
        laid.observation_at[key]
        for key, answer in seen.items()
        if answer is YES and laid.network.observation_by_key[key].kind is Kind.REPORT
        and laid.network.observation_by_key[key].leak_frac < 0.05
    ]  # fmt: skip
    oracle = oracle_money(desk, causes)
    ranking = rank_laid(laid, weigh(laid, seen))
    keys = {laid.network.causes[at].key for at in causes}
    place = next(n for n, one in enumerate(ranking.causes, 1) if one.key in keys)
    money = alone = 0.0
    checks = repairs = 0
    exposure: dict[str, float] = {}
    for number in range(MOST_STEPS):
        advice = advise(desk, weigh(laid, seen))
        step = advice.step
        alone = advice.repair_money if number == 0 else alone
        money += step.step_money
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
            there = step.who if step.deed is Deed.SEND else costs.there
            costs = replace(costs, there=there)
            desk = desk_of(laid.network, costs, exposure)
            laid = desk.laid
    return Call(money, alone, oracle, checks, repairs, place, False)


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
    given = parser.parse_args()
    facts = machine_facts(shipped_profiles()["mossgrinder-m2"])
    network = shipped_network().for_machine(facts)
    costs = replace(HOUSE, parts_to_hand=frozenset(network.part_by_key))
    desk = desk_of(network, costs)
    rng = np.random.default_rng(given.seed)
    calls = [play(desk, rng, given.several) for _ in range(given.calls)]

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
