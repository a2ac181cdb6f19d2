"""Real bales against a million points thrown at each: five standard errors, feature by feature."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.plan.film.course import Course, Leg
from balewright.plan.film.laying import Girth, Laying
from balewright.plan.film.real_bale import count_real_bale
from balewright.plan.film.shape import Shape
from plan.film.thrown_points import Thrown, layers_at, throw

POINTS = 1_000_000
TURN = 0.491 / (math.pi * 1.40)
ROUND = Shape(1.40, 1.40, 1.40, 1.23)
STRAIGHT = Laying(0.55)


@dataclass(frozen=True)
class Case:
    """One bale in the code's own words; `points` says it in plain numbers."""

    shape: Shape = ROUND
    laying: Laying = STRAIGHT
    end_turn: float = TURN
    half_turns: int = 24
    dispensers: int = 2
    need: int = 6

    def course(self) -> Course:
        """One leg, in which the bale's turning changes evenly to its end."""
        turns = self.half_turns / 2
        return Course((Leg(turns, (True,) * self.dispensers, TURN, self.end_turn),))

    def points(self) -> Thrown:
        """The same for the points."""
        shape, laying, turns = self.shape, self.laying, self.half_turns / 2
        growth = (self.end_turn - TURN) / turns
        return Thrown(
            shape.left_m, shape.middle_m, shape.right_m, shape.length_m, shape.shoulder_m,
            laying.strip_m, self.half_turns, self.dispensers,
            turned=lambda time: TURN * time + growth * time**2 / 2,
            height_m=laying.off_height_m,
            tilt_rad=laying.tilt_rad,
            skew=laying.skew_share,
            tail=(laying.tail_share, laying.tail_half_turns),
            girths=tuple((g.from_m, g.to_m, g.turns, g.start_turn) for g in laying.bands),
        )  # fmt: skip


BANDS = (Girth(-0.62, -0.05, 1.0), Girth(-0.25, 0.33, 2.4, 0.3))
PLAIN = Case()
CASES = {
    "cylinder": PLAIN,
    "cone": replace(PLAIN, shape=Shape(1.30, 1.38, 1.46, 1.23)),
    "barrel": replace(PLAIN, shape=Shape(1.30, 1.45, 1.30, 1.23)),
    "waist": replace(PLAIN, shape=Shape(1.48, 1.36, 1.44, 1.20)),
    "shoulders": replace(PLAIN, shape=Shape(1.40, 1.40, 1.40, 1.23, 0.12)),
    "off height": replace(PLAIN, laying=Laying(0.55, off_height_m=0.11)),
    "tilt": replace(PLAIN, laying=Laying(0.55, tilt_rad=0.10)),
    "skew": replace(PLAIN, laying=Laying(0.55, skew_share=1.0)),
    "slip": replace(PLAIN, end_turn=0.55 * TURN),
    "tail": replace(PLAIN, laying=Laying(0.55, tail_share=0.4, tail_half_turns=3)),
    "bands": replace(PLAIN, laying=Laying(0.55, bands=BANDS)),
    "one roll": replace(PLAIN, dispensers=1, half_turns=41, need=4),
    "all of it": Case(
        Shape(1.34, 1.47, 1.40, 1.22, 0.09),
        Laying(0.57, -0.06, 0.05, 0.8, 0.5, 2, BANDS),
        end_turn=0.8 * TURN,
    ),
}


@pytest.mark.law
@pytest.mark.parametrize("name", CASES)
def test_a_million_points_agree(name: str) -> None:
    """Mean, share short and every side's area are within five standard errors of thrown points.

    The points stand in three dimensions, film is laid event by event under a turning bale, and
    no code under test is used. A share is given the error of ten points at least, and the count
    the error that it admits itself.
    """
    case = CASES[name]
    count = count_real_bale(case.shape, case.laying, case.course(), case.need)
    thrown = throw(case.points(), POINTS, seed=sum(map(ord, name)))
    for side in count.wrap.sides:
        layers, area_m2 = thrown[side.side.value]
        number = len(layers)
        assert area_m2 == pytest.approx(side.area_m2, rel=5 / math.sqrt(number))
        assert abs(layers.mean() - side.mean) <= 5 * layers.std() / math.sqrt(number) + 1e-6
        share, short = side.short_frac, (layers < case.need).mean()
        error = math.sqrt(max(share * (1 - share), 10 / number) / number)
        assert abs(short - share) <= 5 * error + side.error_m2 / side.area_m2
        assert side.error_m2 / side.area_m2 < 2e-3
        bare = float(np.sum(layers < side.thinnest))
        assert bare / number <= 1e-4, "points found a spot thinner than the count admits"


ANY_SHAPE = st.builds(
    lambda across, taper, bulge, long, rho: Shape(
        across - taper, across + bulge, across + taper, long, rho
    ),
    st.floats(1.0, 1.7),
    st.floats(-0.12, 0.12),
    st.floats(-0.12, 0.15),
    st.floats(1.0, 1.4),
    st.one_of(st.just(0.0), st.floats(0.02, 0.10)),
)
ANY_LAYING = st.builds(
    Laying,
    st.floats(0.2, 0.9),
    off_height_m=st.floats(-0.1, 0.1),
    tilt_rad=st.floats(-0.1, 0.1),
    skew_share=st.floats(0.0, 1.0),
    tail_share=st.floats(0.1, 1.0),
    tail_half_turns=st.integers(0, 5),
    bands=st.lists(
        st.builds(
            lambda low, wide, turns, start: Girth(low, low + wide, turns, start),
            st.floats(-0.9, 0.3),
            st.floats(0.1, 0.8),
            st.floats(0.2, 3.0),
            st.floats(0.0, 1.0),
        ),
        max_size=2,
    ).map(tuple),
)
ANY_CASE = st.builds(
    Case,
    shape=ANY_SHAPE,
    laying=ANY_LAYING,
    end_turn=st.floats(0.5 * TURN, 1.3 * TURN),
    half_turns=st.integers(1, 50),
    dispensers=st.integers(1, 2),
    need=st.integers(1, 8),
)


@pytest.mark.law
@settings(max_examples=15)
@given(ANY_CASE, st.integers(0, 2**31))
def test_any_bale_agrees_with_points(case: Case, seed: int) -> None:
    """Faults mixed at random: means and shares lie within five standard errors of 60,000 points.

    A share is given the error of ten points at least, a mean 2e-4 for what circles leave open.
    """
    count = count_real_bale(case.shape, case.laying, case.course(), case.need)
    thrown = throw(case.points(), 60_000, seed)
    for side in count.wrap.sides:
        layers, _ = thrown[side.side.value]
        number = max(1, len(layers))
        if number < 100:
            continue
        assert abs(layers.mean() - side.mean) <= 5 * layers.std() / math.sqrt(number) + 2e-4
        share = side.short_frac
        error = math.sqrt(max(share * (1 - share), 10 / number) / number)
        allowed = 5 * error + side.error_m2 / side.area_m2
        assert abs((layers < case.need).mean() - share) <= allowed


@pytest.mark.law
@pytest.mark.parametrize("name", CASES)
def test_the_thinnest_spot_is_where_it_says(name: str) -> None:
    """A point put on the spot of any side, and laid over event by event, has the layers named."""
    case = CASES[name]
    count = count_real_bale(case.shape, case.laying, case.course(), case.need)
    for side in count.wrap.sides:
        spot = side.spot
        there = (spot.side.value, spot.along_m, spot.radius_m, spot.place_turn)
        assert layers_at(case.points(), *there) == spot.layers
