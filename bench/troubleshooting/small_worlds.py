"""Small worlds with one fault, solved by trying everything: what the best policy costs.

How far the step-by-step choice is from it over 300 worlds: `python -m bench.troubleshooting`.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, replace
from functools import cache

import numpy as np

from balewright.cause.next_check.bill import Bill
from balewright.cause.next_check.choose import Outcomes, choose
from balewright.cause.next_check.cure import expected_cures


@dataclass(frozen=True)
class World:
    """One fault among n, its chances; what each repair costs and which way it wants; checks with
    their prices, ways, and how often each shows each fault. swap_money: another machine;
    help_money: somebody who knows finds the fault, which is then repaired.
    """

    p: tuple[float, ...]
    money: tuple[float, ...]
    group: tuple[int, ...]
    setup: tuple[float, float]
    swap_money: float
    help_money: float = math.inf
    check_money: tuple[float, ...] = ()
    check_group: tuple[int, ...] = ()
    shows: tuple[tuple[float, ...], ...] = ()


def random_world(rng: np.random.Generator, causes: int, checks: int, ways: bool) -> World:
    """A world by chance."""
    p = rng.dirichlet(np.full(causes, 0.8))
    hit = rng.random((checks, causes)) < 0.4
    shows = np.where(hit, rng.uniform(0.7, 0.98, hit.shape), rng.uniform(0.01, 0.15, hit.shape))
    return World(
        tuple(p * rng.uniform(0.85, 1.0)),
        tuple(rng.uniform(5.0, 120.0, causes)),
        tuple(int(one) for one in rng.integers(0, 3 if ways else 1, causes)),
        (60.0, 150.0) if ways else (0.0, 0.0),
        float(rng.uniform(150.0, 500.0)),
        math.inf,
        tuple(rng.uniform(1.0, 20.0, checks)),
        tuple(int(one) for one in rng.integers(0, 2 if ways else 1, checks)),
        tuple(map(tuple, shows)),
    )


def bills(world: World) -> tuple[Bill, ...]:
    """As things stand, after somebody was sent, and with the machine in the workshop."""
    group, money = np.array(world.group), np.array(world.money)
    made = []
    for stands in range(3):
        setup = tuple(0.0 if stands > at else way for at, way in enumerate(world.setup))
        at_hand = np.where(group > stands, group, 0)
        ways = (setup[0], setup[1])
        made.append(Bill(money, at_hand, ways, world.help_money, world.swap_money))
    return tuple(made)


class Policies:
    """What the best policy and the step-by-step one cost, from any state.

    A state: which causes were repaired, what each check said (None not made), who is there.
    """

    def __init__(self, world: World) -> None:
        self.world, self.bills = world, bills(world)
        self.best = cache(self._best)
        self.stepwise = cache(self._stepwise)

    @property
    def start(self) -> tuple:
        """Nothing done."""
        return (), (None,) * len(self.world.check_money), 0

    def chances(self, repaired, said) -> tuple[np.ndarray, float]:
        """Of each cause, given what was found and that the trouble lasts; and that of none."""
        p = np.append(self.world.p, 1.0 - sum(self.world.p))
        for row, answer in enumerate(said):
            if answer is not None:
                # a check shows what is no cause at all as often as its rarest one
                on = np.append(self.world.shows[row], min(self.world.shows[row]))
                p *= on if answer else 1.0 - on
        p[list(repaired)] = 0.0
        p /= p.sum()
        return p[:-1], p[-1]

    def way(self, group: int, there: int) -> float:
        """What getting somebody there costs still."""
        return self.world.setup[group - 1] if group > there else 0.0

    def repair(self, at: int, state: tuple, value) -> float:
        """Repair that cause, then go on."""
        repaired, said, there = state
        chance = self.chances(repaired, said)[0][at]
        group = self.world.group[at]
        money = self.world.money[at] + self.way(group, there)
        if 1.0 - chance < 1e-12:
            return money
        after = (tuple(sorted((*repaired, at))), said, max(there, group))
        return money + (1.0 - chance) * value(after)

    def on_frac(self, row: int, state: tuple) -> float:
        """Chance that a check shows a fault."""
        p, none = self.chances(state[0], state[1])
        shows = self.world.shows[row]
        return float(p @ shows + none * min(shows))

    def check(self, row: int, state: tuple, value) -> float:
        """Make that check, then go on."""
        repaired, said, there = state
        group = self.world.check_group[row]
        total = self.world.check_money[row] + self.way(group, there)
        on = self.on_frac(row, state)
        for answer, chance in ((True, on), (False, 1.0 - on)):
            after = (*said[:row], answer, *said[row + 1 :])
            total += chance * value((repaired, after, max(there, group)))
        return total

    def _best(self, state: tuple) -> float:
        repaired, said, _ = state
        costs = [self.give_up(state)]
        costs += [
            self.repair(at, state, self.best)
            for at in range(len(self.world.p))
            if at not in repaired
        ]
        costs += [
            self.check(row, state, self.best) for row, answer in enumerate(said) if answer is None
        ]
        return min(costs)

    def choice(self, state: tuple):
        """What the code under test would do: ("check", row), ("repair", at) or ("give up", 0)."""
        repaired, said, there = state
        now = self.chances(repaired, said)[0]
        rows = [row for row, answer in enumerate(said) if answer is None]
        on = [self.on_frac(row, state) for row in rows]
        money = [
            self.world.check_money[row] + self.way(self.world.check_group[row], there)
            for row in rows
        ]
        after = [
            [
                self.chances(repaired, (*said[:row], answer, *said[row + 1 :]))[0]
                for row in rows
            ]
            for answer in (True, False)
        ]  # fmt: skip
        shape = (len(rows), now.size)
        outcomes = Outcomes(
            np.array(on), np.array(after[0]).reshape(shape), np.array(after[1]).reshape(shape),
            np.array(money),
            np.array([max(0, self.world.check_group[row] - there) for row in rows], dtype=np.int64),
        )  # fmt: skip
        chosen = choose(now, outcomes, self.bills[there:])
        if chosen.best is not None:
            return "check", rows[chosen.best]
        if chosen.now.steps[0] == 0:
            return "give up", 0
        return "repair", int(chosen.now.order[0][0])

    def _stepwise(self, state: tuple) -> float:
        deed, at = self.choice(state)
        if deed == "check":
            return self.check(at, state, self.stepwise)
        if deed == "repair":
            return self.repair(at, state, self.stepwise)
        return self.give_up(state)

    def give_up(self, state: tuple) -> float:
        """Another machine, or somebody who finds the fault; that he is there is in his price."""
        repaired, said, there = state
        world = self.world
        p = self.chances(repaired, said)[0]
        prices = [
            money + self.way(group, max(there, 1))
            for money, group in zip(world.money, world.group, strict=True)
        ]
        return min(world.swap_money, world.help_money + float(p @ np.array(prices)))

    def repairs_alone(self, state: tuple) -> float:
        """What the best order of repairs costs, as the code under test has it."""
        now = self.chances(state[0], state[1])[0]
        return float(expected_cures(now[None, :], self.bills[state[2]]).money[0])


def by_trying_all_orders(world: World) -> float:
    """The least any order of any of the repairs costs, giving up after them."""
    costs = [world.swap_money]
    for size in range(1, len(world.p) + 1):
        for order in itertools.permutations(range(len(world.p)), size):
            left, total = 1.0, 0.0
            sent = set()
            for at in order:
                group = world.group[at]
                way = world.setup[group - 1] if group and group not in sent else 0.0
                sent.add(group)
                total += left * (world.money[at] + way)
                left -= world.p[at]
            costs.append(total + left * world.swap_money)
    return min(costs)


def without_checks(world: World) -> World:
    """The same with nothing to look at."""
    return replace(world, check_money=(), check_group=(), shows=())
