"""Flat sides: bands over a disc against plane geometry done by hand, and laws."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.plan.film.flats import chord_band_m2, count_flat

DISC_M2 = math.pi * 1.25**2 / 4
DIRECTIONS = st.lists(st.floats(0.0, 1.0, exclude_max=True), min_size=1, max_size=24)


@pytest.mark.derived
def test_band_and_what_gathers_at_the_rim() -> None:
    """Of 0.60 m x 1.25 m = 0.750 m2 of strip 0.720 m2 lie flat and 0.030 m2 gather at the rim.

    Hand: 2 (0.3 sqrt(0.625^2 - 0.3^2) + 0.625^2 asin(0.48)) = 0.7201.
    """
    flat = count_flat([0.0], 1.25, 0.60, need_layers=1)
    assert flat.band_m2 == pytest.approx(0.720, abs=5e-4)
    assert flat.rim_m2 == pytest.approx(0.030, abs=5e-4)
    assert chord_band_m2(1.25, 1.25) == pytest.approx(DISC_M2)


@pytest.mark.derived
def test_one_band_leaves_two_segments_bare() -> None:
    """Short of one layer under a single strip is the disc less the band; depth (D - w)/2."""
    flat = count_flat([0.3], 1.25, 0.60, need_layers=1)
    assert flat.short_frac == pytest.approx(1 - chord_band_m2(1.25, 0.60) / DISC_M2, abs=1e-12)
    assert flat.thinnest == 0
    assert flat.depth_m == pytest.approx((1.25 - 0.60) / 2)
    assert flat.sliver_m == pytest.approx(1.25 * math.acos(0.60 / 1.25))


@pytest.mark.derived
@pytest.mark.parametrize("between", [0.5, 0.4])
def test_two_bands_meet_in_a_rhombus(between: float) -> None:
    """Two layers lie exactly on the rhombus w^2 / sin(angle), as long as it fits the disc."""
    flat = count_flat([0.1, 0.1 + between], 1.25, 0.60, need_layers=2)
    rhombus_m2 = 0.60**2 / math.sin(math.pi * between)
    assert flat.short_frac == pytest.approx(1 - rhombus_m2 / DISC_M2, abs=1e-12)


@pytest.mark.derived
def test_strip_as_wide_as_the_disc_covers_all_of_it() -> None:
    """Strips wider than the diameter leave every spot with every layer."""
    flat = count_flat([0.0, 0.2, 0.9], 1.25, 1.30, need_layers=3)
    assert (flat.thinnest, flat.short_frac, flat.sliver_m) == (3, 0.0, 0.0)
    assert flat.mean == pytest.approx(3.0)
    bare = count_flat([0.0], 1.25, 1.30, need_layers=2)
    assert (bare.thinnest, bare.short_frac) == (1, 1.0)


@pytest.mark.derived
def test_a_side_never_crossed_is_bare() -> None:
    """No strip over a side: no layer, all of it short, all round the rim."""
    flat = count_flat([], 1.25, 0.60, need_layers=1)
    assert (flat.thinnest, flat.mean, flat.short_frac) == (0, 0.0, 1.0)
    assert flat.sliver_m == pytest.approx(math.pi * 1.25)


@pytest.mark.law
@given(DIRECTIONS, st.floats(0.1, 1.2))
def test_area_by_level_adds_up_to_film_laid(directions: list[float], strip_m: float) -> None:
    """Areas with at least 1, 2, 3, ... layers together are the area of all the bands."""
    flats = [count_flat(directions, 1.25, strip_m, n + 1) for n in range(len(directions))]
    covered = math.fsum(1.0 - flat.short_frac for flat in flats)
    assert covered == pytest.approx(flats[0].mean, abs=2e-9 * len(directions) + 1e-9)


@pytest.mark.law
@given(DIRECTIONS, st.floats(0.1, 1.2), st.integers(1, 12), st.floats(0.0, 1.0))
def test_turning_or_mirroring_the_side_changes_nothing(
    directions: list[float], strip_m: float, need: int, turn: float
) -> None:
    """The area short depends on the angles between strips, not on where the first one lies."""
    plain = count_flat(directions, 1.25, strip_m, need).short_frac
    turned = count_flat([d + turn for d in directions], 1.25, strip_m, need).short_frac
    mirrored = count_flat([-d for d in directions], 1.25, strip_m, need).short_frac
    assert (turned, mirrored) == pytest.approx((plain, plain), abs=3e-9)


@pytest.mark.law
@settings(max_examples=40)
@given(DIRECTIONS, st.floats(0.2, 1.1), st.integers(1, 10))
def test_thinnest_is_short_of_one_more_and_of_no_less(
    directions: list[float], strip_m: float, need: int
) -> None:
    """A side is short of `need` exactly when its thinnest spot has fewer layers."""
    flat = count_flat(directions, 1.25, strip_m, need)
    assert (flat.short_frac > 0.0) == (flat.thinnest < need)
