"""Straight strips on any shape: the closed form against hand values and the circles."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.plan.film.layers import Bale
from balewright.plan.film.laying import Laying, Strips
from balewright.plan.film.real_circles import round_rings
from balewright.plan.film.revolved import nearest_corners, straight_short_m2
from balewright.plan.film.shape import Shape, areas_m2, shape_of
from balewright.plan.film.slices import areas_by_layers

SHAPES = st.builds(
    lambda across, taper, bulge, shoulder: Shape(
        across - taper, across + bulge, across + taper, 1.23, shoulder
    ),
    st.floats(1.1, 1.5),
    st.floats(-0.1, 0.1),
    st.floats(-0.1, 0.15),
    st.floats(0.0, 0.15),
)


@pytest.mark.derived
def test_one_strip_on_a_cone_by_hand() -> None:
    """Short of one layer under one strip is the side less w times the slant; of two, all of it."""
    cone = Shape(1.20, 1.25, 1.30, 1.2)
    side_m2 = areas_m2(cone)[0]
    one = straight_short_m2(cone, np.array([0.3]), 0.6, 1)[0]
    assert one == pytest.approx(side_m2 - 0.6 * math.hypot(1.2, 0.05), abs=1e-12)
    assert straight_short_m2(cone, np.array([0.3]), 0.6, 2)[0] == pytest.approx(side_m2, abs=1e-12)


@pytest.mark.derived
def test_a_gap_that_opens_towards_the_wide_end() -> None:
    """Two strips opposite each other leave gaps of pi r - w on either side, only where r is wide.

    Strip 1.9 m, cone 1.20 to 1.30 m: a gap where r > w / pi = 0.6048. Two triangles unrolled:
    each integral of (pi r - w) ds from there to the end, twice.
    """
    cone = Shape(1.20, 1.25, 1.30, 1.2)
    slant = math.hypot(1.2, 0.05) / 0.05  # way per metre of radius
    wide = math.pi * 0.65 - 1.9
    by_hand = 2 * wide**2 / (2 * math.pi) * slant
    assert straight_short_m2(cone, np.array([0.0, 0.5]), 1.9, 1)[0] == pytest.approx(by_hand)


@pytest.mark.law
@settings(max_examples=60)
@given(
    SHAPES,
    st.lists(st.floats(0.0, 1.0), min_size=1, max_size=24),
    st.floats(0.2, 0.9),
    st.integers(1, 6),
)
def test_circles_agree_with_the_closed_form(
    shape: Shape, places: list[float], strip_m: float, need: int
) -> None:
    """Areas summed over circles are the closed form's within the error they admit.

    And 1e-4 of the side, because on kinks the two rules can err alike."""
    column = np.array(places)
    none = np.zeros(len(column))
    strips = Strips(column, none, none + 1.0, none, none, none + strip_m)
    exact = straight_short_m2(shape, column, strip_m, need)
    for ring in round_rings(shape, Laying(strip_m), strips, ()):
        circles = ring.count(np.arange(len(ring.along_m)))
        fine = areas_by_layers(circles, ring.fine_m2)[:need].sum()
        coarse = areas_by_layers(circles, ring.coarse_m2)[:need].sum()
        assert (
            abs(fine - exact[ring.side]) <= 2 * abs(fine - coarse) + 1e-4 * exact[ring.side] + 1e-6
        )


@pytest.mark.law
@given(st.lists(st.floats(0.0, 1.0), min_size=2, max_size=30), st.integers(1, 8))
def test_corners_wander_up_and_down(places: list[float], need: int) -> None:
    """Every high corner is at least the low ones beside it, and the wave closes on itself."""
    if need > len(places):
        return
    low, high = nearest_corners(np.array(places), need)
    assert np.all(high >= low - 1e-9)
    assert np.all(high >= np.roll(low, -1) - 1e-9)


@pytest.mark.derived
def test_the_cylinder_is_the_closed_form_of_the_circle() -> None:
    """On a cylinder the area is one circle's gap times the length: here 16 gaps by hand."""
    shape = shape_of(Bale(1.45, 1.23))
    gap_m = math.pi * 1.45 / 16 - 0.25
    places = np.arange(16) / 16
    short = straight_short_m2(shape, places, 0.25, 1)[0]
    assert short == pytest.approx(16 * gap_m * 1.23, abs=1e-12)
