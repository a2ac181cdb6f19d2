"""How a wrapped bale keeps: every loss of dry matter with its interval, and both schools of trial.

Published trials disagree. Cool, wet or well made ones lose little and stay clean under four
layers; lucerne baled dry in a warm place loses 5 to 12 % and moulds under six. Both readings are
worked out and shown; the interval spans them, and its best value is only their middle.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from balewright.plan.film.strip import Bale
from balewright.plan.keeping.climate import Stay
from balewright.plan.keeping.delay import delay_loss
from balewright.plan.keeping.holes import hole_loss
from balewright.plan.keeping.leaks import fitted_ends
from balewright.plan.keeping.moisture_loss import fermentation_loss, fermented_share, juice_loss
from balewright.plan.keeping.mould import (
    MouldRisk,
    cool_cover_frac,
    judge_dose,
    warm_cover_frac,
)
from balewright.plan.keeping.oxygen import (
    DRY_MATTER_KG_PER_MOL,
    Cover,
    dose_mol_m2,
    scaled,
    together,
)
from balewright.plan.keeping.shape import contact_per_m, share_within, volume_m3
from balewright.quantities.checks import require_between, require_count
from balewright.quantities.interval import Interval

#: How deep feed is thrown away under mould: `assumed`, nobody seen measured it.
THROWN_DEEP_M: Final = Interval(low=0.01, best=0.02, high=0.05)


class School(StrEnum):
    """Whose trials one believes."""

    WELL_MADE = "well made"
    BARRIER_TRIALS = "barrier trials"


#: What each school rests on.
SCHOOL_SOURCES: Final = {
    School.WELL_MADE: ("shinners-2009", "keles-2009", "mceniry-2011", "nonaka-1999"),
    School.BARRIER_TRIALS: ("borreani-2008", "borreani-2010", "wilkinson-2014"),
}


@dataclass(frozen=True)
class Stored:
    """A wrapped bale and its stay.

    dry_matter_kg_m3: 50 to 400; moisture_frac: wet basis, 0.05 to 0.9. Layers are given to
    `keep`, so that several can be compared.
    """

    bale: Bale
    cover: Cover
    dry_matter_kg_m3: float
    moisture_frac: float
    stay: Stay

    def __post_init__(self) -> None:
        require_between("dry_matter_kg_m3", self.dry_matter_kg_m3, 50.0, 400.0)
        require_between("moisture_frac", self.moisture_frac, 0.05, 0.9)

    @property
    def dry_matter_kg(self) -> float:
        """Dry matter baled."""
        return volume_m3(self.bale) * self.dry_matter_kg_m3


@dataclass(frozen=True)
class Mishaps:
    """What went wrong: hours unwrapped (0 to 240), warming measured meanwhile (K, None where
    nobody did), open holes of one diameter (m, 0 to 0.1).
    """

    waited_h: float = 0.0
    rise_k: float | None = None
    hole_m: float = 0.0
    holes: int = 0


@dataclass(frozen=True)
class SchoolLoss:
    """One school's reading, shares of what was left before each, in this order.

    base_frac: fermentation and what no film changes; film_frac: oxygen through film, seams and
    tack; lost_frac: these and the parts that both schools share, as a trial weighs it; cover_frac:
    surface under mould; thrown_frac: feed under it, thrown away; total_frac: lost and thrown away.
    """

    school: School
    base_frac: Interval
    film_frac: Interval
    lost_frac: Interval
    cover_frac: Interval
    thrown_frac: Interval
    total_frac: Interval


@dataclass(frozen=True)
class Kept:
    """What is lost, as shares of dry matter.

    film_alone_frac: what oxygen through whole film burns by itself; delay, juice and hole_frac:
    the same in both schools. lost_frac (gone in storage) and total_frac (with feed thrown away
    under mould) run from the low end of one school to the high end of the other; their best is
    the schools' middle, which nobody measured. mould: every source's verdict.
    """

    layers: int
    film_alone_frac: Interval
    delay_frac: Interval
    juice_frac: Interval
    hole_frac: Interval
    schools: tuple[SchoolLoss, ...]
    lost_frac: Interval
    total_frac: Interval
    mould: MouldRisk

    def of(self, school: School) -> SchoolLoss:
        """One school's reading."""
        return next(one for one in self.schools if one.school is school)


def keep(stored: Stored, layers: int, mishaps: Mishaps = Mishaps()) -> Kept:
    """How a bale under `layers` (1 to 40) keeps.

    Raises BadInput outside the ranges. About 0.1 ms a call; the stay is integrated once and kept.
    docs/models/keeping.md says what it rests on. Source keys: those of SCHOOL_SOURCES.
    """
    require_count("layers", layers, 1, 40)
    stay, moisture = stored.stay, stored.moisture_frac
    dose = dose_mol_m2(stored.cover, layers, stay)
    per_mol = contact_per_m(stored.bale) * DRY_MATTER_KG_PER_MOL / stored.dry_matter_kg_m3
    film = _capped(scaled(dose, per_mol))
    delay = delay_loss(mishaps.waited_h, moisture, mishaps.rise_k)
    juice = scaled(juice_loss(moisture), fermented_share(stay.months))
    thick_m = layers * stored.cover.layer_m
    hole = hole_loss(mishaps.hole_m, mishaps.holes, thick_m, stay.months, stored.dry_matter_kg)
    shared = (delay, juice, hole)
    schools = (
        _well_made(stored, film, dose.best, shared),
        _barrier(stored, film, dose.best, shared),
    )
    lost = _between(schools[0].lost_frac, schools[1].lost_frac)
    total = _between(schools[0].total_frac, schools[1].total_frac)
    mould = judge_dose(dose.best)
    return Kept(layers, film, delay, juice, hole, schools, lost, total, mould)


def keep_by_layers(
    stored: Stored, layers: Sequence[int], mishaps: Mishaps = Mishaps()
) -> tuple[Kept, ...]:
    """`keep` for several numbers of layers, in the order given."""
    return tuple(keep(stored, number, mishaps) for number in layers)


def all_lost(*lost: Interval) -> Interval:
    """Losses one after the other, each taking its share of what the others left."""
    ends = []
    for shares in zip(*((one.low, one.best, one.high) for one in lost), strict=True):
        ends.append(1.0 - math.prod(1.0 - share for share in shares))
    return Interval(*ends)


def _well_made(
    stored: Stored, film: Interval, dose: float, shared: tuple[Interval, ...]
) -> SchoolLoss:
    base = scaled(fermentation_loss(stored.moisture_frac), fermented_share(stored.stay.months))
    return _school(School.WELL_MADE, stored, (base, film), cool_cover_frac(dose), shared)


def _barrier(
    stored: Stored, film: Interval, dose: float, shared: tuple[Interval, ...]
) -> SchoolLoss:
    """Film at its best value only: its uncertainty is inside the fitted ratio already."""
    fitted_base, ratio = fitted_ends()
    base = scaled(fitted_base, fermented_share(stored.stay.months))
    through = _capped(scaled(ratio, film.best))
    return _school(School.BARRIER_TRIALS, stored, (base, through), warm_cover_frac(dose), shared)


def _school(
    school: School,
    stored: Stored,
    own: tuple[Interval, Interval],
    cover: Interval,
    shared: tuple[Interval, ...],
) -> SchoolLoss:
    base, film = own
    deep = Interval(
        *(
            share_within(stored.bale, deep_m)
            for deep_m in (THROWN_DEEP_M.low, THROWN_DEEP_M.best, THROWN_DEEP_M.high)
        )
    )
    thrown = together(cover, deep, lambda covered, rind: covered * rind)
    lost = all_lost(base, film, *shared)
    return SchoolLoss(school, base, film, lost, cover, thrown, all_lost(lost, thrown))


def _between(one: Interval, other: Interval) -> Interval:
    """From the lower low to the higher high; the best is the middle of both bests."""
    best = (one.best + other.best) / 2.0
    return Interval(min(one.low, other.low), best, max(one.high, other.high))


def _capped(share: Interval) -> Interval:
    return Interval(min(1.0, share.low), min(1.0, share.best), min(1.0, share.high))
