"""The order of repairs: held by trying every order."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from bench.troubleshooting.small_worlds import bills, by_trying_all_orders, random_world

from balewright.cause.next_check.bill import Bill
from balewright.cause.next_check.cure import expected_cures

P = np.array([[0.4, 0.3, 0.2, 0.1]])
MONEY = np.array([40.0, 10.0, 25.0, 5.0])


def plain(swap_money: float = 1e3) -> Bill:
    """Four repairs without ways."""
    return Bill(MONEY, np.zeros(4, np.int64), (0.0, 0.0), math.inf, swap_money)


def cost_of(order) -> float:
    """Each price times the chance that none before it was the one."""
    return sum(MONEY[at] * (1.0 - P[0, list(order[:n])].sum()) for n, at in enumerate(order))


@pytest.mark.derived
@pytest.mark.check(model="expected cost of repairs", source="heckerman-troubleshooting-1995")
def test_the_worked_order_of_four_repairs() -> None:
    """2-4-1-3 at 42.50; by chance alone 54.00, by price alone 45.00, the worst of all 62.00."""
    cures = expected_cures(P, plain())
    assert list(cures.order[0]) == [1, 3, 0, 2]
    assert cures.money[0] == pytest.approx(42.5, abs=1e-9)
    assert cost_of((0, 1, 2, 3)) == pytest.approx(54.0)
    assert cost_of((3, 1, 2, 0)) == pytest.approx(45.0)
    every = [cost_of(order) for order in itertools.permutations(range(4))]
    assert min(every) == pytest.approx(42.5)
    assert max(every) == pytest.approx(62.0)


@pytest.mark.published
@pytest.mark.check(model="expected cost of repairs", source="ottosen-jensen-2010")
@pytest.mark.parametrize("ways", [False, True])
def test_no_order_costs_less(ways: bool) -> None:
    """Chance over price, shared ways as blocks: nothing cheaper among all orders of all repairs."""
    rng = np.random.default_rng(11)
    for _ in range(40):
        world = random_world(rng, 5, 0, ways)
        cures = expected_cures(np.array([world.p]), bills(world)[0])
        assert cures.money[0] == pytest.approx(by_trying_all_orders(world), rel=1e-12)


@pytest.mark.derived
def test_giving_up_ends_the_order_where_it_costs_less() -> None:
    """With another machine at 60 the dear repairs are left: 10 + 0.7 x 5 + 0.55 x 60."""
    cures = expected_cures(np.array([[0.1, 0.3, 0.05, 0.15]]), plain(60.0))
    assert cures.steps[0] == 2
    assert cures.money[0] == pytest.approx(10.0 + 0.7 * 5.0 + 0.55 * 60.0)
    assert expected_cures(P, plain(3.0)).steps[0] == 0


@pytest.mark.derived
def test_who_finds_the_fault_does_not_save_its_repair() -> None:
    """Help at 8 before anything: 8, what each repair costs by its chance, the way to the workshop.

    Help at 100 is called after everything else, for what is none of the causes.
    """
    p = np.array([[0.1, 0.3, 0.05, 0.15]])
    group = np.array([0, 0, 2, 1])
    cheap = expected_cures(p, Bill(MONEY, group, (30.0, 50.0), 8.0))
    assert cheap.steps[0] == 0
    repairs = 0.1 * 40.0 + 0.3 * 10.0 + 0.05 * (25.0 + 50.0) + 0.15 * 5.0
    assert cheap.money[0] == pytest.approx(8.0 + repairs)
    alone = expected_cures(p[:, 1:2], Bill(MONEY[1:2], group[1:2], (0.0, 0.0), 100.0))
    assert alone.money[0] == pytest.approx(10.0 + 0.7 * 100.0)


@pytest.mark.derived
def test_two_faults_at_once_are_both_paid_for() -> None:
    """Both sure to be behind it: both prices, not the first and half of the second."""
    bill = Bill(np.array([10.0, 10.0]), np.zeros(2, np.int64), (0.0, 0.0), 1e3)
    assert expected_cures(np.array([[1.0, 1.0]]), bill).money[0] == pytest.approx(20.0)


@pytest.mark.law
def test_no_row_depends_on_another() -> None:
    """Many rows at once give what each gives alone."""
    rng = np.random.default_rng(3)
    world = random_world(rng, 6, 0, True)
    rows = rng.dirichlet(np.ones(6), 20) * rng.uniform(0.2, 1.3, (20, 1))
    bill = bills(world)[0]
    together = expected_cures(rows, bill)
    for at, row in enumerate(rows):
        alone = expected_cures(row[None, :], bill)
        assert alone.money[0] == together.money[at]
        assert (alone.order[0] == together.order[at]).all()
