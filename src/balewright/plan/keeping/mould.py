"""Mould on the surface, as each published trial supports it, with their disagreement left in.

Trials are compared by dose: oxygen that comes through film alone, mol/m2. Each source then says of
any other cover and stay only what follows from its own findings: as clean as what it saw clean,
as mouldy as what it saw mouldy, or nothing. docs/models/mould.md shows how far that carries.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from typing import Final

from balewright.plan.keeping.climate import Stay
from balewright.plan.keeping.oxygen import Cover, dose_mol_m2
from balewright.plan.keeping.trials import (
    COOL_MOULD_SEEN,
    MOULD_SEEN,
    WARM_MOULD_SEEN,
    Mould,
    MouldSeen,
)
from balewright.quantities.checks import require_between
from balewright.quantities.interval import Interval

#: A film that is torn was mouldy round the tear, and 48 C warm, within this time.
RIP_DAYS: Final = 7.0
RIP_C: Final = 48.0


class Band(StrEnum):
    """What several sources together say of mould."""

    LOW = "low"
    SOME = "some"
    HIGH = "high"
    DISPUTED = "disputed"
    UNKNOWN = "not shown"


@dataclass(frozen=True)
class Verdict:
    """What one source's trials say; seen is None where nothing it saw reaches this case.

    clean_to_mol_m2 and mouldy_from_mol_m2: the doses its findings reach, None where it has none.
    """

    source: str
    seen: Mould | None
    clean_to_mol_m2: float | None
    mouldy_from_mol_m2: float | None


@dataclass(frozen=True)
class MouldRisk:
    """Dose, every source's verdict, and what the cool and the warm trials each say."""

    dose_mol_m2: float
    verdicts: tuple[Verdict, ...]
    cool: Band
    warm: Band

    @property
    def band(self) -> Band:
        """What all say: the band of both, or that they dispute it."""
        bands = {self.cool, self.warm} - {Band.UNKNOWN}
        if not bands:
            return Band.UNKNOWN
        return bands.pop() if len(bands) == 1 else Band.DISPUTED


def judge_mould(cover: Cover, layers: int, stay: Stay) -> MouldRisk:
    """Every source's verdict on whole film of `layers` (1 to 40) over a stay.

    Raises BadInput outside the ranges. Source keys: `keles-2009`, `mceniry-2011`, `nonaka-1999`,
    `borreani-2008`, `borreani-2010`.
    """
    return judge_dose(dose_mol_m2(cover, layers, stay).best)


def judge_dose(dose_mol: float) -> MouldRisk:
    """The same for a dose of oxygen through film alone, mol/m2, 0 or more."""
    require_between("dose_mol_m2", dose_mol, 0.0, 1e6)
    verdicts = tuple(_verdict(name, findings, dose_mol) for name, findings in _by_source().items())
    cool_sources = {one.source for one in COOL_MOULD_SEEN}
    cool = [one.seen for one in verdicts if one.source in cool_sources]
    warm = [one.seen for one in verdicts if one.source not in cool_sources]
    return MouldRisk(dose_mol, verdicts, _band(cool), _band(warm))


def cool_cover_frac(dose_mol: float) -> Interval:
    """Share of the surface covered, as the cool trials support it; dose in mol/m2, 0 or more.

    Nothing up to a threshold between the largest dose seen clean and the least seen mouldy; above
    it as steep as the warm trials: that steepness is `assumed` here.
    """
    require_between("dose_mol_m2", dose_mol, 0.0, 1e6)
    clean_to, mouldy_from = cool_threshold_mol_m2()
    steep = warm_cover_per_mol_m2()
    middle = (clean_to + mouldy_from) / 2.0
    return Interval(
        _share(steep.low, dose_mol - mouldy_from),
        _share(steep.best, dose_mol - middle),
        _share(steep.high, dose_mol - clean_to),
    )


def warm_cover_frac(dose_mol: float) -> Interval:
    """Share covered as the warm trials support it: in proportion to the dose, mol/m2, 0 or more."""
    require_between("dose_mol_m2", dose_mol, 0.0, 1e6)
    steep = warm_cover_per_mol_m2()
    return Interval(
        _share(steep.low, dose_mol), _share(steep.best, dose_mol), _share(steep.high, dose_mol)
    )


@lru_cache(maxsize=1)
def cool_threshold_mol_m2() -> tuple[float, float]:
    """(largest dose a cool trial saw clean, least one saw mouldy), mol/m2."""
    clean = [_dose(one) for one in COOL_MOULD_SEEN if one.seen is Mould.CLEAN]
    mouldy = [_dose(one) for one in COOL_MOULD_SEEN if one.seen is Mould.MOULDY]
    return max(clean), min(mouldy)


@lru_cache(maxsize=1)
def warm_cover_per_mol_m2() -> Interval:
    """Share of the surface for each mol/m2, from the plain film of the warm trials alone."""
    plain = next(one for one in WARM_MOULD_SEEN if one.barrier_ratio == 1.0)
    covered = plain.cover_frac or Interval(0.0, 0.0, 1.0)
    dose = _dose(plain)
    return Interval(covered.low / dose, covered.best / dose, covered.high / dose)


@lru_cache(maxsize=1)
def _by_source() -> dict[str, tuple[tuple[float, Mould], ...]]:
    found: dict[str, list[tuple[float, Mould]]] = {}
    for one in MOULD_SEEN:
        found.setdefault(one.source, []).append((_dose(one), one.seen))
    return {name: tuple(findings) for name, findings in found.items()}


def _dose(one: MouldSeen) -> float:
    return dose_mol_m2(one.cover, one.layers, one.stay).best


def _verdict(name: str, findings: tuple[tuple[float, Mould], ...], dose_mol: float) -> Verdict:
    clean = max((at for at, seen in findings if seen is Mould.CLEAN), default=None)
    some = min((at for at, seen in findings if seen is Mould.SOME), default=None)
    mouldy = min((at for at, seen in findings if seen is Mould.MOULDY), default=None)
    said: Mould | None = None
    if mouldy is not None and dose_mol >= mouldy:
        said = Mould.MOULDY
    elif clean is not None and dose_mol <= clean:
        said = Mould.CLEAN
    elif some is not None and dose_mol >= some:
        said = Mould.SOME
    return Verdict(name, said, clean, mouldy)


def _band(verdicts: list[Mould | None]) -> Band:
    said = set(verdicts) - {None}
    if not said:
        return Band.UNKNOWN
    if said == {Mould.CLEAN}:
        return Band.LOW
    return Band.HIGH if said == {Mould.MOULDY} else Band.SOME


def _share(steep: float, dose_mol: float) -> float:
    return min(1.0, max(0.0, steep * dose_mol))
