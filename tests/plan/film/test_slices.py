"""Many circles at once against one at a time, and the rule that sums them."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from balewright.plan.film.arcs import lay_arcs
from balewright.plan.film.slices import areas_by_layers, count_circles, rule_between

CENTRES = st.lists(st.floats(-3.0, 3.0), min_size=1, max_size=30)


@pytest.mark.law
@given(CENTRES, st.floats(0.01, 0.49), st.integers(1, 8))
def test_circles_count_as_single_circles_do(centres: list[float], half: float, need: int) -> None:
    """Thinnest, share by layers and the widest short arc are those of the one-circle count."""
    starts = np.array([centres]) - half
    circles = count_circles(starts, np.full_like(starts, 2 * half), np.zeros(1, dtype=np.int64))
    arcs = lay_arcs(centres, half)
    shares = areas_by_layers(circles, np.ones(1))
    assert shares[:need].sum() == pytest.approx(arcs.short_frac(need), abs=1e-7)
    assert shares @ np.arange(len(shares)) == pytest.approx(len(centres) * 2 * half, abs=1e-6)
    widest = max((length for _, length in arcs.slivers(need)), default=0.0)
    assert circles.widest(need)[0][0] == pytest.approx(widest, abs=1e-7)


@pytest.mark.derived
def test_whole_circles_and_layers_everywhere() -> None:
    """An arc of a turn and more covers all; layers everywhere are added; no arcs are bare."""
    base = np.array([2], dtype=np.int64)
    circles = count_circles(np.array([[0.2, 0.5]]), np.array([[1.3, 0.25]]), base)
    assert areas_by_layers(circles, np.ones(1)).tolist() == pytest.approx([0, 0, 0, 0.75, 0.25])
    bare = count_circles(np.zeros((1, 0)), np.zeros((1, 0)), base)
    assert areas_by_layers(bare, np.ones(1)).tolist() == [0.0, 0.0, 1.0]
    assert bare.widest(3)[0][0] == 1.0


@pytest.mark.derived
def test_the_rule_is_of_high_order_and_knows_its_error() -> None:
    """Polynomials of degree 8 and a square root at a breakpoint are summed to rounding.

    Kronrod's seven points are exact to degree 9, the four Lobatto points inside to degree 5; the
    ends are looked at from 1e-9 inside, which is the tolerance.
    """
    rule = rule_between([0.0, 1.0, 3.0], [2, 3])
    assert rule.fine @ rule.places**8 == pytest.approx(3.0**9 / 9, rel=1e-7)
    assert rule.coarse @ rule.places**5 == pytest.approx(3.0**6 / 6, rel=1e-7)
    assert abs((rule.fine - rule.coarse) @ np.abs(rule.places - 0.37)) > 1e-6
    rooted = rule_between([0.2, 1.0], [2], rooted=True)
    assert rooted.fine @ np.sqrt(rooted.places - 0.2) == pytest.approx(0.8**1.5 * 2 / 3, rel=1e-7)
    assert math.isclose(rooted.fine.sum(), 0.8, rel_tol=1e-8)
