"""The settings that cost least for what is wanted, with the curves that lead to them.

Two schools read the trials on keeping differently, and no price decides between them. So there is
a best choice for each, and one that is least wrong whichever holds: the choice whose cost above
the best, in the worse of both cases, is smallest (least regret).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import Final

import numpy as np

from balewright.plan.keeping.keep import School
from balewright.plan.optimum.asked import Question
from balewright.plan.optimum.front import how_flat, undominated
from balewright.plan.optimum.option import Bar, Option, try_all
from balewright.quantities.errors import NotAnswerable


class Axis(StrEnum):
    """What a curve runs along."""

    LAYERS = "layers"
    DENSITY = "density"
    SPEED = "speed"


_AT: Final[Mapping[Axis, Callable[[Option], float]]] = MappingProxyType(
    {
        Axis.LAYERS: lambda option: float(option.turned.layers),
        Axis.DENSITY: lambda option: option.density_kg_m3,
        Axis.SPEED: lambda option: option.speed_m_s,
    }
)


@dataclass(frozen=True)
class Point:
    """One place on a curve: the best that the other two settings allow there, by school; empty
    where nothing there may be taken. bars: what keeps some or all choices there from being taken.
    """

    at: float
    options: tuple[tuple[School, Option], ...]
    bars: tuple[Bar, ...]


@dataclass(frozen=True)
class Curve:
    """Points along one axis, all that was offered; near: for each school, from where to where
    (in the axis' unit) the cost stays as near to the least as was wanted.
    """

    axis: Axis
    points: tuple[Point, ...]
    near: tuple[tuple[School, float, float], ...]


class Beyond(StrEnum):
    """What a step from the settled choice meets."""

    COSTS_MORE = "costs more"
    NOT_OFFERED = "nothing further was offered"
    BARRED = "not allowed"


@dataclass(frozen=True)
class Bound:
    """What holds the settled choice on one axis, below and above; bars: where a step is barred."""

    axis: Axis
    below: Beyond
    above: Beyond
    bars: tuple[Bar, ...]


@dataclass(frozen=True)
class BestSettings:
    """settled: the choice of least regret; regret_money_t: what it costs above the best of the
    school it suits worse; by_school: each school's own best; curves: along layers, density and
    speed; front: the choices that no other beats in cost of making, loss and pace together, the
    cheapest first; bounds: what holds the settled choice; tried, allowed: combinations.
    """

    settled: Option
    regret_money_t: float
    by_school: tuple[tuple[School, Option], ...]
    curves: tuple[Curve, ...]
    front: tuple[Option, ...]
    bounds: tuple[Bound, ...]
    tried: int
    allowed: int


def best_settings(question: Question) -> BestSettings:
    """Layers, density and speed that cost least and keep to what is wanted.

    Every combination is worked out, so nothing is missed between the steps that were offered, and
    nothing is found outside them. Raises NotAnswerable where no combination may be taken, with
    what bars them, and BadInput as `try_all`. Valid where the models it joins are; hauling,
    feeding out and the feed's value beyond its dry matter are not in it. Some 0.1 s for 500.
    Source keys: those of `try_all`.
    """
    options = try_all(question)
    allowed = [option for option in options if not option.barred]
    if not allowed:
        raise NotAnswerable(_nothing_left(options))
    by_school = tuple((school, _cheapest(allowed, school)) for school in School)

    def regret(option: Option) -> float:
        return max(
            option.money_t(school).best - best.money_t(school).best for school, best in by_school
        )

    settled = min(allowed, key=regret)
    near_frac = question.wanted.near_frac
    return BestSettings(
        settled=settled,
        regret_money_t=regret(settled),
        by_school=by_school,
        curves=tuple(_curve(options, axis, near_frac) for axis in Axis),
        front=_front(allowed),
        bounds=tuple(_bound(options, settled, axis) for axis in Axis),
        tried=len(options),
        allowed=len(allowed),
    )


def _cheapest(options: Sequence[Option], school: School) -> Option:
    return min(options, key=lambda option: option.money_t(school).best)


def _nothing_left(options: Sequence[Option]) -> str:
    counts = Counter(bar for option in options for bar in option.barred)
    told = ", ".join(f"{bar.value}: {count}" for bar, count in counts.most_common())
    return (
        f"None of {len(options)} combinations may be taken ({told}). "
        "Offer other densities, speeds or turns, or ask for less."
    )


def _curve(options: Sequence[Option], axis: Axis, near_frac: float) -> Curve:
    points = []
    for at in sorted({_AT[axis](option) for option in options}):
        here = [option for option in options if _AT[axis](option) == at]
        allowed = [option for option in here if not option.barred]
        best = tuple((school, _cheapest(allowed, school)) for school in School) if allowed else ()
        bars = sorted({bar for option in here for bar in option.barred})
        points.append(Point(at, best, tuple(bars)))
    open_to_us = [point for point in points if point.options]
    near = []
    for school in School:
        costs = [dict(point.options)[school].money_t(school).best for point in open_to_us]
        flat = how_flat(np.array(costs), near_frac)
        near.append((school, open_to_us[flat.first].at, open_to_us[flat.last].at))
    return Curve(axis, tuple(points), tuple(near))


def _front(allowed: Sequence[Option]) -> tuple[Option, ...]:
    figures = [(one.made_money_t, one.worst_loss_frac, 1.0 / one.dm_t_h) for one in allowed]
    kept = undominated(np.array(figures))
    chosen = [option for option, stays in zip(allowed, kept, strict=True) if stays]
    return tuple(sorted(chosen, key=lambda option: option.made_money_t))


def _bound(options: Sequence[Option], settled: Option, axis: Axis) -> Bound:
    """One step down and one up on this axis, the other two settings as settled."""
    others = [one for one in Axis if one is not axis]
    row = [
        option
        for option in options
        if all(_AT[other](option) == _AT[other](settled) for other in others)
    ]
    place = row.index(settled)
    steps = [row[place - 1] if place else None, row[place + 1] if place + 1 < len(row) else None]
    bars = sorted({bar for step in steps if step is not None for bar in step.barred})
    return Bound(axis, _beyond(steps[0]), _beyond(steps[1]), tuple(bars))


def _beyond(step: Option | None) -> Beyond:
    if step is None:
        return Beyond.NOT_OFFERED
    return Beyond.BARRED if step.barred else Beyond.COSTS_MORE
