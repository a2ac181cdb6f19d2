"""Chances that count in honest causes which nobody recorded."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from balewright.findings.admission import admit_chances
from balewright.findings.watch.chances import certain_frac
from balewright.findings.watch.honest import (
    USUAL_SHARE,
    Shown,
    chance_in_fleet,
    evidence_of,
    honest_chance,
    shown_by,
)


@pytest.mark.law
@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.integers(0, 5_000), st.integers(0, 50))
def test_a_chance_is_no_smaller_and_keeps_its_order(
    one: float, other: float, charts: int, moderate: int
) -> None:
    """Never below the model's, never above 1, in the same order; in a fleet too, and more shown
    make it no smaller."""
    low, high = (honest_chance(chance) for chance in sorted((one, other)))
    assert min(one, other) <= low <= high <= 1.0
    shown, more = (Shown(charts, min(moderate + n, charts)) for n in (0, 1))
    assert chance_in_fleet(low, shown) <= chance_in_fleet(high, shown) <= 1.0
    assert chance_in_fleet(low, more) >= chance_in_fleet(low, shown)


@pytest.mark.law
def test_few_machines_hardly_move_what_is_usual_and_many_do() -> None:
    """Ten clean charts change a chance by a thirtieth; ten thousand with 2 in 100 moderate ones
    make it twenty times as large."""
    usual = honest_chance(1e-9)
    assert chance_in_fleet(usual, Shown(10, 0)) == pytest.approx(usual, rel=0.05)
    assert chance_in_fleet(usual, Shown(10_000, 200)) == pytest.approx(21.6 * usual, rel=0.05)


@pytest.mark.law
def test_faults_show_too_much_to_be_counted_as_usual() -> None:
    """One machine in ten with overwhelming evidence is not taken for what is usual."""
    clean = [1.0] * 90
    assert shown_by([*clean, *[1e-20] * 10]) == Shown(100, 0)
    assert shown_by([*clean, *[math.exp(-7.0)] * 10]) == Shown(100, 10)


@pytest.mark.own
def test_the_rate_of_a_manager_holds_where_honest_causes_have_a_tail_of_their_own() -> None:
    """Sixty machines, one in ten faulty, honest changes thicker beyond the knee than any season
    had them: 10 % set stays below 15 % told false, where the model's own chances told 30 and more.
    """
    chance = np.random.default_rng(5)
    false = {"model": [], "stated": []}
    for _ in range(400):
        evidence = chance.exponential(1.0, 3_000)
        honest = chance.random(3_000) < USUAL_SHARE / (1.0 - math.exp(-6.0 / 5.0))
        evidence[honest] = 6.0 + chance.exponential(5.0, honest.sum())
        faulty = np.arange(3_000) % 500 == 0
        evidence[faulty] = 15.0 + chance.exponential(30.0, faulty.sum())
        model = np.exp(-evidence)
        seen = shown_by(model)
        stated = [chance_in_fleet(honest_chance(one), seen) for one in model]
        for name, chances in (("model", list(model)), ("stated", stated)):
            told = np.array(admit_chances(chances, 0.1, 3_000).admitted)
            false[name].append((told & ~faulty).sum() / max(told.sum(), 1))
    assert np.mean(false["stated"]) <= 0.15
    assert np.mean(false["model"]) >= 0.3


@pytest.mark.law
def test_certainty_follows_the_chance() -> None:
    """The rarer machines in order show as much, the surer; a measure that crop moves is less so."""
    told = [certain_frac(10.0**-nth, 0.8) for nth in range(9)]
    assert told == sorted(told)
    assert told[0] < 0.01
    assert told[-1] > 0.999
    assert certain_frac(1e-4, 0.3) < certain_frac(1e-4, 0.8)
    assert evidence_of(math.exp(-7.0)) == pytest.approx(7.0)
