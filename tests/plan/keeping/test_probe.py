"""A probe's calibration: the line, what a reading means, and where it is silent."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from balewright.plan.keeping.probe import ProbePair, calibrate_probe
from balewright.quantities.errors import BadInput

PAIRS = tuple(
    ProbePair(probe, oven)
    for probe, oven in (
        *((0.12, 0.141), (0.14, 0.150), (0.15, 0.171), (0.17, 0.178)),
        *((0.19, 0.205), (0.21, 0.231), (0.24, 0.248), (0.27, 0.289)),
    )
)


@pytest.mark.reference
def test_the_line_is_scipys() -> None:
    """Slope, intercept and the interval of a reading follow from scipy's regression."""
    fitted = calibrate_probe(PAIRS)
    probe = np.array([pair.probe_frac for pair in PAIRS])
    oven = np.array([pair.oven_frac for pair in PAIRS])
    theirs = stats.linregress(probe, oven)
    assert fitted.line.slope == pytest.approx(theirs.slope, rel=1e-12)
    assert fitted.line.intercept == pytest.approx(theirs.intercept, rel=1e-10)
    found = fitted.moisture_frac(0.20)
    assert found is not None
    left = oven - theirs.intercept - theirs.slope * probe
    about = math.sqrt(float(left @ left) / 6)
    wide = math.sqrt(1 + 1 / 8 + (0.20 - probe.mean()) ** 2 / float(np.var(probe) * 8))
    half = stats.t.ppf(0.975, 6) * about * wide
    assert found.high - found.best == pytest.approx(half, rel=1e-9)


@pytest.mark.derived
def test_nothing_is_said_outside_the_pairs() -> None:
    """A reading below or above every pair is unknown: the line is not carried on."""
    fitted = calibrate_probe(PAIRS)
    assert fitted.moisture_frac(0.11) is None
    assert fitted.moisture_frac(0.28) is None
    assert fitted.moisture_frac(0.12) is not None


@pytest.mark.derived
def test_bias_is_how_much_the_probe_reads_above_the_oven() -> None:
    """These pairs average 18.625 % by probe and 20.1625 % by oven: the probe reads 1.5 low."""
    assert calibrate_probe(PAIRS).bias_frac() == pytest.approx(0.18625 - 0.201625, abs=1e-12)


@pytest.mark.law
@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10_000))
def test_new_bales_fall_into_the_interval_as_often_as_it_says(seed: int) -> None:
    """Of 200 new bales about a known line, 80 % intervals of a 60-pair fit hold 60 to 95 %.

    Binomial: the standard error is 2.8 points; the fit's own error moves the share by some more;
    these bounds are six of them away.
    """
    chance = np.random.default_rng(seed)
    reading = chance.uniform(0.12, 0.28, 60)
    oven = 0.02 + 0.95 * reading + chance.normal(0.0, 0.01, 60)
    fitted = calibrate_probe(
        [ProbePair(float(a), float(b)) for a, b in zip(reading, oven, strict=True)]
    )
    new = chance.uniform(fitted.from_frac, fitted.to_frac, 200)
    truth = 0.02 + 0.95 * new + chance.normal(0.0, 0.01, 200)
    held = 0
    for one, true in zip(new, truth, strict=True):
        found = fitted.moisture_frac(float(one), confidence=0.8)
        held += found is not None and found.holds(float(true))
    assert 0.60 <= held / 200 <= 0.95


@pytest.mark.own
@pytest.mark.parametrize("bad", [math.nan, math.inf, -0.1, 1.5])
def test_absurd_readings_are_refused(bad: float) -> None:
    """NaN, infinite, negative and above one: BadInput, in pairs and in readings."""
    with pytest.raises(BadInput):
        calibrate_probe([*PAIRS, ProbePair(bad, 0.2)])
    with pytest.raises(BadInput):
        calibrate_probe([*PAIRS, ProbePair(0.2, bad)])
    with pytest.raises(BadInput):
        calibrate_probe(PAIRS).moisture_frac(bad)
    with pytest.raises(BadInput):
        calibrate_probe(PAIRS).moisture_frac(0.2, confidence=bad)


@pytest.mark.own
def test_pairs_that_make_no_probe_are_refused() -> None:
    """Too few, all at one reading, or falling where the oven rises."""
    with pytest.raises(BadInput, match="5 pairs or more"):
        calibrate_probe(PAIRS[:4])
    with pytest.raises(BadInput, match="different places"):
        calibrate_probe([ProbePair(0.2, 0.1 + place / 50) for place in range(6)])
    with pytest.raises(BadInput, match="rises with the oven"):
        calibrate_probe([ProbePair(0.1 + place / 50, 0.3 - place / 50) for place in range(6)])
