"""Film laid by walking, against values worked out elsewhere."""

from __future__ import annotations

import numpy as np
import pytest

from balewright.plan.film.layers import Bale, Wrapping, bale_turn_from_advance, count_layers
from balewright.rehearsal.film import FilmJob, lay_film

FINE = 3000


def walk(diameter_m: float, strip_m: float, turns: tuple[float, ...], advance_m: float = 0.491):
    """Layers round one bale at FINE places."""
    job = FilmJob(
        np.array([diameter_m]), np.array([advance_m]), np.array([strip_m]), np.array([turns])
    )
    return lay_film(job, FINE)[0]


# diameter, strip, turns -> thinnest, mean on the round side, per cent short of 6; advance 0.491 m,
# two dispensers: computed twice, independently, from the geometry of straight strips
KNOWN = {
    (1.25, 0.60, 12): (6, 7.33, 0),
    (1.35, 0.60, 12): (5, 6.79, 9),
    (1.45, 0.60, 12): (4, 6.32, 26),
    (1.45, 0.55, 12): (4, 5.80, 39),
}


@pytest.mark.derived
@pytest.mark.parametrize("given", list(KNOWN))
def test_two_dispensers_leave_the_known_layers(given: tuple[float, float, int]) -> None:
    """A walked bale shows the thinnest spot, mean and short share that geometry gives."""
    diameter_m, strip_m, turns = given
    thinnest, mean, short_percent = KNOWN[given]
    layers = walk(diameter_m, strip_m, (turns, turns))
    assert layers.min() == thinnest
    assert layers.mean() == pytest.approx(mean, abs=0.011)
    assert (layers < 6).mean() * 100 == pytest.approx(short_percent, abs=0.6)


@pytest.mark.derived
def test_enough_turns_leave_nothing_short() -> None:
    """14 turns are enough for 6 layers on a bale of 1.45 m, and 16 give 8 on one of 1.25 m."""
    assert walk(1.45, 0.60, (14, 14)).min() >= 6
    assert walk(1.25, 0.60, (16, 16)).min() == 8


@pytest.mark.derived
@pytest.mark.parametrize(("lost_at", "reach"), [(3, 24), (6, 20), (9, 16), (11, 16)])
def test_lost_roll_is_made_good_only_at_the_known_turn(lost_at: int, reach: int) -> None:
    """With one roll lost after 3, 6, 9, 11 turns the other must reach 24, 20, 16, 16 turns."""
    assert walk(1.25, 0.60, (lost_at, reach)).min() == 6
    assert walk(1.25, 0.60, (lost_at, reach - 1)).min() < 6


@pytest.mark.derived
@pytest.mark.parametrize(
    ("advance_m", "turns"), [(0.30, (14, 21, 27)), (0.33, (18, 24, 30)), (0.491, (16, 24, 32))]
)
def test_one_dispenser_needs_the_known_turns(advance_m: float, turns: tuple[int, ...]) -> None:
    """4, 6 and 8 layers need the turns that two independent counts of the same geometry gave."""
    for need, made in zip((4, 6, 8), turns, strict=True):
        assert walk(1.25, 0.60, (made,), advance_m).min() == need
        assert walk(1.25, 0.60, (made - 1,), advance_m).min() < need


@pytest.mark.law
def test_film_laid_equals_the_integral_of_layers() -> None:
    """Mean layers times the way round are the widths of all strips laid."""
    for turns in (5.0, 9.0, 13.0):
        layers = walk(1.30, 0.58, (turns, turns), 0.40)
        assert layers.mean() * np.pi * 1.30 == pytest.approx(4 * turns * 0.58, rel=2e-3)


@pytest.mark.law
def test_bales_do_not_touch_each_other() -> None:
    """A bale gets the same film whether it is walked alone or among two hundred others."""
    chance = np.random.default_rng(5)
    many = FilmJob(
        chance.uniform(1.1, 1.5, 200),
        chance.uniform(0.3, 0.5, 200),
        chance.uniform(0.5, 0.6, 200),
        chance.integers(2, 16, (200, 2)).astype(float),
    )
    together = lay_film(many)
    for row in (0, 63, 64, 199):
        alone = FilmJob(
            *(c[[row]] for c in (many.diameter_m, many.advance_m, many.strip_m, many.turns))
        )
        assert (lay_film(alone)[0] == together[row]).all()


@pytest.mark.reference
def test_walk_agrees_with_exact_arcs() -> None:
    """The walk and the exact count of the plan, which share no formula, tell the same layers."""
    chance = np.random.default_rng(11)
    for _ in range(40):
        diameter_m, advance_m = chance.uniform(1.0, 1.6), chance.uniform(0.25, 0.5)
        strip_m, full = chance.uniform(0.4, 0.62), float(chance.integers(8, 25))
        lost = float(chance.integers(1, int(full) + 1))
        one_m = advance_m * chance.uniform(0.7, 1.0)
        layers = lay_film(
            FilmJob(
                np.array([diameter_m]),
                np.array([advance_m]),
                np.array([strip_m]),
                np.array([[full, lost]]),
                np.array([one_m]),
            ),
            FINE,
        )[0]
        k = bale_turn_from_advance(advance_m, diameter_m)
        k_one = bale_turn_from_advance(one_m, diameter_m)
        wrapping = Wrapping(strip_m, k, (full, lost), 6, bale_turn_one_roll=k_one)
        exact = count_layers(Bale(diameter_m, 1.2), wrapping)
        assert layers.mean() == pytest.approx(exact.round_mean, abs=0.03)
        assert (layers < 6).mean() == pytest.approx(exact.short_frac, abs=0.03)
        assert exact.thinnest <= layers.min()
