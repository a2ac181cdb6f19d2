"""How far a worked-out value can be off."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize, stats

from balewright.plan.film.error_budget import Part, combine, quantile
from balewright.quantities.errors import BadInput

#: GUM H.2: voltage, current and phase with their correlations.
H2 = (Part("V", 4.999, 3.2e-3), Part("I", 19.661e-3, 9.5e-6), Part("phi", 1.04446, 7.5e-4))
TOGETHER = {("V", "I"): -0.36, ("V", "phi"): 0.86, ("I", "phi"): -0.65}


@pytest.mark.published
@pytest.mark.check(model="film.error_budget", source="jcgm-100")
def test_resistance_and_reactance_of_the_guide() -> None:
    """H.2 prints R = 127.732(70), X = 219.85(30), Z = 254.26(24): all digits shown."""
    resistance = combine(lambda at: at["V"] * math.cos(at["phi"]) / at["I"], H2, TOGETHER)
    reactance = combine(lambda at: at["V"] * math.sin(at["phi"]) / at["I"], H2, TOGETHER)
    impedance = combine(lambda at: at["V"] / at["I"], H2, TOGETHER)
    assert (round(resistance.value, 3), round(resistance.spread, 3)) == (127.732, 0.070)
    assert (round(reactance.value, 2), round(reactance.spread, 2)) == (219.85, 0.30)
    assert (round(impedance.value, 2), round(impedance.spread, 2)) == (254.26, 0.24)


@pytest.mark.published
@pytest.mark.check(model="film.error_budget", source="jcgm-100")
def test_end_gauge_of_the_guide() -> None:
    """H.1: 50000838(32) nm, with shares of 25, 16.599, 6.7, 5.8, 3.9 and 2.88679 nm."""
    parts = (
        Part("ls", 5.0000623e7, 25.0, 18),
        Part("d0", 215.0, 5.8, 24),
        Part("d1", 0.0, 3.9, 5),
        Part("d2", 0.0, 6.7, 8),
        Part("alpha", 11.5e-6, 2e-6 / math.sqrt(3)),
        Part("d_alpha", 0.0, 1e-6 / math.sqrt(3), 50),
        Part("d_theta", 0.0, 0.05 / math.sqrt(3), 2),
        Part("theta", -0.1, 0.2),
        Part("cycle", 0.0, 0.5 / math.sqrt(2)),
    )
    found = combine(
        lambda at: (
            at["ls"] + at["d0"] + at["d1"] + at["d2"]
            - at["ls"] * (at["d_alpha"] * (at["theta"] + at["cycle"]) + at["alpha"] * at["d_theta"])
        ),
        parts,
    )  # fmt: skip
    assert (round(found.value), round(found.spread)) == (50000838, 32)
    shares = dict(found.shares)
    for name, reach in {"ls": 25.0, "d_theta": 16.599, "d2": 6.7, "d_alpha": 2.88679}.items():
        assert math.sqrt(shares[name]) * found.spread == pytest.approx(reach, rel=1e-4)


@pytest.mark.reference
@pytest.mark.check(model="film.error_budget", source="scipy-optimize")
@settings(max_examples=30)
@given(st.floats(0.5, 3.0), st.floats(0.5, 3.0), st.floats(1e-4, 0.05), st.floats(1e-4, 0.05))
def test_slopes_are_those_of_an_independent_gradient(
    x: float, y: float, dx: float, dy: float
) -> None:
    """The spread of x^y / (x + y) by scipy's finite-difference gradient (good to 1e-6)."""

    def model(x: float, y: float) -> float:
        return float(x**y / (x + y))

    found = combine(lambda at: model(at["x"], at["y"]), (Part("x", x, dx), Part("y", y, dy)))
    slope = optimize.approx_fprime(np.array([x, y]), lambda p: model(p[0], p[1]), 1e-7)
    assert found.spread == pytest.approx(math.hypot(slope[0] * dx, slope[1] * dy), rel=1e-3)


@pytest.mark.reference
@pytest.mark.parametrize("degrees", [1, 2, 5, 30, 400, None])
@pytest.mark.parametrize("confidence", [0.5, 0.9, 0.95, 0.999])
def test_quantiles_are_those_of_the_library(degrees: int | None, confidence: float) -> None:
    """Student's t, and the normal where the spread is known."""
    upper = 0.5 + confidence / 2.0
    theirs = stats.norm.ppf(upper) if degrees is None else stats.t.ppf(upper, degrees)
    assert quantile(confidence, degrees) == pytest.approx(theirs, rel=1e-9)


@pytest.mark.derived
def test_degrees_of_freedom_add_up_by_hand() -> None:
    """Two equal parts on 5 degrees each make 10; a known part beside one of 4 makes 16."""
    two = combine(lambda at: at["a"] + at["b"], (Part("a", 1.0, 2.0, 5), Part("b", 1.0, 2.0, 5)))
    one = combine(lambda at: at["a"] + at["b"], (Part("a", 1.0, 2.0, 4), Part("b", 1.0, 2.0)))
    known = combine(lambda at: at["a"], (Part("a", 1.0, 2.0),))
    assert (two.degrees, one.degrees, known.degrees) == (10, 16, None)


@pytest.mark.law
def test_shares_make_the_whole_and_nothing_uncertain_has_none() -> None:
    """Shares add up to 1, or to 0 where all is known; then the interval is the value."""
    found = combine(lambda at: at["a"] * at["b"], (Part("a", 2.0, 0.1), Part("b", 3.0, 0.2)))
    assert math.fsum(share for _, share in found.shares) == pytest.approx(1.0)
    sure = combine(lambda at: at["a"], (Part("a", 2.0, 0.0),))
    assert sure.shares == (("a", 0.0),)
    assert sure.interval().low == sure.interval().high == 2.0


@pytest.mark.law
@pytest.mark.parametrize("bad", [float("nan"), float("inf"), -1.0])
def test_spreads_and_confidences_that_cannot_be_are_refused(bad: float) -> None:
    """Not a number, endless, below zero; names twice; correlation above one."""
    with pytest.raises(BadInput, match="spread"):
        Part("a", 1.0, bad)
    with pytest.raises(BadInput, match="confidence"):
        quantile(bad, None)
    twice = (Part("a", 1.0, 0.1), Part("a", 1.0, 0.1))
    with pytest.raises(BadInput, match="each name once"):
        combine(lambda at: at["a"], twice)
    pair = (Part("a", 1.0, 0.1), Part("b", 1.0, 0.1))
    with pytest.raises(BadInput, match="correlation"):
        combine(lambda at: at["a"] + at["b"], pair, {("a", "b"): 1.5})
