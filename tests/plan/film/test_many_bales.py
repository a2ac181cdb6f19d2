"""The compiled count against the plain one, case by case, and its own laws."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.plan.film import layers_kernel
from balewright.plan.film.count_course import count_course
from balewright.plan.film.course import Course, Leg, crossings
from balewright.plan.film.layers import Bale, LayerCount
from balewright.plan.film.laying import Laying
from balewright.plan.film.many_bales import (
    CountedMany,
    ManyBales,
    count_many,
    legs_of_courses,
    many_bales,
    plain_legs,
    repeat_course,
)
from balewright.plan.film.real_bale import Side, count_real_bale
from balewright.plan.film.shape import Shape
from balewright.quantities.errors import BadInput

CASES = 2500


def some_course(chance: np.random.Generator, dispensers: int) -> Course:
    """Legs of every kind: rolls lost and put on, slip, a stop, tiny legs, a turning of 1/8."""
    legs = []
    for _ in range(int(chance.integers(1, 5))):
        turns = float(chance.choice([chance.integers(1, 20) / 2, chance.uniform(0.05, 9.0)]))
        speed = float(chance.choice([0.125, 1 / 9, chance.uniform(0.03, 0.3)], p=[0.2, 0.1, 0.7]))
        end = float(chance.uniform(0.03, 0.3)) if chance.random() < 0.2 else None
        running = tuple(bool(on) for on in chance.random(dispensers) < 0.8)
        fresh = tuple(bool(on) for on in chance.random(dispensers) < 0.2)
        rolled = float(chance.uniform(-0.5, 0.5)) if chance.random() < 0.2 else 0.0
        legs.append(Leg(turns, running, speed, end, fresh if chance.random() < 0.5 else (), rolled))
    return Course(tuple(legs))


def compare(many: ManyBales, courses: list[Course]) -> None:
    """Every case of `many` (cylinders) counted the plain way gives the same."""
    counted = count_many(many)
    for case, course in enumerate(courses):
        plain = count_course(
            Bale(float(many.diameter_m[case]), 1.2),
            float(many.strip_m[case]),
            course,
            int(many.need_layers[case]),
            int(many.binding_layers[case]),
        )
        assert_same(counted, case, plain, float(many.diameter_m[case]))


def assert_same(counted: CountedMany, case: int, plain: LayerCount, diameter_m: float) -> None:
    """Layers equal, shares to 1e-12, stretches to a spot (1e-9 of the way round): see below.

    The plain count takes the first of stretches that differ by less than a spot, this one the
    widest. The mean of the plain count is a sum over arcs whose edges were joined to a spot.
    """
    girth_m = math.pi * diameter_m
    assert counted.thinnest[case] == plain.thinnest
    assert counted.short_frac[case] == pytest.approx(plain.bound_short_frac, abs=1e-12)
    assert counted.sliver_m[case] == pytest.approx(plain.bound_sliver_m, abs=1e-9 * girth_m)
    assert counted.round_mean[case] == pytest.approx(plain.round_mean, abs=1e-7)
    assert counted.flat_thinnest is not None
    assert counted.flat_short_frac is not None
    assert counted.flat_sliver_m is not None
    for side, flat in enumerate(plain.flats):
        assert counted.flat_thinnest[case, side] == flat.thinnest
        assert counted.flat_short_frac[case, side] == pytest.approx(flat.short_frac, abs=1e-12)
        assert counted.flat_sliver_m[case, side] == pytest.approx(flat.sliver_m, abs=1e-9 * girth_m)


@pytest.mark.derived
def test_thousands_of_random_courses_count_as_one_by_one() -> None:
    """Lost rolls, new tails, slip, stops, one roll or two: the same figures as the plain count."""
    chance = np.random.default_rng(20310614)
    dispensers = chance.integers(1, 3, CASES)
    courses = [some_course(chance, int(rolls)) for rolls in dispensers]
    many = many_bales(
        diameter_m=chance.uniform(0.6, 1.9, CASES),
        length_m=1.2,
        strip_m=chance.uniform(0.2, 0.9, CASES),
        need_layers=chance.integers(1, 12, CASES),
        dispensers=dispensers,
        legs=legs_of_courses(courses),
        binding_layers=np.where(chance.random(CASES) < 0.3, chance.integers(0, 5, CASES), 0),
    )
    compare(many, courses)


@pytest.mark.derived
def test_turnings_that_come_back_to_the_same_places_count_as_one_by_one() -> None:
    """k = 1/8 and its kin lay strips on strips, edge to edge: rounding makes no spot."""
    chance = np.random.default_rng(7)
    courses, strips_m, diameters_m = [], [], []
    for _ in range(400):
        parts = int(chance.integers(3, 20))
        rolls = int(chance.integers(1, 3))
        courses.append(
            Course((Leg(float(chance.integers(1, 60)) / 2, (True,) * rolls, 1 / parts),))
        )
        diameters_m.append(float(chance.uniform(1.0, 1.6)))
        steps = int(chance.integers(1, parts)) / (2 * parts)
        strips_m.append(min(0.45, max(steps, 0.02)) * math.pi * diameters_m[-1])
    many = many_bales(
        diameter_m=diameters_m,
        length_m=1.2,
        strip_m=strips_m,
        need_layers=chance.integers(1, 9, len(courses)),
        dispensers=[course.dispensers for course in courses],
        legs=legs_of_courses(courses),
    )
    compare(many, courses)


@pytest.mark.derived
def test_hand_value_of_the_trade() -> None:
    """12 turns of two rolls, strip 0.60 m, advance 0.491 m: 6 layers at 1.25 m, 4 at 1.45 m."""
    diameters_m = np.array([1.25, 1.35, 1.45])
    legs = plain_legs([12.0] * 3, 0.491 / (math.pi * diameters_m), 2)
    many = many_bales(
        diameter_m=diameters_m, length_m=1.23, strip_m=0.60, need_layers=6, dispensers=2, legs=legs
    )
    counted = count_many(many, flats=False)
    assert counted.thinnest.tolist() == [6, 5, 4]
    assert counted.short_frac == pytest.approx([0.0, 0.09, 0.26], abs=5e-3)
    assert counted.flat_thinnest is None


def shaped(cone_m: float, barrel_m: float, **columns: Any) -> ManyBales:
    """A bale of 1.35 m that is somewhat short at 12 turns."""
    given: dict[str, Any] = {"diameter_m": 1.35, "strip_m": 0.60, "need_layers": 6} | columns
    turns = given.pop("turns", 12.0)
    legs = plain_legs([turns], given.pop("bale_turn", 0.1158), 2)
    return many_bales(
        length_m=1.2, dispensers=2, legs=legs, cone_m=cone_m, barrel_m=barrel_m, **given
    )


def by_slices(many: ManyBales, slices: int) -> tuple[float, int]:
    """Share short and fewest layers of a shaped bale, cut into rings of one diameter each.

    The same turns per wrap turn on every ring; a ring weighs by its girth. Middle points.
    """
    along = (np.arange(slices) + 0.5) / slices * 2 - 1
    diameter_m, strip_m, slant_m, bulge_m = many.shapes[0]
    rings_m = diameter_m + 2 * (slant_m * along - bulge_m * along**2)
    turns, bale_turn = float(many.legs.turns[0]), float(many.legs.bale_turn[0])
    rings = many_bales(
        diameter_m=rings_m,
        length_m=1.2,
        strip_m=strip_m,
        need_layers=int(many.need_layers[0]),
        dispensers=2,
        legs=plain_legs([turns] * slices, bale_turn, 2),
    )
    counted = count_many(rings, flats=False)
    share = float((counted.short_frac * rings_m).sum() / rings_m.sum())
    return share, int(counted.thinnest.min())


@pytest.mark.law
@settings(max_examples=60, deadline=None)
@given(
    cone_m=st.floats(-0.3, 0.3),
    barrel_m=st.floats(-0.2, 0.2),
    turns=st.integers(8, 40).map(lambda halves: halves / 2),
    bale_turn=st.floats(0.05, 0.2),
    need=st.integers(1, 9),
)
def test_a_cone_or_a_barrel_is_the_sum_of_its_rings(
    cone_m: float, barrel_m: float, turns: float, bale_turn: float, need: int
) -> None:
    """The closed form is what 4000 cylinders, one beside the other, come to.

    The integrand has kinks and a slope up to the slope of the diameter; the middle-point rule with
    4000 rings is then within 1e-5.
    """
    many = shaped(cone_m, barrel_m, turns=turns, bale_turn=bale_turn, need_layers=need)
    counted = count_many(many)
    share, fewest = by_slices(many, 4000)
    assert counted.short_frac[0] == pytest.approx(share, abs=1e-5)
    assert 0 <= fewest - counted.thinnest[0] <= 1  # the very end of a cone is no ring's middle


@pytest.mark.derived
@pytest.mark.parametrize("cone_m", [-0.2, 0.05, 0.15])
@pytest.mark.parametrize("bale_turn", [0.09, 0.1158, 0.131])
def test_a_cone_counts_as_the_count_of_real_bales_has_it(cone_m: float, bale_turn: float) -> None:
    """Round side and both flat sides of a cone: the same shares from another summing, to 1e-9.

    The slant of a cone is the same everywhere, so leaving it out changes no share.
    """
    counted = count_many(shaped(cone_m, 0.0, bale_turn=bale_turn))
    shape = Shape(1.35 - cone_m / 2, 1.35, 1.35 + cone_m / 2, 1.2)
    course = Course((Leg(12.0, (True, True), bale_turn),))
    real = {one.side: one for one in count_real_bale(shape, Laying(0.60), course, 6).wrap.sides}
    assert counted.flat_short_frac is not None
    found = {
        Side.ROUND: counted.short_frac[0],
        Side.RIGHT_FLAT: counted.flat_short_frac[0, 0],
        Side.LEFT_FLAT: counted.flat_short_frac[0, 1],
    }
    for side, share in found.items():
        assert share == pytest.approx(real[side].short_m2 / real[side].area_m2, abs=1e-9)
    assert counted.thinnest[0] == real[Side.ROUND].thinnest


@pytest.mark.derived
@pytest.mark.parametrize("barrel_m", [-0.1, 0.04, 0.1])
def test_a_barrel_differs_from_the_real_one_by_its_slant_alone(barrel_m: float) -> None:
    """The surface of a barrel leans by up to 2 barrel / length; its area by half of that squared.

    That much of the share, 1.4 % at 0.1 m, is what leaving the slant out may change.
    """
    counted = count_many(shaped(0.0, barrel_m))
    shape = Shape(1.35 - barrel_m, 1.35, 1.35 - barrel_m, 1.2)
    course = Course((Leg(12.0, (True, True), 0.1158),))
    real = {one.side: one for one in count_real_bale(shape, Laying(0.60), course, 6).wrap.sides}
    share = real[Side.ROUND].short_m2 / real[Side.ROUND].area_m2
    lean = 2 * barrel_m / 1.2
    assert share > 0.0
    assert counted.short_frac[0] == pytest.approx(share, rel=lean**2 / 2)


@pytest.mark.law
@given(cone_m=st.floats(0.0, 0.3), bale_turn=st.floats(0.05, 0.2))
def test_the_cylinder_is_the_limit_and_the_mirrored_cone_agrees(
    cone_m: float, bale_turn: float
) -> None:
    """A cone one way round gives what it gives the other way; a cone of a micrometre is none."""
    one = count_many(shaped(cone_m, 0.0, bale_turn=bale_turn))
    other = count_many(shaped(-cone_m, 0.0, bale_turn=bale_turn))
    assert one.short_frac[0] == pytest.approx(other.short_frac[0], abs=1e-12)
    assert one.sliver_m[0] == pytest.approx(other.sliver_m[0], abs=1e-9)
    none = count_many(shaped(0.0, 0.0, bale_turn=bale_turn))
    for almost in (shaped(1e-6, 0.0, bale_turn=bale_turn), shaped(0.0, 1e-6, bale_turn=bale_turn)):
        counted = count_many(almost)
        assert counted.short_frac[0] == pytest.approx(none.short_frac[0], abs=1e-4)
        assert counted.round_mean[0] == pytest.approx(none.round_mean[0], abs=1e-4)


@pytest.mark.derived
def test_the_flat_sides_of_a_cone_have_their_own_diameters() -> None:
    """Side 0 of a cone of 0.2 m is counted as on a cylinder 0.1 m wider, side 1 as 0.1 m less."""
    counted = count_many(shaped(0.2, 0.04))
    wide, slim = (
        count_many(shaped(0, 0, diameter_m=1.41)),
        count_many(shaped(0, 0, diameter_m=1.21)),
    )
    assert counted.flat_short_frac is not None
    assert wide.flat_short_frac is not None
    assert slim.flat_short_frac is not None
    assert counted.flat_short_frac[0, 0] == pytest.approx(wide.flat_short_frac[0, 0], abs=1e-12)
    assert counted.flat_short_frac[0, 1] == pytest.approx(slim.flat_short_frac[0, 1], abs=1e-12)
    assert counted.thinnest[0] == count_many(shaped(0, 0, diameter_m=1.35 + 0.0725)).thinnest[0]


@pytest.mark.law
@given(st.floats(0.3, 3.0), st.integers(1, 40))
def test_a_course_made_faster_is_the_course_of_a_faster_machine(faster: float, halves: int) -> None:
    """Repeating a course with a ratio turns every bale in it by that ratio, stops as they were."""
    course = Course(
        (
            Leg(halves / 2, (True, True), 0.11, 0.1),
            Leg(3.2, (True, False), 0.09, rolled_turn=0.3),
        )
    )
    legs = repeat_course(course, [1.0, faster])
    quick = tuple(
        replace(
            leg,
            bale_turn=leg.bale_turn * faster,
            end_bale_turn=None if leg.end_bale_turn is None else leg.end_bale_turn * faster,
        )
        for leg in course.legs
    )
    built = legs_of_courses([course, Course(quick)])
    assert legs.bale_turn == pytest.approx(built.bale_turn, rel=1e-15)
    assert legs.end_bale_turn == pytest.approx(built.end_bale_turn, rel=1e-15)
    assert legs.rolled_turn.tolist() == built.rolled_turn.tolist()
    assert legs.all_turns == pytest.approx([course.turns] * 2)
    assert len(crossings(course)) > 0


@pytest.mark.law
def test_nothing_is_laid_where_no_roll_runs() -> None:
    """A bale that lost both rolls at once has no layers and is short all over."""
    legs = legs_of_courses([Course((Leg(4.0, (False, False), 0.1),))])
    many = many_bales(
        diameter_m=1.2, length_m=1.2, strip_m=0.6, need_layers=1, dispensers=2, legs=legs
    )
    counted = count_many(many)
    assert (counted.thinnest[0], counted.short_frac[0], counted.round_mean[0]) == (0, 1.0, 0.0)
    assert counted.sliver_m[0] == pytest.approx(math.pi * 1.2)
    assert counted.flat_short_frac is not None
    assert counted.flat_short_frac[0].tolist() == [1.0, 1.0]


@pytest.mark.law
def test_a_folder_that_cannot_be_written_costs_time_and_no_answer(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Where compiled code cannot be kept on disk it is compiled without keeping it."""
    really = layers_kernel.nb.njit

    def no_cache(*plain: Any, cache: bool = False) -> Any:
        if cache:
            raise RuntimeError("cannot cache function: no locator available")
        return really(*plain)

    def twice(number: float) -> float:
        return 2.0 * number

    monkeypatch.setattr(layers_kernel.nb, "njit", no_cache)
    assert layers_kernel.compiled(twice)(1.5) == 3.0


GOOD: dict[str, Any] = {
    "diameter_m": [1.2, 1.3],
    "length_m": 1.2,
    "strip_m": 0.6,
    "need_layers": 6,
    "dispensers": 2,
}
BAD = [
    *(("diameter_m", bad) for bad in (math.nan, math.inf, 0.0, -1.2, 125.0, [1.2], [[1.2, 1.3]])),
    *(("strip_m", bad) for bad in (math.nan, 0.0, -0.6, 600.0, 1.95)),
    *(("need_layers", bad) for bad in (0, -1, 41, 2.5, math.nan)),
    *(("length_m", bad) for bad in (math.nan, 0.0, 123.0)),
    *(("cone_m", bad) for bad in (math.nan, math.inf, 2.0)),
    *(("barrel_m", bad) for bad in (math.nan, 0.95)),
    *(("dispensers", bad) for bad in (0, 3)),
    *(("binding_layers", bad) for bad in (-1, 41, 1.5)),
]


@pytest.mark.law
@pytest.mark.parametrize(("name", "bad"), BAD)
def test_a_bad_column_is_refused_by_name(name: str, bad: object) -> None:
    """NaN, infinities, zero, below zero, wrong units and wrong lengths are told with the column."""
    legs = plain_legs([12.0, 14.0], 0.125, 2)
    with pytest.raises(BadInput) as caught:
        many_bales(**(GOOD | {name: bad}), legs=legs)
    place = caught.value.faults[0].place
    assert place.startswith("cone_m" if name == "barrel_m" and bad == 0.95 else name)


@pytest.mark.law
@pytest.mark.parametrize("turns", [0.0, -1.0, math.nan, math.inf, 1e6])
def test_turns_that_cannot_be_are_refused(turns: float) -> None:
    """A course lasts some wrap turns, and at most as many as any count takes."""
    with pytest.raises(BadInput, match=r"turns\[1\]"):
        plain_legs([12.0, turns], 0.125, 2)


@pytest.mark.law
def test_legs_that_do_not_fit_the_cases_are_refused() -> None:
    """Places that do not rise, or a second roll on a wrapper of one, are told."""
    legs = plain_legs([12.0, 14.0], 0.125, 2)
    with pytest.raises(BadInput, match="rising numbers"):
        replace(legs, first=np.array([0, 0, 2]))
    with pytest.raises(BadInput, match="second roll"):
        many_bales(**(GOOD | {"dispensers": 1}), legs=legs)
