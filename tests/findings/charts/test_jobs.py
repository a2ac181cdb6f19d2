"""Jobs held against jobs: the statistic, and how rarely jobs in order reach it."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from balewright.findings.charts.jobs_kernel import (
    FEWEST_AFTER,
    FEWEST_BEFORE,
    MOST_A_JOB,
    best_split,
    judge_since,
    judge_split,
)
from balewright.findings.watch.chances import jobs_chance

PRIOR = (0.09, 6.0, 1.0)


@pytest.mark.reference
@pytest.mark.check(model="jobs held against jobs", source="scipy-stats")
def test_a_known_spread_gives_the_test_of_two_means() -> None:
    """Where how far jobs differ is known beyond doubt, z is Student's t with the pooled spread put
    in place of the known one (scipy's ttest_ind)."""
    chance = np.random.default_rng(3)
    means = 10.0 + 0.5 * np.clip(chance.standard_normal(20), -1.2, 1.2)
    means[12:] += 0.4
    known2 = 0.5**2
    fits, moved, variance = judge_split(means, np.zeros(20), 12, (known2, 1e9, 1.0), known2)
    told = stats.ttest_ind(means[12:], means[:12])
    pooled = np.sqrt((11 * means[:12].var(ddof=1) + 7 * means[12:].var(ddof=1)) / 18.0)
    assert moved == pytest.approx(means[12:].mean() - means[:12].mean(), rel=1e-9)
    assert np.sqrt(2.0 * fits) == pytest.approx(told.statistic * pooled / 0.5, rel=1e-6)
    assert variance == pytest.approx(known2 * (1 / 12 + 1 / 8), rel=1e-6)


@pytest.mark.own
@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10_000), st.integers(7, 30), st.floats(0.0, 3.0))
def test_the_best_split_is_the_best_of_all(seed: int, jobs: int, moved: float) -> None:
    """No split says more than the one that is told, and it says what it is told to say."""
    chance = np.random.default_rng(seed)
    means, chances = chance.normal(0.0, 0.4, jobs), chance.uniform(0.005, 0.05, jobs)
    means[int(chance.integers(1, jobs)) :] += moved
    limit = 2.0
    fits, split, _, _ = best_split(means, chances, PRIOR, limit)
    group2 = _between(means, chances)
    all_of_them = {
        at: judge_split(means, chances, at, PRIOR, group2)[0]
        for at in range(FEWEST_BEFORE, jobs - FEWEST_AFTER + 1)
    }
    best = max(all_of_them.values())
    if best >= 2.0 * limit or fits > 0.0:
        assert fits <= best * (1.0 + 1e-9)
        assert fits == pytest.approx(all_of_them[split] if fits > 0.0 else 0.0, rel=1e-9)
    assert all(one <= MOST_A_JOB * min(at, jobs - at) + 1e-9 for at, one in all_of_them.items())


def _between(means: np.ndarray, chances: np.ndarray) -> float:
    squares = 0.5 * (np.diff(means) ** 2 - chances[1:] - chances[:-1])
    kept = np.sort(squares)[:-1]
    blended = (kept.sum() + PRIOR[1] * PRIOR[0]) / (len(kept) + PRIOR[1])
    return float(max(blended, kept.mean(), 0.0025))


@pytest.mark.law
@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10_000), st.floats(-50.0, 50.0), st.floats(0.2, 20.0))
def test_where_the_scale_begins_and_how_wide_it_is_change_nothing(
    seed: int, begins: float, times: float
) -> None:
    """A statistic has no unit."""
    chance = np.random.default_rng(seed)
    means, chances = chance.normal(0.0, 0.5, 16), np.full(16, 0.02)
    means[9:] += 1.5
    square = times * times
    prior = (PRIOR[0] * square, PRIOR[1], PRIOR[2] * square)
    fits, split, moved, _ = best_split(means, chances, PRIOR, 1.0)
    other = best_split(begins + times * means, chances * square, prior, 1.0)
    assert other[0] == pytest.approx(fits, rel=1e-6, abs=1e-6)
    assert other[1] == split
    assert other[2] == pytest.approx(times * moved, rel=1e-6, abs=1e-6)


@pytest.mark.own
@pytest.mark.parametrize("spread", [0.3, 1.0])
def test_jobs_in_order_reach_it_as_seldom_as_is_said(spread: float) -> None:
    """Of 3,000 machines whose jobs differ by chance alone, so many reach 6 within 30 jobs as
    the run length says, within a third (the law is a straight line through a curve)."""
    chance = np.random.default_rng(7)
    machines, jobs, chances = 3_000, 30, np.full(30, 1.0 / 60.0)
    reached = 0
    for _ in range(machines):
        means = chance.normal(0.0, np.sqrt(spread**2 + 1.0 / 60.0), jobs)
        reached += any(
            best_split(means[:now], chances[:now], (spread**2, 6.0, 1.0), 6.0)[0] >= 6.0
            for now in range(FEWEST_BEFORE + FEWEST_AFTER, jobs + 1)
        )
    assert reached / machines == pytest.approx(jobs_chance(6.0, jobs), rel=0.35)


@pytest.mark.own
def test_what_comes_after_a_change_is_judged_as_strictly_as_the_change() -> None:
    """Jobs since that agree say it ever more surely, jobs that go both ways do not."""
    chances = np.full(12, 0.02)
    left = (0.0, 0.02, 10)
    firm = np.array([1.0, 1.2, 0.9, 1.1, 1.0, 1.05, 0.95, 1.1, 1.0, 0.9, 1.1, 1.0])
    torn = np.where(np.arange(12) % 3 == 2, 0.0, 1.5)
    few = judge_since(firm[:4], chances[:4], PRIOR, left)[0]
    assert judge_since(firm, chances, PRIOR, left)[0] > few
    assert (
        judge_since(torn, chances, PRIOR, left)[0] < judge_since(firm, chances, PRIOR, left)[0] / 2
    )
