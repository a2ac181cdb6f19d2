"""The choice of the next check: held against the best of all policies in small worlds."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from bench.troubleshooting.small_worlds import Policies, random_world


@pytest.mark.derived
def test_step_by_step_lies_between_the_best_policy_and_the_best_order() -> None:
    """Never dearer than repairs alone from the same state, and on average within 3 % of the best.

    Every policy is enumerated: 4 causes, 3 checks that mislead, half the worlds with ways to pay.
    """
    rng = np.random.default_rng(7)
    over = []
    for number in range(30):
        world = random_world(rng, 4, 3, number % 2 == 0)
        if number % 3 == 0:  # no other machine, but somebody who finds it
            world = replace(world, swap_money=math.inf, help_money=world.swap_money)
        policies = Policies(world)
        best = policies.best(policies.start)
        stepwise = policies.stepwise(policies.start)
        alone = policies.repairs_alone(policies.start)
        assert best <= stepwise * (1.0 + 1e-12)
        assert stepwise <= alone * (1.0 + 1e-12)
        over.append(stepwise / best - 1.0)
    assert np.mean(over) < 0.03


@pytest.mark.law
def test_a_check_that_changes_nothing_is_never_made() -> None:
    """One that shows every cause equally often says nothing, at any price above none."""
    rng = np.random.default_rng(8)
    for _ in range(20):
        world = random_world(rng, 4, 2, True)
        dumb = replace(world, shows=(world.shows[0], (0.5,) * 4), check_money=(3.0, 1e-3))
        assert Policies(dumb).choice(Policies(dumb).start) != ("check", 1)


@pytest.mark.law
def test_a_free_check_comes_first() -> None:
    """One that tells a cause surely and costs nothing is made before anything that costs."""
    rng = np.random.default_rng(9)
    for _ in range(20):
        world = random_world(rng, 4, 2, True)
        sure = (0.999, 0.001, 0.001, 0.001)
        free = replace(
            world, shows=(world.shows[0], sure), check_money=(3.0, 0.0), check_group=(0, 0)
        )
        assert Policies(free).choice(Policies(free).start) == ("check", 1)


@pytest.mark.law
def test_the_currency_does_not_matter() -> None:
    """All prices times seven: the same choice, seven times the cost."""
    rng = np.random.default_rng(10)
    for _ in range(20):
        world = random_world(rng, 4, 3, True)
        dear = replace(
            world,
            money=tuple(7 * one for one in world.money),
            setup=(7 * world.setup[0], 7 * world.setup[1]),
            swap_money=7 * world.swap_money,
            check_money=tuple(7 * one for one in world.check_money),
        )
        one, other = Policies(world), Policies(dear)
        assert one.choice(one.start) == other.choice(other.start)
        money = one.repairs_alone(one.start)
        assert other.repairs_alone(other.start) == pytest.approx(7 * money, rel=1e-12)
