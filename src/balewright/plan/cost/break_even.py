"""From how many bales a year on owning is cheaper than hiring."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import fields, replace
from itertools import pairwise
from typing import Final

from balewright.plan.cost.bale_cost import Parts, cost_of
from balewright.plan.cost.outlay import Made, Outlay
from balewright.plan.cost.ownership import MOST_MONEY
from balewright.quantities.checks import require_between
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.si import KG_PER_T

_MOST_BALES: Final = 200_000.0
_MOST_HOURS: Final = 8760.0
_STEPS: Final = 400
_CLOSE: Final = 1e-9


def break_even_use(year_money: float, hired_money: float, own_money: float) -> float | None:
    """Use a year (bales, hectares, hours: the unit of the two rates) at which both cost the same.

    year_money: of owning, whatever is done; hired_money, own_money: for each unit, hired and
    with the own machine. None where hiring costs no more than running one's own.
    Source keys: `colorado-3759`, `field-solie`.
    """
    require_between("year_money", year_money, 0.0, MOST_MONEY)
    require_between("hired_money", hired_money, 0.0, MOST_MONEY)
    require_between("own_money", own_money, 0.0, MOST_MONEY)
    return None if hired_money <= own_money else year_money / (hired_money - own_money)


def use_money(year_money: float, own_money: float, use_year: float) -> float:
    """Cost of each unit at `use_year` units a year: the fixed money spread, and the rest."""
    require_between("year_money", year_money, 0.0, MOST_MONEY)
    require_between("own_money", own_money, 0.0, MOST_MONEY)
    require_between("use_year", use_year, 1e-6, 1e9)
    return year_money / use_year + own_money


def bales_to_own(
    made: Made, outlay: Outlay, hired_money: float, leave_out: tuple[str, ...] = ()
) -> float | None:
    """Least bales a year from which the own machine makes `made` for less than `hired_money`.

    hired_money: asked for a bale; leave_out: parts of the bale that are paid either way, by name
    (`film_money` where the customer brings the film). Repairs grow with use, so the own cost falls
    and later rises again: this is where it first comes under the hired one, None where it never
    does up to 200 000 bales or the hours of a year. The tractor's part stays as it is.
    """
    require_between("hired_money", hired_money, 0.0, MOST_MONEY)
    _require_parts(leave_out)
    most = min(_MOST_BALES, _MOST_HOURS * made.bales_h)

    def saved_money(bales: float) -> float:
        season = replace(outlay.season, dm_t_year=bales * made.dm_kg / KG_PER_T)
        cost = cost_of(made, replace(outlay, season=season))
        paid = sum(money for name, money in cost.parts.items() if name not in leave_out)
        return hired_money - paid

    least = max(1.0, 0.1 * KG_PER_T / made.dm_kg)
    grid: list[float] = [least * (most / least) ** (step / _STEPS) for step in range(_STEPS + 1)]
    for low, high in pairwise(grid):
        if saved_money(low) >= 0.0:
            return low
        if saved_money(high) >= 0.0:
            return _first(saved_money, low, high)
    return None


def _first(saved_money: Callable[[float], float], low: float, high: float) -> float:
    while high - low > _CLOSE * high:
        middle = math.sqrt(low * high)
        if saved_money(middle) >= 0.0:
            high = middle
        else:
            low = middle
    return high


def _require_parts(names: tuple[str, ...]) -> None:
    known = [field.name for field in fields(Parts)]
    for name in names:
        if name not in known:
            cure = "Name parts of a bale's cost as `Parts` does."
            raise BadInput(Fault("leave_out", f"one of {', '.join(known)}", repr(name), cure))
