"""Masses and count steps: paired in order, as many as can be, with the fewest seconds between."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.readers.task_data.pairing import APART_S, pair_masses

TIMES = st.lists(st.integers(0, 3000), max_size=6).map(sorted)


def _cheapest(steps: list[int], gains: list[int]) -> float:
    """Every order-keeping pairing tried: the lowest cost."""
    alone = APART_S / 2
    costs = []
    for size in range(min(len(steps), len(gains)) + 1):
        rest = alone * (len(steps) + len(gains) - 2 * size)
        for some_steps in combinations(steps, size):
            for some_gains in combinations(gains, size):
                apart = sum(abs(a - b) for a, b in zip(some_steps, some_gains, strict=True))
                costs.append(rest + apart)
    return min(costs)


@pytest.mark.law
@settings(max_examples=150, deadline=None)
@given(steps=TIMES, gains=TIMES)
def test_pairing_is_the_cheapest_of_all_that_keep_order(steps: list[int], gains: list[int]) -> None:
    """Against trying every pairing: same cost, order kept, no step used twice."""
    found = pair_masses(np.array(steps, float), np.array(gains, float))
    used = found[found >= 0].tolist()
    assert used == sorted(set(used))
    apart = sum(abs(steps[step] - gains[row]) for row, step in enumerate(found) if step >= 0)
    rest = APART_S / 2 * (len(steps) + len(gains) - 2 * len(used))
    assert apart + rest == pytest.approx(_cheapest(steps, gains))


@pytest.mark.derived
def test_late_display_catches_up_in_order() -> None:
    """Masses at 0, 90, 420, 480 s, counts at 90, 450, 451, 495: each mass gets the count in
    order, though the second stands 360 s from its own."""
    found = pair_masses(np.array([90.0, 450, 451, 495]), np.array([0.0, 90, 420, 480]))
    assert found.tolist() == [0, 1, 2, 3]


@pytest.mark.derived
def test_mass_an_hour_off_stays_alone() -> None:
    """A mass two hours behind the last count belongs to no bale of this log."""
    assert pair_masses(np.array([0.0]), np.array([7200.0])).tolist() == [-1]


@pytest.mark.law
def test_long_logs_are_paired_in_pieces() -> None:
    """Five thousand bales with masses 9 s late: each mass goes to its own bale."""
    steps_s = np.arange(5000) * 30.0 + np.arange(5000) // 100 * 400.0
    found = pair_masses(steps_s, steps_s + 9.0)
    assert found.tolist() == list(range(5000))
