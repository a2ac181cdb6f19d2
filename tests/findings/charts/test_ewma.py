"""The moving average against NIST's worked example and against a sum written out."""

from __future__ import annotations

import math

import numpy as np
import pytest

from balewright.findings.charts import ewma_kernel as ewma

#: NIST/SEMATECH handbook 6.3.2.4: target 50, standard deviation 2.0539, share 0.3, limit 3.
NIST = np.array(
    [
        *(52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5),
        *(49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1),
    ]
)


@pytest.mark.check(model="EWMA chart", source="nist-ewma")
@pytest.mark.published
def test_nist_ewma_example() -> None:
    """NIST's limits, its last five averages, and no alarm."""
    state = ewma.new_ewma()
    averages = [50 + 2.0539 * ewma.ewma_step(state, (x - 50) / 2.0539, 0.3)[0] for x in NIST]
    assert [f"{one:.2f}" for one in averages[-5:]] == ["49.92", "50.73", "51.23", "51.94", "51.99"]
    late = 3.0 * 2.0539 * math.sqrt(0.3 / 1.7)
    assert (50 + late, 50 - late) == pytest.approx((52.5884, 47.4115), abs=1e-4)
    states = ewma.new_ewma(1)
    ewma.ewma_kernel((NIST - 50) / 2.0539, np.array([0, 20]), 0.3, 3.0, states)
    assert states[0, ewma.ALARM] == -1.0


@pytest.mark.law
@pytest.mark.parametrize("share", [0.03, 0.2, 1.0])
def test_the_average_is_the_weighted_sum(share: float) -> None:
    """With gaps, cut in two: the sum written out, its exact spread, and the first alarm."""
    rng = np.random.default_rng(4)
    values = rng.normal(0.4, 1.0, 300)
    values[rng.random(300) < 0.2] = np.nan
    states = ewma.new_ewma(1)
    for part in (values[:110], values[110:]):
        ewma.ewma_kernel(part, np.array([0, len(part)]), share, 2.5, states)
    first, side = -1, 0.0
    for bale in range(300):
        known = values[: bale + 1][~np.isnan(values[: bale + 1])]
        weights = share * (1.0 - share) ** np.arange(len(known))[::-1]
        average, spread = float(weights @ known), math.sqrt(float(weights @ weights))
        if first < 0 and abs(average) > 2.5 * spread > 0.0:
            first, side = bale, math.copysign(1.0, average)
    assert states[0, ewma.AVERAGE] == pytest.approx(average, abs=1e-12)
    assert ewma.ewma_step(states[0], math.nan, share)[1] == pytest.approx(spread, rel=1e-9)
    assert (states[0, ewma.ALARM], states[0, ewma.ALARM_SIDE]) == (first, side)
    assert states[0, ewma.SEEN] == 301.0
