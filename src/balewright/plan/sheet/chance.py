"""Turns by chance, for a machine whose bales were measured: how they differ is known."""

from __future__ import annotations

from typing import Final

from balewright.plan.film.course import Course, Leg
from balewright.plan.film.critical_strips import Goal
from balewright.plan.film.spread import exact, normal
from balewright.plan.film.strip import Film
from balewright.plan.film.tolerance import chance_of
from balewright.plan.film.varying import Draws, StretchedFilm, Varying
from balewright.plan.machine import Wrapper
from balewright.plan.sheet.setting import Job, Sought

TURNING_FRAC: Final = 0.02
"""How much the bale's turning differs from bale to bale, standard deviation (assumed)."""
_DRAWS: Final = Draws(log2=6, scramblings=2)
"""A standard error of about 0.01, in some milliseconds: a turn changes the chance by far more."""
_TRIES: Final = 8


def turns_by_chance(wrapper: Wrapper, film: Film, job: Job, sought: Sought) -> tuple[int, float]:
    """The fewest whole turns with which enough bales get their layers, and the share that does.

    From the least on, eight at the most: where that is not enough the last is given with its
    share. Validity and source as `plan/film/tolerance` chance_of.
    """
    varying = _varying(wrapper, film, job, job.conditions.diameter_spread_m or 0.0)
    turns, chance_frac = sought.least_turns, 0.0
    for turns in range(sought.least_turns, sought.least_turns + _TRIES):
        chance_frac = _share(varying, wrapper.dispensers, turns, sought)
        if chance_frac >= sought.wanted_frac:
            break
    return turns, chance_frac


def share_assumed(wrapper: Wrapper, film: Film, job: Job, sought: Sought) -> float:
    """The share of bales with their layers in `sought.least_turns`, where nobody measured how
    bales differ: diameters spread by assumed_spread_m, turning by TURNING_FRAC.
    """
    varying = _varying(wrapper, film, job, assumed_spread_m(job))
    return _share(varying, wrapper.dispensers, sought.least_turns, sought)


def assumed_spread_m(job: Job) -> float:
    """Standard deviation of diameters where none was measured: half of what the fattest bale to
    expect has over the best guess (assumed).
    """
    return (job.diameter_m.high - job.diameter_m.best) / 2.0


def _varying(wrapper: Wrapper, film: Film, job: Job, spread_m: float) -> Varying:
    return Varying(
        diameter=normal(job.bale.diameter_m, spread_m),
        length_m=job.bale.length_m,
        turning=normal(wrapper.advance_m, TURNING_FRAC * wrapper.advance_m),
        film=StretchedFilm(
            film.width_m, exact(film.pre_stretch_frac), exact(film.neck_in_exponent)
        ),
    )


def _share(varying: Varying, dispensers: int, turns: int, sought: Sought) -> float:
    goal = Goal(sought.need_layers, allowed_sliver_m=sought.sliver_m)
    course = Course((Leg(float(turns), (True,) * dispensers, varying.best_bale_turn),))
    return chance_of(varying, course, goal, _DRAWS).chance_frac
