"""Damp hay in store: how damp each source lets it be, what heating adds up to, what it costs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from balewright.plan.keeping.heating_sources import COLDEST_C, HOTTEST_C
from balewright.quantities.checks import require_between, require_count
from balewright.quantities.interval import Interval

HEATING_FROM_C: Final = 30.0
"""86 F: heating degree days count from here."""
FEW_DEGREE_DAYS: Final = 200.0 / 1.8
MANY_DEGREE_DAYS: Final = 300.0 / 1.8
PEAK_DAYS: Final = Interval(7.0, 7.0, 14.0)
"""Heating peaks one to two weeks after baling (`kentucky-hay-temperatures`)."""
FIRE_DAYS: Final = Interval(14.0, 14.0, 42.0)
"""Most fires: two to four weeks (`purdue-hay-temperatures`), up to six
(`cornell-hay-temperatures`, `california-hay-temperatures`)."""
_MIL_UM: Final = 25.4


class HayBale(StrEnum):
    """Bales as the sources sort them."""

    SMALL = "small"
    LARGE_ROUND = "large round"
    LARGE_SQUARE = "large square"


@dataclass(frozen=True)
class MoistureLimit:
    """Up to how damp (wet basis) one source lets a bale go into store: from low to high."""

    bale: HayBale
    source: str
    low_frac: float
    high_frac: float


_S, _R, _Q = HayBale.SMALL, HayBale.LARGE_ROUND, HayBale.LARGE_SQUARE
MOISTURE_LIMITS: Final = (
    MoistureLimit(_S, "purdue-hay-temperatures", 0.20, 0.20),
    MoistureLimit(_S, "mississippi-hay-temperatures", 0.18, 0.22),
    MoistureLimit(_S, "wisconsin-propionic", 0.18, 0.20),
    MoistureLimit(_S, "cornell-hay-temperatures", 0.20, 0.20),
    MoistureLimit(_S, "california-hay-temperatures", 0.17, 0.17),
    MoistureLimit(_S, "alberta-bale-moisture", 0.18, 0.20),
    MoistureLimit(_S, "idaho-hay-fires", 0.20, 0.20),
    MoistureLimit(_R, "purdue-hay-temperatures", 0.18, 0.18),
    MoistureLimit(_R, "mississippi-hay-temperatures", 0.16, 0.18),
    MoistureLimit(_R, "wisconsin-propionic", 0.13, 0.17),
    MoistureLimit(_R, "cornell-hay-temperatures", 0.16, 0.16),
    MoistureLimit(_R, "california-hay-temperatures", 0.14, 0.14),
    MoistureLimit(_R, "alberta-bale-moisture", 0.15, 0.18),
    MoistureLimit(_R, "idaho-hay-fires", 0.18, 0.18),
    MoistureLimit(_Q, "purdue-hay-temperatures", 0.17, 0.17),
    MoistureLimit(_Q, "mississippi-hay-temperatures", 0.16, 0.18),
    MoistureLimit(_Q, "wisconsin-propionic", 0.13, 0.17),
    MoistureLimit(_Q, "cornell-hay-temperatures", 0.16, 0.16),
    MoistureLimit(_Q, "california-hay-temperatures", 0.14, 0.14),
    MoistureLimit(_Q, "alberta-bale-moisture", 0.12, 0.16),
    MoistureLimit(_Q, "idaho-hay-fires", 0.15, 0.16),
)


class Storable(StrEnum):
    """Whether hay is dry enough for store, by all sources, some, or none."""

    YES = "dry enough for every source"
    DISPUTED = "sources disagree"
    NO = "too damp for every source"


@dataclass(frozen=True)
class StorageVerdict:
    """Which sources would store it and which not; limit_frac: lowest and highest limit of all."""

    verdict: Storable
    agree: tuple[str, ...]
    against: tuple[str, ...]
    limit_frac: Interval


@dataclass(frozen=True)
class WrappedHeat:
    """What wrapped bales at 30 % moisture did in one trial.

    inside_c: where they stayed or peaked, None where they cooled; cool_after_days: when they were
    back at the air's temperature, None where they were not; moulded: None where nobody said.
    """

    inside_c: Interval | None
    cool_after_days: Interval | None
    moulded: bool | None
    source: str


def judge_storage(bale: HayBale, moisture_frac: float) -> StorageVerdict:
    """Who would put hay of this moisture (wet basis, 0..1) into store without a preservative.

    A source with a range agrees up to its low end and is against above its high end; between, it
    is in neither list. Source keys: those of `MOISTURE_LIMITS`.
    """
    require_between("moisture_frac", moisture_frac, 0.0, 1.0)
    limits = [limit for limit in MOISTURE_LIMITS if limit.bale is bale]
    agree = tuple(limit.source for limit in limits if moisture_frac <= limit.low_frac)
    against = tuple(limit.source for limit in limits if moisture_frac > limit.high_frac)
    verdict = Storable.DISPUTED
    if len(agree) == len(limits):
        verdict = Storable.YES
    elif len(against) == len(limits):
        verdict = Storable.NO
    low = min(limit.low_frac for limit in limits)
    high = max(limit.high_frac for limit in limits)
    return StorageVerdict(verdict, agree, against, Interval(low, low, high))


def heating_degree_days(daily_highest_c: Sequence[float]) -> float:
    """Heating of a bale over its storage, in kelvin days: how far each day's highest temperature
    stood above 30 C, summed; a day at or below adds nothing.

    daily_highest_c: one value a day, -50..500, 1..4000 days. 1 kelvin day is 1.8 of the Fahrenheit
    days in which American sources give it. Source keys: `wisconsin-propionic`, `ohio-hay-heating`.
    """
    require_count("days", len(daily_highest_c), 1, 4000)
    for highest_c in daily_highest_c:
        require_between("daily_highest_c", highest_c, COLDEST_C, HOTTEST_C)
    return sum(max(0.0, highest_c - HEATING_FROM_C) for highest_c in daily_highest_c)


def storage_loss_frac(moisture_in_frac: float, moisture_out_frac: float) -> float:
    """Dry matter lost in store: about one point for each point of moisture lost.

    Both 0.05..0.35, wet basis; nothing is lost where none went. A rule of thumb for hay of 18 to
    30 % moisture without preservative. Source key: `rankin-organic-acids`.
    """
    require_between("moisture_in_frac", moisture_in_frac, 0.05, 0.35)
    require_between("moisture_out_frac", moisture_out_frac, 0.05, 0.35)
    return max(0.0, moisture_in_frac - moisture_out_frac)


def wrapped_heat(film_um: float) -> WrappedHeat | None:
    """What film over damp hay did in a trial with square bales at 30 % moisture (and at 56 %).

    film_um: thickness of all layers together as bought, 0..1000. None between the trial's 2 mil
    (51 um) and 6 mil (152 um), where it says nothing. Source key: `wisconsin-wrapped-squares`.
    """
    require_between("film_um", film_um, 0.0, 1000.0)
    key = "wisconsin-wrapped-squares"
    if film_um == 0.0:
        peak_c = (134.0 - 32.0) / 1.8
        return WrappedHeat(Interval(peak_c, peak_c, peak_c), None, None, key)
    if film_um <= 2.0 * _MIL_UM * 1.001:
        low_c, high_c = (105.0 - 32.0) / 1.8, (110.0 - 32.0) / 1.8
        return WrappedHeat(Interval(low_c, high_c, high_c), None, True, key)
    if film_um >= 6.0 * _MIL_UM * 0.98:  # six layers of 25 um are sold as 1 mil each
        return WrappedHeat(None, Interval(8.0, 9.0, 9.0), None, key)
    return None
