"""The cost of a bale where prices, pace or use are not known to a point."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import product
from typing import Any, Final

import numpy as np

from balewright.plan.cost.bale_cost import cost_of
from balewright.plan.cost.outlay import Made, Outlay
from balewright.quantities.checks import require_count
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.interval import Interval

MOST_SPREAD: Final = 7
"""Inputs that may be uncertain at once: each has three levels, and every mix is worked out."""
_PARTS: Final = ("prices", "machine", "tractor", "season")


def cost_ends(made: Made, outlay: Outlay, spread: Mapping[str, Interval]) -> Interval:
    """Money a tonne of dry matter, as low and as high as the uncertain inputs can make it.

    spread: "prices.fuel_money_l" or "made.bales_h" and the like -> interval; at most 7. Every mix
    of low, best and high is worked out. That is exact for inputs that push the cost one way only
    (all prices, rates, pace, metres); for years kept and the season's tonnes, whose effect can
    turn round, it is the range over their three levels. All ends at once are unlikely: see
    `cost_drawn`. Raises BadInput for a name there is none of.
    """
    names = _names(spread)
    levels = [(spread[name].low, spread[name].best, spread[name].high) for name in names]
    found = [_money_t_dm(made, outlay, names, mix) for mix in product(*levels)]
    best = _money_t_dm(made, outlay, names, [spread[name].best for name in names])
    return Interval(min(found), best, max(found))


def cost_drawn(
    made: Made,
    outlay: Outlay,
    spread: Mapping[str, Interval],
    draws: int,
    random: np.random.Generator,
) -> Interval:
    """Money a tonne of dry matter: median and the middle 90 % over `draws` (100..100 000).

    Each input is drawn by itself from a triangle over its interval, whose peak is the best value:
    an assumption, and so is that inputs do not move together. Raises BadInput as `cost_ends`.
    """
    require_count("draws", draws, 100, 100_000)
    names = _names(spread)
    columns = [_triangle(spread[name], draws, random) for name in names]
    found = [_money_t_dm(made, outlay, names, mix) for mix in zip(*columns, strict=True)]
    low, best, high = (float(value) for value in np.quantile(found, (0.05, 0.5, 0.95)))
    return Interval(low, best, high, confidence=0.9)


def _names(spread: Mapping[str, Interval]) -> list[str]:
    if not 1 <= len(spread) <= MOST_SPREAD:
        need = f"1 to {MOST_SPREAD} uncertain inputs"
        cure = "Name those that matter; the others keep their values."
        raise BadInput(Fault("spread", need, f"{len(spread)}", cure))
    return list(spread)


def _triangle(interval: Interval, draws: int, random: np.random.Generator) -> list[float]:
    if interval.low == interval.high:
        return [interval.best] * draws
    return random.triangular(interval.low, interval.best, interval.high, draws).tolist()  # type: ignore[no-any-return]


def _money_t_dm(made: Made, outlay: Outlay, names: list[str], values: Sequence[float]) -> float:
    for name, value in zip(names, values, strict=True):
        made, outlay = _set(made, outlay, name, value)
    return cost_of(made, outlay).money_t_dm


def _set(made: Made, outlay: Outlay, name: str, value: float) -> tuple[Made, Outlay]:
    part, _, field = name.partition(".")
    holders: dict[str, Any] = {"made": made, **{one: getattr(outlay, one) for one in _PARTS}}
    holder = holders.get(part)
    if holder is None or not isinstance(getattr(holder, field, None), float | int):
        need = "part.field of a number, such as prices.fuel_money_l"
        cure = f"Parts: made, {', '.join(_PARTS)}."
        raise BadInput(Fault("spread", need, repr(name), cure))
    changed: Any = replace(holder, **{field: value})
    return (changed, outlay) if part == "made" else (made, _with(outlay, {part: changed}))


def _with(outlay: Outlay, changed: dict[str, Any]) -> Outlay:
    return replace(outlay, **changed)
