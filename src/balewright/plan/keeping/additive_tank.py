"""The tank: how long it lasts, and from what it lost what the bales really got."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from balewright.plan.keeping.additive import MINUTES_PER_H, Spraying
from balewright.quantities.checks import require_between, require_count
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.interval import Interval
from balewright.quantities.si import KG_PER_T


@dataclass(frozen=True)
class TankPlan:
    """How long a full tank lasts.

    minutes: of running crop, None where the feed rate is unknown; bales: whole ones it does, None
    where the bale's mass is unknown;
    changes: refills after the first filling for a day's bales, None where either is unknown;
    day_l: litres for the day.
    """

    minutes: float | None
    bales: int | None
    changes: int | None
    day_l: float | None


@dataclass(frozen=True)
class Used:
    """What was measured. used_l: litres gone from the tank; gauge_l: how far each of the two
    readings may be off; bales: made meanwhile; bale_kg: their fresh mass, low to high.
    """

    used_l: float
    gauge_l: float
    bales: int
    bale_kg: Interval


class DoseVerdict(StrEnum):
    """The dose given against the dose wanted."""

    RIGHT = "in order"
    LOW = "too little"
    HIGH = "too much"
    NOT_SHOWN = "not shown yet"


@dataclass(frozen=True)
class DoseGiven:
    """given_l_t: litres a tonne that the bales got; low_error_l_t, high_error_l_t: against the
    wanted rate; settle_bales: bales after which the gauge alone would no longer hide the answer,
    None where the bales' mass hides it for ever or it is settled.
    """

    given_l_t: Interval
    verdict: DoseVerdict
    settle_bales: int | None


def plan_tank(tank_l: float, spraying: Spraying, day_bales: int | None = None) -> TankPlan:
    """How long a tank lasts at a rate.

    tank_l: what can be sprayed out of a full tank (1..5000); spraying: the rate; day_bales:
    1..5000, None where not planned. Raises BadInput outside and for a rate of nothing.
    """
    require_between("tank_l", tank_l, 1.0, 5000.0)
    require_between("l_t", spraying.l_t, 1e-6, 1e6)
    minutes = None if spraying.l_h is None else tank_l / spraying.l_h * MINUTES_PER_H
    if spraying.l_bale is None:
        return TankPlan(minutes, None, None, None)
    bales = math.floor(tank_l / spraying.l_bale + 1e-9)
    if day_bales is None:
        return TankPlan(minutes, bales, None, None)
    require_count("day_bales", day_bales, 1, 5000)
    day_l = day_bales * spraying.l_bale
    changes = max(0, math.ceil(day_l / tank_l - 1e-9) - 1)
    return TankPlan(minutes, bales, changes, day_l)


def judge_used(used: Used, wanted_l_t: float, tolerance_frac: float = 0.10) -> DoseGiven:
    """The dose that bales really got, with its error, against the dose wanted.

    wanted_l_t: litres a tonne (0.001..1000); tolerance_frac: how far off is still in order
    (0.01..0.5). In order or out only where the whole interval says so; the ends add the errors of
    both gauge readings and the spread of bale mass, worst with worst. Raises BadInput outside.
    """
    require_between("wanted_l_t", wanted_l_t, 0.001, 1000.0)
    require_between("tolerance_frac", tolerance_frac, 0.01, 0.5)
    _check(used)
    given = _given(used, used.bales)
    low, high = wanted_l_t * (1.0 - tolerance_frac), wanted_l_t * (1.0 + tolerance_frac)
    verdict = _verdict(given, low, high)
    settle = _settle(used, low, high) if verdict is DoseVerdict.NOT_SHOWN else None
    return DoseGiven(given, verdict, settle)


def _given(used: Used, bales: int) -> Interval:
    """Litres a tonne if the same use went on over `bales` bales, read with the same gauge."""
    litres = used.used_l * bales / used.bales
    tonnes = [bales * mass / KG_PER_T for mass in (used.bale_kg.low, used.bale_kg.high)]
    best_t = bales * used.bale_kg.best / KG_PER_T
    off_l = 2.0 * used.gauge_l
    low, high = max(litres - off_l, 0.0) / tonnes[1], (litres + off_l) / tonnes[0]
    best = litres / best_t
    return Interval(min(low, best), best, max(high, best))


def _verdict(given: Interval, low: float, high: float) -> DoseVerdict:
    if given.high < low:
        return DoseVerdict.LOW
    if given.low > high:
        return DoseVerdict.HIGH
    return DoseVerdict.RIGHT if low <= given.low and given.high <= high else DoseVerdict.NOT_SHOWN


def _settle(used: Used, low: float, high: float) -> int | None:
    """Bales after which the verdict would stand, by doubling; None where it never would."""
    bales = used.bales
    while bales <= 100_000:
        bales *= 2
        if _verdict(_given(used, bales), low, high) is not DoseVerdict.NOT_SHOWN:
            below, above = bales // 2, bales
            while above - below > 1:
                middle = (below + above) // 2
                shown = _verdict(_given(used, middle), low, high) is not DoseVerdict.NOT_SHOWN
                below, above = (below, middle) if shown else (middle, above)
            return above
    return None


def _check(used: Used) -> None:
    require_between("used_l", used.used_l, 0.0, 100_000.0)
    require_between("gauge_l", used.gauge_l, 0.0, 1000.0)
    require_count("bales", used.bales, 1, 100_000)
    require_between("bale_kg", used.bale_kg.low, 20.0, 3000.0)
    require_between("bale_kg", used.bale_kg.high, 20.0, 3000.0)
    if used.used_l == 0.0 and used.gauge_l == 0.0:
        need = "a use above nothing, or a gauge with an error"
        raise BadInput(Fault("used_l", need, "0", "Read the gauge before and after."))
