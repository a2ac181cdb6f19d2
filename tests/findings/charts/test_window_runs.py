"""How often the test of all windows errs: the formula, its parts, and what simulation says."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.stats import norm

from balewright.findings.charts import many_windows_kernel as many
from balewright.findings.charts.window_runs import (
    nu,
    windows_chance,
    windows_limit,
    windows_run_bales,
)
from balewright.findings.charts.windows_kernel import new_windows


@pytest.mark.check(model="overshoot of a normal walk", source="siegmund-yakir-nu")
@pytest.mark.published
def test_the_overshoot_function_is_near_its_published_approximation() -> None:
    """Never below (2/x)(Phi(x/2) - 1/2) / ((x/2) Phi(x/2) + phi(x/2)), and 2.2 % above at most,
    which is what the approximation is off by; near 0 as exp(-0.5826 x), to a millionth.
    """
    for x in np.linspace(0.05, 10.0, 60):
        half = x / 2.0
        near = (norm.cdf(half) - 0.5) / half / (half * norm.cdf(half) + norm.pdf(half))
        assert 1.0 <= nu(float(x)) / near < 1.022
    assert nu(0.0201) == pytest.approx(math.exp(-0.5826 * 0.0201), rel=1e-6)
    assert nu(0.0) == 1.0


@pytest.mark.law
@pytest.mark.parametrize(("limit", "series"), [(6.0, 1500), (7.0, 800)])
def test_simulated_run_lengths_of_the_test_of_all_windows(limit: float, series: int) -> None:
    """With fixed seeds the kernel errs as rarely as the formula says, and up to 15 % more rarely;
    alarms come as from a coin, so chances within some bales follow."""
    rng = np.random.default_rng(11)
    mean = windows_run_bales(limit)
    bales = int(3 * mean)
    values = rng.normal(size=series * bales)
    offsets = np.arange(0, len(values) + 1, bales)
    states, found = new_windows(series), many.new_found(series)
    many.windows_kernel(values, np.ones_like(values), offsets, limit, states, found)
    alarms = found[:, many.ALARM]
    told = alarms >= 0.0
    watched = np.where(told, alarms + 1.0, bales).sum()
    simulated = watched / told.sum()  # of an exponential time, cut off at `bales`
    error = 1.0 / math.sqrt(told.sum())
    assert -3.0 * error < math.log(simulated / mean) < 0.14 + 3.0 * error
    some = int(mean)
    share = float((told & (alarms < some)).mean())
    assert share == pytest.approx(windows_chance(limit, some), abs=0.06)


@pytest.mark.derived
def test_limits_and_chances_of_the_test_of_all_windows() -> None:
    """Limit and run length are inverse, one side errs half as often, and far chances are small."""
    for run_bales in (1e3, 1e6, 1e9):
        limit = windows_limit(run_bales)
        assert windows_run_bales(limit) == pytest.approx(run_bales, rel=1e-8)
        assert windows_run_bales(limit, 1) == pytest.approx(2.0 * run_bales, rel=1e-8)
        assert windows_chance(limit, 10.0) == pytest.approx(10.0 / run_bales, rel=0.01)
    assert windows_chance(2.0, 1.0) == 1.0
    assert 0.0 < windows_chance(200.0, 1e6) < 1e-70
    with pytest.raises(ValueError, match="no such test"):
        windows_run_bales(1.0)
