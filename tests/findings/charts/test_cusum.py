"""Cumulative sums against worked examples, and against the same in plain NumPy."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from balewright.findings.charts import cusum_kernel as cusum

Floats = NDArray[np.float64]

#: NIST/SEMATECH handbook 6.3.2.3, from memory: 20 group means, target 325, k 0.3175, h 4.1959.
NIST = np.array(
    [
        *(324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225, 324.600),
        *(324.625, 325.150, 328.325, 327.250, 327.825, 328.500, 326.675, 327.775, 326.875, 328.350),
    ]
)  # fmt: skip
#: Montgomery, Introduction to Statistical Quality Control, example of the CUSUM chapter, from
#: memory: 20 values at 10, then 10 at 11, sigma 1; k 0.5, h 5.
MONTGOMERY = np.array(
    [
        *(9.45, 7.99, 9.29, 11.66, 12.16, 10.18, 8.04, 11.46, 9.20, 10.34),
        *(9.03, 11.47, 10.51, 9.40, 10.08, 9.37, 10.62, 10.31, 8.52, 10.84),
        *(10.90, 9.33, 12.29, 11.50, 10.60, 11.08, 10.38, 11.62, 11.31, 10.52),
    ]
)


def plain(evidence_up: Floats, evidence_down: Floats) -> tuple[Floats, Floats]:
    """The sums by the difference of the walk and its lowest point, without a loop."""
    sums = []
    for evidence in (evidence_up, evidence_down):
        walk = np.concatenate([[0.0], np.cumsum(evidence)])
        sums.append((walk - np.minimum.accumulate(walk))[1:])
    return sums[0], sums[1]


def chart(values: Floats, reference: float, limit: float) -> Floats:
    """The state after a whole series."""
    states = cusum.new_cusum(1)
    cusum.tabular_kernel(values, np.array([0, len(values)]), reference, limit, states)
    return states[0]


@pytest.mark.check(model="tabular CUSUM", source="nist-cusum")
@pytest.mark.published
def test_nist_cusum_example() -> None:
    """NIST's example alarms at group 14, where the upper sum is 4.94."""
    state = chart(NIST - 325.0, 0.3175, 4.1959)
    assert state[cusum.ALARM] == 13.0
    assert state[cusum.ALARM_SIDE] == 1.0
    assert chart(NIST[:14] - 325.0, 0.3175, 4.1959)[cusum.UP] == pytest.approx(4.94, abs=0.005)


@pytest.mark.check(model="tabular CUSUM", source="montgomery-cusum")
@pytest.mark.published
def test_montgomery_cusum_example() -> None:
    """Montgomery's example alarms at value 29 with a sum of 5.28, begun seven values before."""
    state = chart(MONTGOMERY[:29] - 10.0, 0.5, 5.0)
    assert state[cusum.ALARM] == 28.0
    assert state[cusum.UP] == pytest.approx(5.28, abs=0.005)
    assert state[cusum.ALARM_SINCE] == 28.0 - 7.0 + 1.0


@pytest.mark.law
@pytest.mark.parametrize("seed", range(6))
def test_the_sums_are_those_of_plain_numpy(seed: int) -> None:
    """Sums, first alarm and starts equal the walk less its lowest point, for both charts."""
    rng = np.random.default_rng(seed)
    values, weights = rng.normal(size=2000), rng.uniform(0.1, 1.0, 2000)
    values[1200:] += 0.7 * (-1) ** seed
    up, down = plain(values - 0.4, -values - 0.4)
    state = chart(values, 0.4, 6.0)
    assert (state[cusum.UP], state[cusum.DOWN]) == pytest.approx((up[-1], down[-1]), abs=1e-10)
    first = int(np.argmax(np.maximum(up, down) > 6.0))
    assert state[cusum.ALARM] == first
    side = up if state[cusum.ALARM_SIDE] > 0 else down
    zeros = np.flatnonzero(side[:first] <= 0.0)
    assert state[cusum.ALARM_SINCE] == (zeros[-1] + 1 if len(zeros) else 0)

    size = 0.8 * weights
    up, down = plain(size * values - size**2 / 2, -size * values - size**2 / 2)
    states = cusum.new_cusum(1)
    cusum.likelihood_kernel(values, weights, np.array([0, 2000]), 0.8, 5.0, states)
    ends = (states[0, cusum.UP], states[0, cusum.DOWN])
    assert ends == pytest.approx((up[-1], down[-1]), abs=1e-10)
    assert states[0, cusum.ALARM] == np.argmax(np.maximum(up, down) > 5.0)


@pytest.mark.derived
def test_full_weight_makes_the_likelihood_chart_the_tabular_one() -> None:
    """With weight 1 the likelihood chart is d times the tabular one with k = d/2."""
    values = np.random.default_rng(1).normal(size=500)
    one, other = cusum.new_cusum(), cusum.new_cusum()
    for value in values:
        tabular = cusum.tabular_step(one, value, 0.6)
        likelihood = cusum.likelihood_step(other, value, 1.0, 1.2)
        assert likelihood == pytest.approx([1.2 * each for each in tabular], abs=1e-10)


@pytest.mark.law
@given(seed=st.integers(0, 2**31), cut=st.integers(0, 120))
@settings(max_examples=30)
def test_a_chart_may_be_cut_anywhere(seed: int, cut: int) -> None:
    """Series with gaps: cut at any bale, or taken bale by bale, the state is the same."""
    rng = np.random.default_rng(seed)
    values = rng.normal(0.3, 1.0, size=120)
    values[rng.random(120) < 0.2] = np.nan
    values[rng.random(120) < 0.02] = np.inf
    whole = chart(values, 0.5, 3.0)
    parts = cusum.new_cusum(1)
    for part in (values[:cut], values[cut:]):
        cusum.tabular_kernel(part, np.array([0, len(part)]), 0.5, 3.0, parts)
    assert np.array_equal(parts[0], whole)
    single = cusum.new_cusum()
    for value in values:
        cusum.tabular_step(single, value, 0.5)
        cusum.note_alarm(single, 3.0)
    assert single == pytest.approx(whole, abs=1e-12)


@pytest.mark.law
@given(seed=st.integers(0, 2**31), count=st.integers(0, 11))
@settings(max_examples=30)
def test_series_side_by_side_are_each_their_own(seed: int, count: int) -> None:
    """Ragged series together, some of them gone on from before, are what each is alone."""
    rng = np.random.default_rng(seed)
    offsets = np.concatenate([[0], np.cumsum(rng.integers(0, 60, count))])
    states = cusum.new_cusum(count)
    alone = cusum.new_cusum(count)
    for _ in range(2):
        values = rng.normal(0.5, 1.0, offsets[-1])
        values[rng.random(len(values)) < 0.1] = np.nan
        cusum.tabular_kernel(values, offsets, 0.5, 4.0, states)
        for one in range(count):
            for value in values[offsets[one] : offsets[one + 1]]:
                cusum.tabular_step(alone[one], value, 0.5)
                cusum.note_alarm(alone[one], 4.0)
    assert states == pytest.approx(alone, abs=1e-12)
