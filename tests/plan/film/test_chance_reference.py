"""Chances and cones against integrals of a library over single bales, one thing varying."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import integrate, stats

from balewright.plan.film.arcs import lay_arcs
from balewright.plan.film.course import Course, Leg
from balewright.plan.film.critical_strips import Goal
from balewright.plan.film.crossings import Wrapping
from balewright.plan.film.layers import Bale, count_layers
from balewright.plan.film.many_bales import count_many, many_bales, plain_legs
from balewright.plan.film.spread import exact, normal
from balewright.plan.film.strip import strip_width_m
from balewright.plan.film.tolerance import chance_of, expected_short
from balewright.plan.film.varying import Draws, StretchedFilm, Varying

JOB = Varying(
    normal(1.27, 0.04), 1.23, exact(0.491), StretchedFilm(0.75, exact(0.70), exact(0.437))
)
STRIP_M = strip_width_m(0.75, 0.70, 0.437)
TURNS = 12.0


def short_at(diameter_m: float, need: int) -> float:
    """Share short on one bale of that diameter, by the plain count."""
    k = 0.491 / (math.pi * diameter_m)
    wrapping = Wrapping(STRIP_M, k, (TURNS, TURNS), need)
    return count_layers(Bale(diameter_m, 1.23), wrapping).short_frac


def course() -> Course:
    """Both rolls for all turns."""
    return Course((Leg(TURNS, (True, True), JOB.best_bale_turn),))


@pytest.mark.reference
@pytest.mark.check(model="film.tolerance", source="scipy-stats")
@pytest.mark.parametrize("need", [6, 7])
def test_chance_is_the_mass_of_the_diameters_that_are_enough(need: int) -> None:
    """The library's normal over the diameters at which the plain count is short of nothing.

    Diameters in steps of 0.3 mm, each standing for its own cell: an edge is good to half of that,
    which is 0.0015 at most; the draws add five of their own errors.
    """
    cells = np.arange(1.09, 1.45, 3e-4)
    enough = np.array([short_at(float(one), need) <= 1e-9 for one in cells])
    law = stats.norm(1.27, 0.04)
    mass = law.cdf(cells + 1.5e-4) - law.cdf(cells - 1.5e-4)
    ours = chance_of(JOB, course(), Goal(need), Draws())
    assert 0.005 < ours.chance_frac < 0.999
    near = 5 * ours.error_frac + 2e-3
    assert ours.chance_frac == pytest.approx(float(mass[enough].sum()), abs=near)


@pytest.mark.reference
@pytest.mark.check(model="film.tolerance", source="scipy-integrate")
def test_share_short_on_average_is_the_integral() -> None:
    """Share short times the density of the diameter, by the library's rule of Simpson."""
    across = np.linspace(1.07, 1.47, 1001)
    short = np.array([short_at(float(one), 6) for one in across])
    mean = integrate.simpson(short * stats.norm(1.27, 0.04).pdf(across), x=across)
    ours = expected_short(JOB, course(), 6, Draws())
    assert ours.short_frac == pytest.approx(mean, abs=5 * ours.short_error_frac + 5e-5)
    assert mean > 0.005


@pytest.mark.reference
@pytest.mark.check(model="film.many_bales", source="scipy-integrate")
@pytest.mark.parametrize(("cone_m", "barrel_m"), [(0.12, 0.0), (0.0, 0.08), (-0.1, -0.06)])
@pytest.mark.parametrize("need", [4, 5, 6])
def test_cones_and_barrels_are_the_integral_over_circles(
    cone_m: float, barrel_m: float, need: int
) -> None:
    """Each circle is counted as a plain bale's; the library integrates them over the radius."""
    strip_m, k = 0.52, 0.491 / (math.pi * 1.30)
    many = many_bales(
        diameter_m=1.30,
        length_m=1.20,
        strip_m=strip_m,
        need_layers=need,
        dispensers=2,
        legs=plain_legs([11.0], [k], 2),
        cone_m=cone_m,
        barrel_m=barrel_m,
    )
    middles = [
        (half / 2 + roll / 2 - k * half / 2) % 1.0 for roll in range(2) for half in range(22)
    ]

    def radius_m(along: float) -> float:
        return 0.65 + cone_m / 4 * along - barrel_m / 2 * along**2

    def short_m(along: float) -> float:
        around_m = radius_m(along)
        share = lay_arcs(middles, strip_m / 2 / (2 * math.pi * around_m)).short_frac(need)
        return share * around_m

    whole = integrate.quad(short_m, -1.0, 1.0, limit=500, epsabs=1e-9)[0]
    share = whole / integrate.quad(radius_m, -1.0, 1.0)[0]
    assert float(count_many(many, flats=False).short_frac[0]) == pytest.approx(share, abs=1e-6)
    assert share < 1.0
