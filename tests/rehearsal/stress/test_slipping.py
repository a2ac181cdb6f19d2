"""Film advance that slips."""

from __future__ import annotations

import numpy as np
import pytest

from balewright.rehearsal.stress.slipping import SlippingAdvance, last_from_bale_to_bale


@pytest.mark.law
def test_nothing_slips_at_nought() -> None:
    """With no slip every bale turns as far as the design says."""
    job = np.repeat(np.arange(3), 20)
    assert (SlippingAdvance(0.0).factors(job, np.random.default_rng(1)) == 1.0).all()


@pytest.mark.derived
def test_slip_has_its_mean_and_wet_jobs_slip_twice_as_much() -> None:
    """At 8 % and three wet jobs in ten the mean is 0.08 (0.7 + 2 x 0.3) = 0.104."""
    job = np.repeat(np.arange(600), 60)
    lost = 1.0 - SlippingAdvance(0.08).factors(job, np.random.default_rng(2))
    assert lost.mean() == pytest.approx(0.104, abs=0.004)
    by_job = np.sort(lost.reshape(600, 60).mean(axis=1))
    assert np.median(by_job[:420]) == pytest.approx(0.08, abs=0.004)  # seven in ten of 600 jobs
    assert np.median(by_job[420:]) == pytest.approx(0.16, abs=0.008)
    assert lost.max() <= 0.5


@pytest.mark.derived
@pytest.mark.parametrize("share", [0.0, 0.5, 0.8])
def test_lasting_noise_keeps_its_variance_and_has_its_autocorrelation(share: float) -> None:
    """Variance 1 whatever lasts; the correlation of neighbours is what was asked for."""
    fresh = np.random.default_rng(3).normal(size=40_000)
    lasting = last_from_bale_to_bale(fresh, share)
    assert lasting.std() == pytest.approx(1.0, abs=0.03)
    assert np.corrcoef(lasting[1:], lasting[:-1])[0, 1] == pytest.approx(share, abs=0.02)
