"""How strips are laid: bands, binding, tails and what cannot be."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from balewright.plan.film.course import Course, Leg
from balewright.plan.film.laying import (
    Girth,
    Laying,
    binding_film,
    flat_lines_m,
    require_fit,
    slipping,
    spread_bands,
    strips_of,
)
from balewright.plan.film.shape import Shape, shape_of
from balewright.plan.film.strip import Bale
from balewright.quantities.errors import BadInput

SHAPE = shape_of(Bale(1.25, 1.23))
COURSE = Course((Leg(12.0, (True, True), 0.125),))


@pytest.mark.derived
def test_a_tail_narrows_the_first_half_turns_of_each_fresh_roll() -> None:
    """Two half turns of 40 % width for each dispenser, and again for a roll put on at turn 6."""
    laying = Laying(0.6, tail_share=0.4, tail_half_turns=2)
    assert int(np.isclose(strips_of(laying, COURSE).width_m, 0.24).sum()) == 4
    legs = (Leg(6.0, (True, True), 0.125), Leg(6.0, (True, True), 0.125, fresh=(False, True)))
    assert int(np.isclose(strips_of(laying, Course(legs)).width_m, 0.24).sum()) == 6


@pytest.mark.derived
def test_bands_reach_from_shoulder_to_shoulder() -> None:
    """Three turns of 0.6 m on 1.23 m: edges at the ends, the middle one in the middle."""
    bands = spread_bands(SHAPE, 0.6, 3)
    edges = [edge for band in bands for edge in (band.from_m, band.to_m)]
    assert edges == pytest.approx([-0.615, -0.015, -0.3, 0.3, 0.015, 0.615])
    assert spread_bands(SHAPE, 0.6, 1)[0].from_m == pytest.approx(-0.3)
    assert spread_bands(SHAPE, 0.6, 0) == ()


@pytest.mark.derived
def test_binding_film_counts_its_whole_turns_and_the_begun_one() -> None:
    """3.4 turns are three layers all round and one more on 0.4 of the girth."""
    (girth,) = binding_film(3.4, 1.25)
    assert (girth.whole, girth.begun_turn) == (3, pytest.approx(0.4))
    assert binding_film(0.0, 1.25) == ()


@pytest.mark.derived
def test_lines_on_the_flat_sides_by_hand() -> None:
    """Film 0.1 m high runs 0.1 m off the middle; tilted by 0.1 the two sides differ by L tan.

    With skew alone a strip that crosses in s of a wrap turn runs R sin(pi k s) off the middle.
    """
    off = Laying(0.6, off_height_m=0.1, tilt_rad=0.1)
    strips = strips_of(off, COURSE)
    for side, sign in ((0, -1), (1, 1)):
        lines = flat_lines_m(SHAPE, off, strips, side)[strips.over(side)]
        assert lines == pytest.approx(0.1 + sign * 0.615 * math.tan(0.1))
    skew = Laying(0.6, skew_share=1.0)
    strips = strips_of(skew, COURSE)
    crossing_turn = 0.5 - 1.23 / 4.96
    line_m = 0.625 * math.sin(math.pi * 0.125 * crossing_turn)
    assert flat_lines_m(SHAPE, skew, strips, 0)[strips.over(0)] == pytest.approx(line_m)
    assert flat_lines_m(SHAPE, skew, strips, 1)[strips.over(1)] == pytest.approx(-line_m)


@pytest.mark.law
@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf, 60.0])
@pytest.mark.parametrize(
    "name", ["strip_m", "off_height_m", "tilt_rad", "skew_share", "tail_share"]
)
def test_absurd_laying_is_refused(name: str, bad: float) -> None:
    """No number, or one in the wrong unit, is refused by name."""
    with pytest.raises(BadInput, match=name):
        replace(Laying(0.6), **{name: bad})


@pytest.mark.law
@pytest.mark.parametrize(
    "bad", [(0.1, 0.1, 1.0), (0.2, -0.2, 1.0), (math.nan, 0.3, 1.0), (-0.3, 0.3, -1.0),
            (-0.3, 0.3, math.inf), (-0.3, 30.0, 1.0)]
)  # fmt: skip
def test_absurd_bands_are_refused(bad: tuple[float, float, float]) -> None:
    """A band without width, the wrong way round, or of no number of turns is refused."""
    with pytest.raises(BadInput):
        Girth(*bad)


@pytest.mark.law
def test_film_that_cannot_lie_is_refused() -> None:
    """A strip round half the bale, and film that runs past a flat side, are refused with limits."""
    with pytest.raises(BadInput, match="half the least girth"):
        require_fit(shape_of(Bale(0.6, 1.2)), Laying(0.95))
    with pytest.raises(BadInput, match="mid-height"):
        require_fit(SHAPE, Laying(0.6, off_height_m=0.6))
    with pytest.raises(BadInput, match="mid-height"):
        require_fit(SHAPE, Laying(0.6, off_height_m=0.3, tilt_rad=0.4))


@pytest.mark.derived
def test_slip_grows_evenly_over_legs() -> None:
    """A fifth less at the end: 0.9 of the turning halfway, over two legs as over one.

    Hand: at k = 0.125 and 12 turns the bale makes 1.5 turns; with the slip 1.5 x 0.9.
    """
    halves = Course((Leg(6.0, (True,), 0.125), Leg(6.0, (True,), 0.125)))
    first, second = slipping(halves, 0.2).legs
    assert (first.bale_turn, second.end_bale_turn) == pytest.approx((0.125, 0.1))
    assert first.end_bale_turn == pytest.approx(second.bale_turn) == pytest.approx(0.1125)
    turned = first.bale_turned(6.0) + second.bale_turned(6.0)
    assert turned == pytest.approx(1.5 * 0.9)
    with pytest.raises(BadInput, match="slip_share"):
        slipping(halves, 1.0)


@pytest.mark.derived
def test_bands_on_a_taper_reach_both_ends() -> None:
    """The way to the two flat sides differs on a bulged taper; the outer bands end at both."""
    shape = Shape(1.20, 1.35, 1.30, 1.23, 0.05)
    bands = spread_bands(shape, 0.5, 4)
    assert bands[0].from_m == pytest.approx(-shape.half_path_m(0))
    assert bands[-1].to_m == pytest.approx(shape.half_path_m(1))
