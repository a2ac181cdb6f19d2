"""The number of layers that costs least: film against dry matter lost, and how flat that is.

Never below four: no source sees two layers keep a bale. Which school of trials holds moves the
answer more than prices do, so both are given, and what lies near the least of each.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from balewright.plan.keeping.keep import Kept, Mishaps, School, Stored, keep_by_layers
from balewright.plan.keeping.oxygen import scaled
from balewright.plan.keeping.shape import film_kg
from balewright.quantities.checks import require_between
from balewright.quantities.interval import Interval
from balewright.quantities.si import KG_PER_T

#: No source seen keeps bales under fewer layers, so none is ever advised.
FEWEST_LAYERS: Final = 4
MOST_LAYERS: Final = 12


@dataclass(frozen=True)
class Prices:
    """In the user's own currency. film_money_kg: film, 0 to 1000 a kg; dm_money_t: what a tonne
    of dry matter in the bale is worth, 0 to 100,000; near_frac: costs this close to the least
    count as the same, 0 to 1.
    """

    film_money_kg: float
    dm_money_t: float
    near_frac: float = 0.05

    def __post_init__(self) -> None:
        require_between("film_money_kg", self.film_money_kg, 0.0, 1000.0)
        require_between("dm_money_t", self.dm_money_t, 0.0, 100_000.0)
        require_between("near_frac", self.near_frac, 0.0, 1.0)


@dataclass(frozen=True)
class LayerCost:
    """What one bale costs under so many layers: film, and feed lost or thrown away by school."""

    layers: int
    film_kg: float
    film_money: float
    lost_money: tuple[tuple[School, Interval], ...]

    def total_money(self, school: School) -> Interval:
        """Film and feed together, as that school reads the trials."""
        lost = dict(self.lost_money)[school]
        film = self.film_money
        return Interval(lost.low + film, lost.best + film, lost.high + film)


@dataclass(frozen=True)
class Optimum:
    """Where one school's cost is least.

    layers: there, at the best values; money: that cost; near: fewest and most layers that cost
    nearly the same; over_spread: layers that cost least when losses lie at their low and high
    ends; at_floor: fewer might cost less still, but are not advised.
    """

    school: School
    layers: int
    money: float
    near: tuple[int, int]
    over_spread: tuple[int, int]
    at_floor: bool


@dataclass(frozen=True)
class LeastCost:
    """Costs by layers and where each school's is least; `advised` spans both schools' spread."""

    kept: tuple[Kept, ...]
    costs: tuple[LayerCost, ...]
    optima: tuple[Optimum, ...]
    advised: tuple[int, int]


def least_cost(
    stored: Stored,
    prices: Prices,
    mishaps: Mishaps = Mishaps(),  # noqa: B008
) -> LeastCost:
    """Costs under 4 to 12 layers, and the least of them by school.

    Handling, wrapping time, disposal of film and feed value beyond dry matter are not in it.
    Source key: `given` (prices); losses as in `keep`.
    """
    kept = keep_by_layers(stored, range(FEWEST_LAYERS, MOST_LAYERS + 1), mishaps)
    costs = tuple(_cost(one, stored, prices) for one in kept)
    optima = tuple(_optimum(costs, school, prices.near_frac) for school in School)
    spans = [end for optimum in optima for end in (*optimum.over_spread, optimum.layers)]
    return LeastCost(kept, costs, optima, (min(spans), max(spans)))


def _cost(kept: Kept, stored: Stored, prices: Prices) -> LayerCost:
    used_kg = film_kg(stored.bale, stored.cover.layer_m, kept.layers)
    worth = stored.dry_matter_kg / KG_PER_T * prices.dm_money_t
    lost = tuple((one.school, scaled(one.total_frac, worth)) for one in kept.schools)
    return LayerCost(kept.layers, used_kg, used_kg * prices.film_money_kg, lost)


def _optimum(costs: tuple[LayerCost, ...], school: School, near_frac: float) -> Optimum:
    def least(end: Callable[[Interval], float]) -> LayerCost:
        return min(costs, key=lambda cost: end(cost.total_money(school)))

    best = least(lambda money: money.best)
    money = best.total_money(school).best
    near = [
        cost.layers for cost in costs if cost.total_money(school).best <= money * (1.0 + near_frac)
    ]
    ends = least(lambda money: money.low).layers, least(lambda money: money.high).layers
    return Optimum(
        school,
        best.layers,
        money,
        (min(near), max(near)),
        (min(ends), max(ends)),
        best.layers == FEWEST_LAYERS,
    )
