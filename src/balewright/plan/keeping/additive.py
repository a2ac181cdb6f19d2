"""Hay acid by moisture and silage additive by the tonne: how much a tonne, an hour, a bale.

Acid burns skin, eyes and lungs: its label and safety sheet come before anything here. What is
computed is the rate that sources print; none of them promises that hay keeps.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from balewright.quantities.checks import require_between, require_count
from balewright.quantities.interval import Interval
from balewright.quantities.si import KG_PER_T

CAUTIONS: Final = (
    "additive.caution.acid",
    "additive.caution.label",
    "additive.caution.smoke",
    "additive.caution.round",
)
_KG_T_OF_PER_CENT: Final = 10.0
_KG_T_OF_LB_TON: Final = 0.5
"""A pound a short ton (2000 lb) is half a kilogram a tonne, exactly."""
LEAST_MOISTURE_FRAC: Final = 0.20
MOST_MOISTURE_FRAC: Final = 0.50
MINUTES_PER_H: Final = 60.0


@dataclass(frozen=True)
class SourceRate:
    """What one source asks for: kg of pure propionic acid a tonne of fresh hay, from low to high.

    high_kg_t: None where the source says "at least"; marginal: whether it calls this the edge of
    working rather than a recommendation.
    """

    source: str
    low_kg_t: float
    high_kg_t: float | None
    marginal: bool


@dataclass(frozen=True)
class AcidDose:
    """Acid for hay of one moisture.

    rates: every source that speaks of it; kg_t: from the lowest to the highest of them, `best` the
    least that leaves no source unsatisfied.
    """

    moisture_frac: float
    rates: tuple[SourceRate, ...]
    kg_t: Interval


@dataclass(frozen=True)
class Product:
    """What is in the drum. active_frac: share of pure propionic acid by mass (0.05..1);
    density_kg_l: kg a litre (0.7..1.6); both as on its label.
    """

    active_frac: float
    density_kg_l: float

    def __post_init__(self) -> None:
        require_between("active_frac", self.active_frac, 0.05, 1.0)
        require_between("density_kg_l", self.density_kg_l, 0.7, 1.6)

    def litres_l_t(self, active_kg_t: float) -> float:
        """Litres of it that carry so much pure acid to a tonne of crop (kg/t, 0..200).

        Source key: `propionic-density` for pure acid.
        """
        require_between("active_kg_t", active_kg_t, 0.0, 200.0)
        return active_kg_t / (self.active_frac * self.density_kg_l)

    def active_kg_t(self, rate_l_t: float) -> float:
        """Pure acid that so many litres a tonne (0..1000) carry."""
        require_between("rate_l_t", rate_l_t, 0.0, 1000.0)
        return rate_l_t * self.active_frac * self.density_kg_l


@dataclass(frozen=True)
class Spraying:
    """One rate in the units of the job. l_t: a tonne of fresh crop; l_h, l_min: while crop flows,
    None where the feed rate is unknown; l_bale: None where the bale's mass is unknown.
    """

    l_t: float
    l_h: float | None
    l_min: float | None
    l_bale: float | None


def acid_dose(moisture_frac: float) -> AcidDose | None:
    """How much pure propionic acid sources ask for at this moisture (wet basis, 0..1).

    None below 20 % (no source gives a rate: hay that dry may need none) and above 50 % (no hay any
    more: wrap it). Between 25 and 26 % the higher rate holds. Valid for evenly sprayed hay; large
    round bales took much less good from it. Source keys: `kentucky-acid-rates`,
    `easson-nash-1978`, `north-dakota-acid`, `wisconsin-round-acid`.
    """
    require_between("moisture_frac", moisture_frac, 0.0, 1.0)
    if not LEAST_MOISTURE_FRAC <= moisture_frac <= MOST_MOISTURE_FRAC:
        return None
    found = (_kentucky(moisture_frac), _easson_nash(moisture_frac), _north_dakota(moisture_frac))
    rates = tuple(rate for rate in found if rate is not None)
    low = min(rate.low_kg_t for rate in rates)
    best = max(rate.low_kg_t for rate in rates)
    high = max(rate.high_kg_t or rate.low_kg_t for rate in rates)
    return AcidDose(moisture_frac, rates, Interval(low, best, high))


def spray(rate_l_t: float, feed_t_h: float | None, bale_kg: float | None = None) -> Spraying:
    """A rate by the tonne as what the nozzles must give, and what a bale gets.

    rate_l_t: litres a tonne of fresh crop (0..1000); feed_t_h: fresh crop into the machine
    (0.5..200); bale_kg: fresh mass of a bale (20..3000); both None where unknown. The nozzles
    follow the feed rate, not the speed: half the windrow at the same speed takes half the litres.
    Raises BadInput outside.
    """
    require_between("rate_l_t", rate_l_t, 0.0, 1000.0)
    an_hour = a_minute = a_bale = None
    if feed_t_h is not None:
        an_hour = rate_l_t * require_between("feed_t_h", feed_t_h, 0.5, 200.0)
        a_minute = an_hour / MINUTES_PER_H
    if bale_kg is not None:
        a_bale = rate_l_t * require_between("bale_kg", bale_kg, 20.0, 3000.0) / KG_PER_T
    return Spraying(rate_l_t, an_hour, a_minute, a_bale)


def cells_per_gram(cells: int, crop_t: float) -> float:
    """Living bacteria a gram of crop: `cells` of a pack (1e6..1e16) over so many tonnes (0.1..1e5).

    The usual target is 100,000. Source key: `inoculant-target`.
    """
    require_count("cells", cells, 10**6, 10**16)
    require_between("crop_t", crop_t, 0.1, 1e5)
    return cells / (crop_t * KG_PER_T * 1000.0)


def _kentucky(moisture_frac: float) -> SourceRate | None:
    """10 lb a short ton at 20 to 25 %, 20 lb at 26 to 30 %."""
    if moisture_frac > 0.30:
        return None
    rate_kg_t = (10.0 if moisture_frac <= 0.25 else 20.0) * _KG_T_OF_LB_TON
    return SourceRate("kentucky-acid-rates", rate_kg_t, rate_kg_t, marginal=False)


def _easson_nash(moisture_frac: float) -> SourceRate | None:
    """1 % at 30, 1 to 1.5 % at 40, 2 % at 50; straight between, silent outside."""
    if moisture_frac < 0.30:
        return None
    if moisture_frac <= 0.40:
        along = (moisture_frac - 0.30) / 0.10
        low, high = 1.0, 1.0 + 0.5 * along
    else:
        along = (moisture_frac - 0.40) / 0.10
        low, high = 1.0 + along, 1.5 + 0.5 * along
    return SourceRate(
        "easson-nash-1978", low * _KG_T_OF_PER_CENT, high * _KG_T_OF_PER_CENT, marginal=True
    )


def _north_dakota(moisture_frac: float) -> SourceRate | None:
    """At least 1 % at 32 %: a point, held for half a per cent on each side of it."""
    if not 0.315 <= moisture_frac <= 0.325:
        return None
    return SourceRate("north-dakota-acid", _KG_T_OF_PER_CENT, None, marginal=False)
