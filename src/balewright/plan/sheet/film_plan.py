"""The wrapping a sheet plans: turns that give the wanted layers on every bale to expect."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from balewright.plan.film.layers import Wrapping, bale_turn_from_advance, count_layers
from balewright.plan.film.strip import Bale, Film, lay_strip
from balewright.plan.film.turns import turns_everywhere
from balewright.plan.machine import Wrapper
from balewright.plan.sheet.layers import layers_wanted
from balewright.plan.sheet.setting import Job, Sought

SLIVER_M: Final = 0.02
"""A short stretch no wider is no alarm (common practice, no source)."""
WANTED_FRAC: Final = 0.95
"""Share of bales that shall get their layers, where it is known how bales differ (assumed)."""
_SAFE_OVERLAP_FRAC: Final = 0.55
"""From this overlap on the turns hold for all but some bales in a hundred (derived: both ring and
table wrapper, 500 to 750 mm film)."""
_GRID_M: Final = 0.005


@dataclass(frozen=True)
class FilmPlan:
    """The wrapping of one job, planned so that every bale to expect gets its layers.

    bale, wrapping: the bale to expect and what it gets; fattest, fattest_wrapping: the same for
    the upper end of its diameter, which turns less under the film; chance_frac: share of bales
    with their layers, None where nobody knows how bales differ; assumed_frac: that share if they
    differ as is assumed, told where strips lap little and it is under WANTED_FRAC.
    """

    wrapper: Wrapper
    film: Film
    bale: Bale
    wrapping: Wrapping
    fattest: Bale
    fattest_wrapping: Wrapping
    chance_frac: float | None = None
    assumed_frac: float | None = None

    @property
    def overlap_frac(self) -> float:
        """By how much of its width a strip laps the one before it on the round side."""
        return _overlap_frac(self.wrapper, self.wrapping.strip_m)

    @property
    def turns(self) -> int:
        """Wrap turns of every dispenser."""
        return int(self.wrapping.turns[0])

    def turns_for(self, need_layers: int) -> int:
        """Turns that give so many layers everywhere on the fattest bale."""
        wrapping = wrapping_of(self.wrapper, self.film, self.fattest, need_layers)
        return turns_everywhere(self.fattest, wrapping)


def plan_film(job: Job) -> FilmPlan | None:
    """The wrapping with the turns that give the wanted layers; None without film.

    Without a known spread the best bale has no spot short and no bale from the leanest to the
    fattest a sliver over SLIVER_M; with one, WANTED_FRAC of the bales.
    """
    wrapper, film = job.machine.wrapper, job.film
    if wrapper is None or film is None:
        return None
    need = layers_wanted(job.conditions)
    spread_m = job.conditions.diameter_spread_m
    chance_frac = assumed_frac = None
    if spread_m is None:
        turns = turns_for_span(wrapper, film, job, need)
        assumed_frac = _assumed_frac(wrapper, film, job, Sought(need, turns, WANTED_FRAC, SLIVER_M))
    else:
        # its counting loads a compiler: only where it is asked for
        from balewright.plan.sheet.chance import turns_by_chance  # noqa: PLC0415

        least = turns_everywhere(job.bale, wrapping_of(wrapper, film, job.bale, need))
        wanted = Sought(need, least, WANTED_FRAC, SLIVER_M)
        turns, chance_frac = turns_by_chance(wrapper, film, job, wanted)
    fattest = Bale(job.diameter_m.high, job.bale.length_m)
    return FilmPlan(
        wrapper=wrapper,
        film=film,
        bale=job.bale,
        wrapping=wrapping_of(wrapper, film, job.bale, need, turns),
        fattest=fattest,
        fattest_wrapping=wrapping_of(wrapper, film, fattest, need, turns),
        chance_frac=chance_frac,
        assumed_frac=assumed_frac,
    )


def _overlap_frac(wrapper: Wrapper, strip_m: float) -> float:
    return 1.0 - wrapper.advance_m / (wrapper.dispensers * strip_m)


def _assumed_frac(wrapper: Wrapper, film: Film, job: Job, sought: Sought) -> float | None:
    """The share, where strips lap so little that a bale turning otherwise is soon short."""
    if _overlap_frac(wrapper, lay_strip(film).width_m) >= _SAFE_OVERLAP_FRAC:
        return None
    # as above: a compiler
    from balewright.plan.sheet.chance import share_assumed  # noqa: PLC0415

    share_frac = share_assumed(wrapper, film, job, sought)
    return share_frac if share_frac < sought.wanted_frac else None


def wrapping_of(
    wrapper: Wrapper, film: Film, bale: Bale, need_layers: int, turns: int = 1
) -> Wrapping:
    """What this wrapper lays on this bale in so many turns of every dispenser."""
    one_m = wrapper.advance_one_roll_m
    return Wrapping(
        strip_m=lay_strip(film).width_m,
        bale_turn=bale_turn_from_advance(wrapper.advance_m, bale.diameter_m),
        turns=(float(turns),) * wrapper.dispensers,
        need_layers=need_layers,
        bale_turn_one_roll=one_m and bale_turn_from_advance(one_m, bale.diameter_m),
    )


def turns_for_span(wrapper: Wrapper, film: Film, job: Job, need_layers: int) -> int:
    """Whole turns for every bale from the leanest to the fattest to expect.

    A bale can be worse off than a fatter one, where its turning lets strips fall on strips, so
    the diameters between are looked at too, every 5 mm. Never falls when the fattest gets fatter.
    """
    span, length_m = job.diameter_m, job.bale.length_m
    best = Bale(span.best, length_m)
    turns = turns_everywhere(best, wrapping_of(wrapper, film, best, need_layers))
    first, last = math.floor(span.low / _GRID_M), math.ceil(span.high / _GRID_M)
    for step in range(first, last + 1):
        bale = Bale(step * _GRID_M, length_m)
        count = count_layers(bale, wrapping_of(wrapper, film, bale, need_layers, turns))
        if max(count.sliver_m, *(flat.sliver_m for flat in count.flats)) > SLIVER_M:
            one = wrapping_of(wrapper, film, bale, need_layers)
            turns = max(turns, turns_everywhere(bale, one, SLIVER_M))
    return turns
