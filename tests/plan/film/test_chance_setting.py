"""The setting that reaches a wanted chance at least film."""

from __future__ import annotations

import math

import pytest

from balewright.plan.film.chance_setting import (
    Choice,
    Wish,
    least_film,
    turns_for_chance,
    turns_row,
    turns_table,
)
from balewright.plan.film.critical_strips import Goal
from balewright.plan.film.layers import Bale
from balewright.plan.film.spread import exact, normal
from balewright.plan.film.strip import strip_width_m
from balewright.plan.film.turns import turns_needed
from balewright.plan.film.varying import Draws, MeasuredStrip, StretchedFilm, Varying
from balewright.quantities.errors import BadInput

FILM = StretchedFilm(0.75, normal(0.70, 0.03), normal(0.437, 0.02))
JOB = Varying(normal(1.25, 0.03), 1.23, normal(0.491, 0.01), FILM)
DRAWS = Draws(log2=8, scramblings=4)


@pytest.mark.law
@pytest.mark.parametrize("diameter_m", [1.20, 1.32, 1.45])
@pytest.mark.parametrize("dispensers", [1, 2])
def test_without_spread_it_is_the_turns_needed(diameter_m: float, dispensers: int) -> None:
    """Any wanted chance asks for the turns that one such bale needs."""
    still = StretchedFilm(0.75, exact(0.70), exact(0.437))
    job = Varying(exact(diameter_m), 1.23, exact(0.491), still)
    strip_m, turn = strip_width_m(0.75, 0.70, 0.437), 0.491 / (math.pi * diameter_m)
    needed = turns_needed(Bale(diameter_m, 1.23), strip_m, turn, dispensers, 6)
    for wanted in (0.05, 0.99):
        assert turns_for_chance(job, Wish(Goal(6), wanted, dispensers), DRAWS) == needed


@pytest.mark.law
@pytest.mark.parametrize("wanted", [0.05, 0.5, 0.95, 0.99, 0.999])
def test_one_turn_less_would_not_do(wanted: float) -> None:
    """The answer reaches the wanted chance and the turn before it does not."""
    wish = Wish(Goal(6), wanted, 2)
    turns = turns_for_chance(JOB, wish, DRAWS)
    assert turns is not None
    assert turns_row(JOB, wish, turns, DRAWS).chance_frac >= wanted
    assert turns_row(JOB, wish, turns - 1, DRAWS).chance_frac < wanted


@pytest.mark.law
def test_the_table_rises_in_chance_and_film_and_falls_in_shortness() -> None:
    """Every turn more costs the same metres and never a bit of chance."""
    rows = turns_table(JOB, Wish(Goal(6), 0.95, 2), 12, DRAWS)
    assert [row.turns for row in rows] == list(range(9, 16))
    chances = [row.chance_frac for row in rows]
    assert chances == sorted(chances)
    assert all(row.one_less_frac >= row.chance_frac for row in rows)
    assert turns_row(JOB, Wish(Goal(1), 0.95, 2), 9, DRAWS).one_less_frac == 1.0
    short = [row.short_frac for row in rows]
    assert short == sorted(short, reverse=True)
    metres = [row.film_m for row in rows if row.film_m is not None]
    assert metres == pytest.approx([row.turns * metres[0] / 9 for row in rows])


@pytest.mark.law
def test_of_choices_the_one_with_least_film_comes_first() -> None:
    """Less stretch covers better and takes more film; more advance may save a turn."""
    wish = Wish(Goal(6), 0.95, 2)
    choices = [Choice(stretch, advance_m) for stretch in (0.55, 0.70) for advance_m in (0.45, 0.52)]
    found = least_film(JOB, wish, choices, DRAWS)
    assert len(found) == len(choices)
    metres = [one.row.film_m or 0.0 for one in found]
    assert metres == pytest.approx(sorted(metres), abs=0.01)
    assert all(one.row.chance_frac >= 0.95 for one in found)
    assert found[0].choice.pre_stretch_frac == 0.70
    assert found[0].row.turns == min(one.row.turns for one in found)


@pytest.mark.derived
def test_a_turning_that_never_covers_is_told_as_none() -> None:
    """At k = 1/4 the strips come back to eight places for ever: no number of turns will do.

    Two rolls lie on 8 places 1/8 of the girth apart, 0.589 m on a bale of 1.5 m; a strip of
    0.5 m leaves gaps between them.
    """
    job = Varying(
        exact(1.5), 1.2, exact(0.25), MeasuredStrip(normal(0.5, 0.005)), turning_is_k=True
    )
    assert turns_for_chance(job, Wish(Goal(4), 0.9, 2), DRAWS) is None
    assert least_film(job, Wish(Goal(4), 0.9, 2), [Choice()], DRAWS) == ()


@pytest.mark.law
def test_an_advance_chosen_is_the_same_for_a_machine_known_by_its_k() -> None:
    """Where k was given, an advance stands for the k that it makes on the best bale."""
    strip, girth_m = MeasuredStrip(normal(0.6, 0.01), exact(0.7)), math.pi * 1.25
    by_k = Varying(exact(1.25), 1.2, exact(0.49 / girth_m), strip, turning_is_k=True)
    by_advance = Varying(exact(1.25), 1.2, exact(0.49), strip)
    wish, choices = Wish(Goal(6), 0.9, 2), [Choice(advance_m=0.46)]
    one, other = (least_film(job, wish, choices, DRAWS) for job in (by_k, by_advance))
    assert one[0].row.turns == other[0].row.turns
    assert one[0].row.chance_frac == pytest.approx(other[0].row.chance_frac, abs=1e-9)


@pytest.mark.law
def test_a_measured_strip_takes_no_stretch() -> None:
    """What a strip measured on the bale would be at another stretch is not known."""
    job = Varying(exact(1.25), 1.2, exact(0.49), MeasuredStrip(normal(0.6, 0.01), exact(0.7)))
    with pytest.raises(BadInput, match="pre_stretch_frac"):
        least_film(job, Wish(Goal(4), 0.9, 2), [Choice(pre_stretch_frac=0.6)], DRAWS)
    assert least_film(job, Wish(Goal(4), 0.9, 2), [Choice(advance_m=0.5)], DRAWS)[0].row.film_m


@pytest.mark.law
@pytest.mark.parametrize("wanted", [0.0, 1.0, -0.5, 95.0, math.nan, math.inf])
def test_a_chance_that_cannot_be_wanted_is_refused(wanted: float) -> None:
    """Certainty has no setting; a percentage in place of a share is told."""
    with pytest.raises(BadInput, match="wanted_frac"):
        Wish(Goal(6), wanted, 2)


@pytest.mark.law
@pytest.mark.parametrize("dispensers", [0, 3])
def test_rolls_that_no_wrapper_has_are_refused(dispensers: int) -> None:
    """One or two."""
    with pytest.raises(BadInput, match="dispensers"):
        Wish(Goal(6), 0.95, dispensers)
