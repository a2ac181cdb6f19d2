"""Arcs on a circle: counts that can be checked by hand, and laws that hold for any arcs."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.plan.film.arcs import Arcs, lay_arcs

CENTRES = st.lists(st.floats(-20.0, 20.0), min_size=0, max_size=30)
HALVES = st.floats(0.01, 0.24)


@pytest.mark.derived
def test_two_arcs_overlap_where_they_should() -> None:
    """Arcs [0, 0.2) and [0.1, 0.3) give one layer, two, one, and none on the rest."""
    arcs = lay_arcs([0.1, 0.2], 0.1)
    assert arcs.layers == (1, 2, 1, 0)
    assert arcs.starts == pytest.approx((0.0, 0.1, 0.2, 0.3))
    assert arcs.lengths() == pytest.approx((0.1, 0.1, 0.1, 0.7))


@pytest.mark.derived
def test_an_arc_through_zero_is_one_arc() -> None:
    """An arc round place 0 covers both of its ends and is one stretch, not two."""
    arcs = lay_arcs([0.0], 0.1)
    assert (arcs.at(0.95), arcs.at(0.05), arcs.at(0.5)) == (1, 1, 0)
    assert [length for _, length in arcs.slivers(1)] == pytest.approx([0.8])


@pytest.mark.derived
def test_half_open_arcs_tile_without_slivers() -> None:
    """Ten arcs of a tenth, edge to edge up to rounding, are one even layer."""
    arcs = lay_arcs([place * 0.1 + 7.0 for place in range(10)], 0.05)
    assert (len(arcs.starts), arcs.layers) == (1, (1,))
    assert list(arcs.slivers(1)) == []


@pytest.mark.derived
@pytest.mark.parametrize("gap", [5e-10, 2e-9])
def test_only_gaps_above_a_thousand_millionth_count(gap: float) -> None:
    """A gap of 0.5e-9 of the circle is no spot; one of 2e-9 is, and is told."""
    arcs = lay_arcs([0.2, 0.2 + 0.2 + gap, 0.7, 0.9], 0.1 + 1e-12)
    widest = max((length for _, length in arcs.slivers(1) if length < 0.05), default=0.0)
    assert widest == pytest.approx(gap if gap > 1e-9 else 0.0, abs=1e-11)


@pytest.mark.derived
def test_nothing_laid_is_bare_all_round() -> None:
    """No arcs: no layer anywhere, and the bare stretch is the whole circle."""
    arcs = lay_arcs([], 0.1)
    assert arcs == Arcs((0.0,), (0,))
    assert list(arcs.slivers(1)) == [(0.0, 1.0)]


@pytest.mark.law
@given(CENTRES, HALVES)
def test_what_is_laid_is_found_again(centres: list[float], half: float) -> None:
    """The integral of layers is the length of all arcs, up to the spots that do not count."""
    arcs = lay_arcs(centres, half)
    assert arcs.mean() == pytest.approx(2 * half * len(centres), abs=4e-9 * (len(centres) + 1))
    assert math.fsum(arcs.lengths()) == pytest.approx(1.0, abs=1e-12)


@pytest.mark.law
@given(CENTRES, HALVES, st.floats(0.0, 1.0))
def test_layers_at_a_place_are_the_arcs_over_it(
    centres: list[float], half: float, place: float
) -> None:
    """Counting the arcs whose middle is near enough gives the same number at any one place."""
    off = [abs((place - centre + 0.5) % 1.0 - 0.5) for centre in centres]
    if all(abs(distance - half) > 1e-8 for distance in off):
        assert lay_arcs(centres, half).at(place) == sum(distance < half for distance in off)


@pytest.mark.law
@settings(max_examples=50)
@given(
    st.lists(st.integers(0, 9999), max_size=30),
    st.integers(100, 2400),
    st.integers(0, 9999),
    st.integers(1, 9),
)
def test_turning_or_mirroring_the_circle_changes_nothing(
    places: list[int], half: int, turn: int, need: int
) -> None:
    """Where the first strip falls, and which way the bale turns, change no count."""
    centres, width = [place / 10_000 for place in places], (half + 0.5) / 10_000
    plain = lay_arcs(centres, width)
    turned = lay_arcs([centre + turn / 10_000 for centre in centres], width)
    mirrored = lay_arcs([-centre for centre in centres], width)
    for other in (turned, mirrored):
        assert other.thinnest() == plain.thinnest()
        assert other.short_frac(need) == pytest.approx(plain.short_frac(need), abs=1e-11)
        assert sorted(length for _, length in other.slivers(need)) == pytest.approx(
            sorted(length for _, length in plain.slivers(need)), abs=1e-11
        )


@pytest.mark.law
@given(CENTRES, HALVES, st.integers(1, 6))
def test_slivers_add_up_to_the_share_short(centres: list[float], half: float, need: int) -> None:
    """The connected short stretches together are the share that is short."""
    arcs = lay_arcs(centres, half)
    total = math.fsum(length for _, length in arcs.slivers(need))
    assert total == pytest.approx(arcs.short_frac(need), abs=1e-12)
