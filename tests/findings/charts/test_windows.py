"""The test of all windows against looking at every window, and what holds for every series."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from balewright.findings.charts import many_windows_kernel as many
from balewright.findings.charts.windows_kernel import (
    counts_step,
    lost,
    new_windows,
    packed,
    unpacked,
    windows_step,
)

Floats = NDArray[np.float64]


def every_window(values: Floats, weights: Floats) -> tuple[float, float]:
    """The largest ratio over all windows that end with the last value: up, down."""
    judged = np.isfinite(values) & np.isfinite(weights) & (weights != 0.0)
    u, c = values[judged], weights[judged]
    moved, square = np.cumsum((c * u)[::-1]), np.cumsum((c * c)[::-1])
    ratio = moved**2 / (2.0 * square)
    return ratio[moved > 0.0].max(initial=0.0), ratio[moved < 0.0].max(initial=0.0)


def every_count_window(events: Floats, expected: Floats) -> tuple[float, float]:
    """The same for counts."""
    judged = np.isfinite(events) & (expected > 0.0)
    x, e = np.cumsum(events[judged][::-1]), np.cumsum(expected[judged][::-1])
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = np.where(x > 0.0, x * np.log(x / e), 0.0) - x + e
    return ratio[x > e].max(initial=0.0), ratio[x < e].max(initial=0.0)


def series_of_all_sorts(seed: int, bales: int) -> tuple[Floats, Floats]:
    """Steps, creeping levels, repeated values and gaps, with weights, from a seed."""
    rng = np.random.default_rng(seed)
    values = rng.normal(size=bales)
    values += np.where(np.arange(bales) >= rng.integers(bales), rng.normal(0.0, 2.0), 0.0)
    values += rng.choice([0.0, 0.02, -0.02]) * np.arange(bales)
    if seed % 3 == 0:
        values = np.round(values)  # many ties
    values[rng.random(bales) < 0.1] = np.nan
    weights = rng.uniform(0.05, 1.0, bales)
    weights[rng.random(bales) < 0.05] = 0.0
    return values, weights


@pytest.mark.law
@pytest.mark.parametrize("seed", range(12))
def test_every_window_is_looked_at(seed: int) -> None:
    """After each bale the statistic is the largest over all windows, and its start gives it."""
    values, weights = series_of_all_sorts(seed, 300)
    state = new_windows(room=300)
    for bale in range(300):
        up, up_start, down, down_start = windows_step(state, values[bale], weights[bale])
        expected = every_window(values[: bale + 1], weights[: bale + 1])
        assert (up, down) == pytest.approx(expected, rel=1e-10, abs=1e-12)
        for side, start, best in ((0, up_start, up), (1, down_start, down)):
            if start >= 0.0:
                window = slice(int(start), bale + 1)
                square = np.where(np.isnan(values[window]), 0.0, weights[window] ** 2).sum()
                moved = np.nansum(values[window] * weights[window])
                assert moved**2 / (2.0 * square) == pytest.approx(best, rel=1e-10)
                assert (moved > 0.0) == (side == 0)
                assert np.isfinite(values[int(start)])
    assert lost(state) == 0.0


@pytest.mark.law
@pytest.mark.parametrize("seed", range(8))
def test_every_window_of_counts_is_looked_at(seed: int) -> None:
    """For counts too, at rare events and frequent ones, with more of them and fewer."""
    rng = np.random.default_rng(seed)
    expected = rng.uniform(0.2, 1.0, 300) * rng.choice([0.03, 0.3, 3.0])
    events = rng.poisson(expected * np.where(np.arange(300) > 150, rng.choice([0.2, 3.0]), 1.0))
    events = np.where(rng.random(300) < 0.1, np.nan, events)
    state = new_windows(room=300)
    for bale in range(300):
        up, _, down, _ = counts_step(state, events[bale], expected[bale])
        best = every_count_window(events[: bale + 1], expected[: bale + 1])
        assert (up, down) == pytest.approx(best, rel=1e-10, abs=1e-11)


@pytest.mark.law
@given(seed=st.integers(0, 2**31), cut=st.integers(0, 200))
@settings(max_examples=30)
def test_a_series_may_be_cut_anywhere(seed: int, cut: int) -> None:
    """Kept at any bale, packed and brought back, the test goes on as if it had not been cut."""
    values, weights = series_of_all_sorts(seed, 200)
    whole, found = new_windows(1), many.new_found(1)
    many.windows_kernel(values, weights, np.array([0, 200]), 8.0, whole, found)
    parts, again = new_windows(1), many.new_found(1)
    for first, last in ((0, cut), (cut, 200)):
        parts = unpacked(packed(parts[0]))[None, :]
        ends = np.array([0, last - first])
        many.windows_kernel(values[first:last], weights[first:last], ends, 8.0, parts, again)
    assert np.array_equal(again, found)
    going_on = [windows_step(unpacked(packed(one[0])), 0.7, 0.8) for one in (whole, parts)]
    assert going_on[0] == going_on[1]


@pytest.mark.law
@pytest.mark.parametrize("seed", range(6))
def test_the_largest_statistic_of_a_series_is_found_without_asking_every_bale(seed: int) -> None:
    """The kernel asks only where a bale can matter; largest statistic, its bale and the first
    alarm are those of asking after each bale. For counts too."""
    values, weights = series_of_all_sorts(seed, 600)
    rng = np.random.default_rng(seed)
    expected = rng.uniform(0.01, 0.3, 600)
    events = rng.poisson(expected * np.where(np.arange(600) > 300, 2.0, 1.0)).astype(np.float64)
    ends = np.array([0, 600])
    for step, kernel, columns in (
        (windows_step, many.windows_kernel, (values, weights)),
        (counts_step, many.counts_windows_kernel, (events, expected)),
    ):
        state, ratios = new_windows(room=600), []
        for pair in zip(*columns, strict=True):
            up, _, down, _ = step(state, *pair)
            ratios.append(max(up, down))
        states, found = new_windows(1, room=600), many.new_found(1)
        kernel(*columns, ends, 5.0, states, found)
        assert found[0, many.MOST] == pytest.approx(max(ratios), rel=1e-12)
        assert found[0, many.MOST_AT] == np.argmax(ratios)
        above = np.flatnonzero(np.array(ratios) > 5.0)
        assert found[0, many.ALARM] == (above[0] if len(above) else -1)
        assert (found[0, many.UP_NOW], found[0, many.DOWN_NOW]) == pytest.approx((up, down))


@pytest.mark.law
def test_many_series_are_each_their_own() -> None:
    """Ragged series side by side give what each gives alone, with its alarm and its start."""
    rng = np.random.default_rng(5)
    lengths = [0, 40, 1, 700]
    offsets = np.concatenate([[0], np.cumsum(lengths)])
    values = rng.normal(size=offsets[-1])
    values[offsets[3] + 500 :] += 2.0
    weights = np.ones_like(values)
    states, found = new_windows(4), many.new_found(4)
    many.windows_kernel(values, weights, offsets, 12.0, states, found)
    for series in range(4):
        state, best = new_windows(), (0.0, 0.0)
        ratios = []
        for value in values[offsets[series] : offsets[series + 1]]:
            up, _, down, _ = windows_step(state, value, 1.0)
            best = (up, down)
            ratios.append(max(best))
        assert (found[series, many.UP_NOW], found[series, many.DOWN_NOW]) == best
        assert found[series, many.MOST] == max(ratios, default=0.0)
    assert list(found[:3, many.ALARM]) == [-1.0, -1.0, -1.0]
    assert 500 <= found[3, many.ALARM] < 520
    assert abs(found[3, many.ALARM_START] - 500) <= 3
    assert found[3, many.ALARM_SIDE] == 1.0


@pytest.mark.law
def test_long_series_keep_their_precision() -> None:
    """After a million bales, with a level far off for half of them, short windows are exact."""
    rng = np.random.default_rng(7)
    values = rng.normal(size=1_000_000)
    values[300_000:600_000] += 5.0
    values[-20:] -= 3.0
    states, found = new_windows(1), many.new_found(1)
    ends = np.array([0, len(values)])
    many.windows_kernel(values, np.ones_like(values), ends, 20.0, states, found)
    moved = np.cumsum(values[::-1].astype(np.longdouble))
    ratio = moved**2 / (2.0 * np.arange(1, len(values) + 1))
    assert found[0, many.DOWN_NOW] == pytest.approx(float(ratio[moved < 0].max()), rel=1e-9)
    assert found[0, many.UP_NOW] == pytest.approx(float(ratio[moved > 0].max()), rel=1e-9)
    assert found[0, many.DOWN_START] == len(values) - 20
    assert lost(states[0]) == 0.0


@pytest.mark.law
def test_a_full_state_says_what_it_may_have_lost() -> None:
    """With room for too few starts the statistic is never too high, and too low by no more than
    the state says."""
    rng = np.random.default_rng(3)
    values = rng.normal(size=3000) + 0.002 * np.arange(3000)
    tight, wide = new_windows(room=6), new_windows(room=3000)
    for bale, value in enumerate(values):
        got = windows_step(tight, value, 1.0)[0]
        exact = windows_step(wide, value, 1.0)[0]
        assert exact - lost(tight) - 1e-9 <= got <= exact + 1e-9, bale
    assert lost(wide) == 0.0
    assert lost(tight) > 0.0
    assert got >= 0.98 * exact


@pytest.mark.law
def test_what_cannot_be_judged_is_passed_over() -> None:
    """Unknown, infinite and weightless bales change nothing but the count of bales."""
    state, plain = new_windows(), new_windows()
    odd = [(math.nan, 1.0), (1.0, math.nan), (math.inf, 1.0), (1.0, 0.0), (1.0, 1e-200)]
    for value in (0.3, -1.0, 2.0, 2.5):
        for pair in odd:
            windows_step(state, *pair)
        got = windows_step(state, value, 0.5)
        exact = windows_step(plain, value, 0.5)
        assert (got[0], got[2]) == (exact[0], exact[2])
    assert state[0] == 24.0
    assert got[1] == 17.0  # the third value, with three times five passed over before it
    state = new_windows()
    before = counts_step(state, 3.0, 1.5)
    for events, expected in ((math.nan, 1.0), (-1.0, 1.0), (1.0, 0.0), (1.0, math.inf)):
        assert counts_step(state, events, expected) == before
