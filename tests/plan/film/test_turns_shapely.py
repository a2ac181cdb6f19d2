"""Turns, lost rolls and the narrowest strip against strips laid as polygons by a library."""

from __future__ import annotations

import math

import numpy as np
import pytest
from shapely.geometry import box
from shapely.ops import polygonize, unary_union
from shapely.strtree import STRtree

from balewright.plan.film.count_course import count_course
from balewright.plan.film.course import Course, Leg
from balewright.plan.film.critical_strips import Goal, critical_strips
from balewright.plan.film.crossings import Wrapping
from balewright.plan.film.layers import Bale
from balewright.plan.film.many_bales import many_bales, plain_legs
from balewright.plan.film.turns import turns_after_loss, turns_needed

BALE = Bale(1.30, 1.23)
GIRTH_M = math.pi * BALE.diameter_m


def middles_m(turns: tuple[float, float], lost_k: tuple[float, float]) -> list[float]:
    """Middles of the strips on the unrolled round side, from how the machine moves.

    turns: of each roll, the first being the longer; lost_k: turns of the bale per wrap turn while
    both run and after. The second roll stands half round the ring; each half turn lays one strip.
    """
    both, alone = lost_k
    found = []
    for roll, made in enumerate(turns):
        for half in range(int(2 * made)):
            at_turn = half / 2
            bale = both * min(at_turn, turns[1]) + alone * max(0.0, at_turn - turns[1])
            found.append((half / 2 + roll / 2 - bale) % 1.0 * GIRTH_M)
    return found


def shares_by_layers(middles: list[float], strip_m: float) -> np.ndarray:
    """Share of the girth under 0, 1, 2, ... strips: every piece that their edges cut out."""
    films = [
        box(middle + shift - strip_m / 2, 0.0, middle + shift + strip_m / 2, 1.0)
        for middle in middles
        for shift in (-GIRTH_M, 0.0, GIRTH_M)
    ]
    ground = box(0.0, 0.0, GIRTH_M, 1.0)
    laid = [film.intersection(ground) for film in films if film.intersects(ground)]
    tree = STRtree(laid)
    edges = unary_union([ground.boundary, *(film.boundary for film in laid)])
    shares = np.zeros(len(middles) + 1)
    for piece in polygonize(edges):
        over = tree.query(piece.representative_point(), predicate="within")
        shares[len(over)] += piece.area / GIRTH_M
    return shares


def short(middles: list[float], strip_m: float, need: int) -> float:
    """Share of the girth with fewer layers than `need`; hairs of rounding are not counted."""
    found = float(shares_by_layers(middles, strip_m)[:need].sum())
    return 0.0 if found < 1e-9 else found


@pytest.mark.reference
@pytest.mark.check(model="film.turns", source="shapely")
@pytest.mark.parametrize(
    ("advance_m", "rolls", "need"), [(0.30, 1, 4), (0.33, 1, 6), (0.491, 2, 6), (0.41, 2, 8)]
)
def test_needed_turns_cover_the_polygons_and_one_less_does_not(
    advance_m: float, rolls: int, need: int
) -> None:
    """After the turns found no piece of the girth is short of the need; after one less some is."""
    k = advance_m / GIRTH_M
    turns = turns_needed(BALE, 0.58, k, rolls, need)
    for made, covered in ((turns, True), (turns - 1, False)):
        middles = middles_m((float(made), float(made) * (rolls - 1)), (k, k))
        assert (short(middles, 0.58, need) == 0.0) is covered


@pytest.mark.reference
@pytest.mark.check(model="film.turns", source="shapely")
@pytest.mark.parametrize("lost_at", [2.5, 6.0, 9.5])
def test_turns_after_a_loss_cover_the_polygons(lost_at: float) -> None:
    """The other roll's turns are the first whole number after which nothing is short."""
    k, alone = 0.491 / GIRTH_M, 0.3 / GIRTH_M
    wrapping = Wrapping(0.58, k, (1.0, 1.0), 6, bale_turn_one_roll=alone)
    turns = turns_after_loss(BALE, wrapping, lost_at)
    for made, covered in ((turns, True), (turns - 1, False)):
        middles = middles_m((float(made), lost_at), (k, alone))
        assert (short(middles, 0.58, 6) == 0.0) is covered


@pytest.mark.reference
@pytest.mark.check(model="film.course", source="shapely")
@pytest.mark.parametrize("need", [5, 6, 7])
def test_a_course_with_a_lost_roll_and_another_advance(need: int) -> None:
    """Both rolls for 7.5 turns, one for 6 more at another advance: share short and mean agree."""
    k, alone = 0.491 / GIRTH_M, 0.36 / GIRTH_M
    course = Course((Leg(7.5, (True, True), k), Leg(6.0, (True, False), alone)))
    count = count_course(BALE, 0.58, course, need)
    shares = shares_by_layers(middles_m((13.5, 7.5), (k, alone)), 0.58)
    assert 0.0 < count.short_frac < 1.0
    assert count.short_frac == pytest.approx(shares[:need].sum(), abs=1e-9)
    assert count.round_mean == pytest.approx(shares @ np.arange(len(shares)), abs=1e-9)
    assert count.thinnest == int(np.flatnonzero(shares > 1e-9)[0])


@pytest.mark.reference
@pytest.mark.check(model="film.critical_strips", source="shapely")
@pytest.mark.parametrize(("turns", "rolls", "need"), [(12.0, 2, 6), (15.0, 2, 6), (24.0, 1, 5)])
def test_the_narrowest_strip_just_covers_the_polygons(turns: float, rolls: int, need: int) -> None:
    """A tenth of a millimetre wider than the narrowest strip nothing is short, narrower some is."""
    k = 0.45 / GIRTH_M
    many = many_bales(
        diameter_m=BALE.diameter_m,
        length_m=BALE.length_m,
        strip_m=0.5,
        need_layers=need,
        dispensers=rolls,
        legs=plain_legs([turns], [k], rolls),
    )
    narrowest_m = float(critical_strips(many, Goal(need))[0])
    middles = middles_m((turns, turns * (rolls - 1)), (k, k))
    assert short(middles, narrowest_m + 1e-4, need) == 0.0
    assert short(middles, narrowest_m - 1e-4, need) > 0.0
