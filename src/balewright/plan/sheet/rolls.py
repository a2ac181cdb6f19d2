"""When the rolls of a job run out: on which bale, and how surely."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Final

from balewright.plan.film.roll_ends import Day, roll_ends
from balewright.plan.film.roll_stock import Stock, UseSpread, use_spread
from balewright.plan.film.rolls import RollBought, binding_metres_m
from balewright.plan.film.strip import Bale, Film
from balewright.plan.machine import BindingKind
from balewright.plan.sheet.film_plan import FilmPlan
from balewright.plan.sheet.setting import Job
from balewright.plan.sheet.sheet import RollChange, SheetLine
from balewright.quantities.interval import Interval

MOST_FILM: Final = 10
MOST_NET: Final = 2
"""A sheet lists no more of either: later ones are less sure than a glance at the roll."""
_DIAMETER_M: Final = 0.02
_STRETCH_FRAC: Final = 0.03
"""How bales differ, and how well the day's stretch is known: standard deviations, assumed."""
_NET_M: Final = 25e-6
"""A net roll is walked as a film roll; its thickness enters nothing."""
_CONFIDENCE: Final = 0.95


def roll_changes(
    job: Job, plan: FilmPlan | None, lines: Mapping[str, SheetLine]
) -> tuple[RollChange, ...]:
    """The first changes of film and net rolls, in the order of the bales. lines: by key."""
    found = [*_film_changes(job, plan), *_net_changes(job, lines)]
    return tuple(sorted(found, key=lambda change: (change.bale.best, change.roll)))


def _film_changes(job: Job, plan: FilmPlan | None) -> list[RollChange]:
    if plan is None:
        return []
    conditions, dispensers = job.conditions, plan.wrapper.dispensers
    spread_m = conditions.diameter_spread_m
    use = use_spread(
        plan.bale,
        plan.turns,
        plan.film.pre_stretch_frac,
        _DIAMETER_M if spread_m is None else spread_m,
        _STRETCH_FRAC,
    )
    left_m = conditions.rolls_left_m or (plan.film.roll_m,) * dispensers
    names = ("film",) if dispensers == 1 else ("film 1", "film 2")
    stock = Stock(left_m, RollBought(plan.film))
    return _walk(job.conditions.bales, (use,) * dispensers, stock, names)[:MOST_FILM]


def _net_changes(job: Job, lines: Mapping[str, SheetLine]) -> list[RollChange]:
    roll_m, turns = job.conditions.net_roll_m, lines["binding_turns"].value
    if job.binding.kind is not BindingKind.NET or roll_m is None or not isinstance(turns, float):
        return []
    bale = Bale(job.bale.diameter_m, job.bale.length_m)
    metres_m = binding_metres_m(bale, turns)
    use = UseSpread(metres_m, metres_m * _DIAMETER_M / bale.diameter_m)
    roll = RollBought(Film(bale.length_m, _NET_M, roll_m, 0.0))
    return _walk(job.conditions.bales, (use,), Stock((roll_m,), roll), ("net",))[:MOST_NET]


def _walk(
    bales: int, uses: tuple[UseSpread, ...], stock: Stock, names: tuple[str, ...]
) -> list[RollChange]:
    """Walk as many of the bales as the changes that are listed can take, not the whole job."""
    longest_m = max(stock.roll.film.roll_m, *stock.left_m)
    enough = math.ceil((MOST_FILM / len(uses) + 1) * longest_m / uses[0].mean_m)
    return [
        RollChange(
            names[end.roll - 1],
            Interval(
                end.bale_no if end.earliest is None else end.earliest,
                end.bale_no,
                end.bale_no if end.latest is None else end.latest,
                _CONFIDENCE,
            ),
        )
        for end in roll_ends(uses, stock, Day(min(bales, max(1, enough)))).ends
    ]
