"""What is compiled says what is written plainly."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.findings.watch.chances import rate_limits
from balewright.findings.watch.level import USUAL_GROUPS, Usual, begin_level
from balewright.findings.watch.level_kernel import filter_bales
from balewright.findings.watch.rate import UsualRate, begin_rate
from balewright.findings.watch.rate_kernel import walk_rate

from .plain_filter import plain_filter
from .plain_sums import PlainRate

USUAL = Usual(
    level=None, level_spread=None, spread=1.3, group_spread=0.4, slopes=(0.1, 0.0),
    slope_spreads=(1.0, 0.5), least_spread=0.05, group_like_frac=0.3, roll_spread=0.5,
    roll_like_frac=0.1,
)  # fmt: skip


@pytest.mark.own
@settings(max_examples=8, deadline=None)
@given(st.integers(0, 10_000), st.floats(0.0, 3.0), st.booleans())
def test_the_filter_is_its_plain_twin(seed: int, heavy: float, rolls: bool) -> None:
    """Surprise, share, level and spreads of 400 bales with jobs, rolls, batches, gaps and wild
    readings, to rounding."""
    chance = np.random.default_rng(seed)
    bales = 400
    values = 50.0 + chance.normal(0, 1, bales) + heavy * chance.standard_t(2, bales)
    values[chance.random(bales) < 0.1] = np.nan
    explaining = chance.normal(0, 1, (bales, 2))
    jobs = (chance.random(bales) < 0.03).astype(np.int8)
    begins = (chance.random(bales) < 0.05).astype(np.int8)
    begins += (begins > 0) & (chance.random(bales) < 0.3)
    begins = begins if rolls else np.zeros(bales, dtype=np.int8)
    state = begin_level(USUAL)
    state.mean[0] = 50.0
    given_ = (values, explaining, jobs, begins, np.zeros(bales, dtype=np.bool_), state.left)
    odd, share, *_ = filter_bales(given_, state.mean, state.covariance, state.kept, 0.0)
    plain = plain_filter(USUAL, 50.0, USUAL_GROUPS)
    for at in range(bales):
        if jobs[at]:
            plain.begin(0, other_batch=False)
        if begins[at]:
            plain.rolls += 1
            plain.begin(1, other_batch=begins[at] == 2)
        if np.isnan(values[at]):
            continue
        fresh, shows = plain.take(values[at], explaining[at])
        if np.isfinite(odd[at]):  # judged only once enough jobs were seen
            assert odd[at] == pytest.approx(fresh, abs=1e-9)
            assert share[at] == pytest.approx(shows, abs=1e-9)
    assert state.mean == pytest.approx(plain.mean, abs=1e-9)
    assert state.covariance == pytest.approx(plain.covariance, abs=1e-9)
    assert state.kept[2] == pytest.approx(plain.spread2, rel=1e-9)


@pytest.mark.own
@settings(max_examples=20, deadline=None)
@given(st.integers(0, 10_000), st.floats(0.003, 0.2), st.floats(1.0, 8.0))
def test_the_sums_of_a_rate_are_their_plain_twin(seed: int, rate: float, times: float) -> None:
    """The same bale tells, by the same sum, and the guess is the same."""
    chance = np.random.default_rng(seed)
    counts = chance.poisson(np.where(np.arange(2_500) < 1_500, rate, rate * times)).astype(float)
    counts[chance.random(2_500) < 0.05] = np.nan
    groups = (chance.random(2_500) < 0.04).astype(np.int8)
    state = begin_rate(UsualRate(0.012, 1.0, ()))
    limits = rate_limits(1.0e6)
    kept = state.kept
    found = walk_rate(
        (counts, np.zeros((2_500, 0)), groups), kept, (state.slopes, state.precision), limits, 120.0
    )
    plain = PlainRate(1.0, 1.0 / 0.012, limits, 120)
    assert found == plain.walk(counts, groups)
    assert (kept[0], kept[1]) == pytest.approx((plain.events, plain.bales), rel=1e-12)
