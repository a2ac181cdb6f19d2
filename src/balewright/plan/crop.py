"""Crops: the moisture and density that sources give, and the sums of mass, volume and feed rate.

Sources disagree about the right moisture of a bale. Every window is kept with its source; none
is chosen in silence.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import Final

from balewright.quantities.checks import require_between
from balewright.quantities.si import KG_PER_T, S_PER_H


class Crop(StrEnum):
    """What is baled. Silage, haylage and lucerne are wrapped; hay and straw stay dry."""

    GRASS_SILAGE = "grass silage"
    HAYLAGE = "haylage"
    LUCERNE = "lucerne"
    HAY = "hay"
    STRAW = "straw"

    @property
    def is_wrapped(self) -> bool:
        """Whether the crop keeps by film (True) or by being dry (False)."""
        return self not in (Crop.HAY, Crop.STRAW)


@dataclass(frozen=True)
class Spread:
    """What one source says: from low to high, in the unit of its holder, and the source's key."""

    low: float
    high: float
    source: str

    def holds(self, value: float) -> bool:
        """Whether `value` lies inside, ends included."""
        return self.low <= value <= self.high


_BALED_SILAGE_FRAC: Final = (
    Spread(0.45, 0.55, "coblentz-2018"),
    Spread(0.40, 0.60, "florida-ag181"),
    Spread(0.40, 0.60, "ohio-agf010"),
    Spread(0.50, 0.65, "minnesota-baleage"),
    Spread(0.50, 0.65, "georgia-baleage"),
    Spread(0.55, 0.65, "penn-state-steps"),
)
_MOISTURE_FRAC: Final[Mapping[Crop, tuple[Spread, ...]]] = MappingProxyType(
    {
        Crop.GRASS_SILAGE: (*_BALED_SILAGE_FRAC, Spread(0.65, 0.70, "teagasc-tips")),
        Crop.LUCERNE: _BALED_SILAGE_FRAC,
        Crop.HAYLAGE: (
            Spread(0.15, 0.30, "minnesota-baleage"),
            Spread(0.20, 0.50, "nonaka-1999"),
            Spread(0.40, 0.60, "ohio-agf010"),
        ),
        Crop.HAY: (
            Spread(0.13, 0.15, "florida-ag181"),
            Spread(0.00, 0.18, "purdue-hay-fire"),
            Spread(0.00, 0.18, "mississippi-hay-fire"),
            Spread(0.13, 0.17, "wisconsin-propionic"),
        ),
        Crop.STRAW: (Spread(0.08, 0.16, "practice"),),
    }
)

_SILAGE_DM_KG_M3: Final = (
    Spread(148.0, 229.0, "fas-bales-2021"),
    Spread(162.0, 200.0, "teagasc-tips"),
)
_DM_KG_M3: Final[Mapping[Crop, tuple[Spread, ...]]] = MappingProxyType(
    {
        Crop.GRASS_SILAGE: _SILAGE_DM_KG_M3,
        Crop.LUCERNE: _SILAGE_DM_KG_M3,
        Crop.HAYLAGE: (*_SILAGE_DM_KG_M3, Spread(144.0, 192.0, "hay-density-memory")),
        Crop.HAY: (
            Spread(136.0, 231.0, "missouri-g1250"),
            Spread(191.0, 191.0, "pami-1977"),
            Spread(144.0, 192.0, "hay-density-memory"),
        ),
        Crop.STRAW: (Spread(90.0, 150.0, "assumed"),),
    }
)


def moisture_windows(crop: Crop) -> tuple[Spread, ...]:
    """Every sourced moisture window of a crop, wet basis, 0..1."""
    return _MOISTURE_FRAC[crop]


def dry_matter_densities(crop: Crop) -> tuple[Spread, ...]:
    """Every sourced range of a bale's dry matter density, kg DM/m3.

    Hay is given fresh by its sources and turned into dry matter at 15 % moisture; silage of
    `fas-bales-2021` rests on a bale of 1.20 x 1.20 m, which that source does not state.
    """
    return _DM_KG_M3[crop]


def agreeing_sources(crop: Crop, moisture_frac: float) -> tuple[str, ...]:
    """Keys of the sources whose window holds this moisture (wet basis); may be empty."""
    return tuple(window.source for window in moisture_windows(crop) if window.holds(moisture_frac))


def widest(spreads: tuple[Spread, ...]) -> tuple[float, float]:
    """From the lowest low to the highest high of all sources."""
    return min(one.low for one in spreads), max(one.high for one in spreads)


def bale_volume_m3(diameter_m: float, width_m: float) -> float:
    """Volume of a round bale, a cylinder of `diameter_m` and `width_m` (both 0.3..3 m)."""
    require_between("diameter_m", diameter_m, 0.3, 3.0)
    require_between("width_m", width_m, 0.3, 3.0)
    return math.pi * diameter_m**2 / 4.0 * width_m


def bale_mass_kg(dry_matter_kg_m3: float, volume_m3: float, moisture_frac: float) -> float:
    """Fresh mass of a bale: dry matter divided by the dry share; moisture wet basis, 0..0.95."""
    require_between("moisture_frac", moisture_frac, 0.0, 0.95)
    return dry_matter_kg_m3 * volume_m3 / (1.0 - moisture_frac)


def dry_basis_frac(moisture_frac: float) -> float:
    """Water over dry matter from water over fresh mass (wet basis, 0..0.95)."""
    require_between("moisture_frac", moisture_frac, 0.0, 0.95)
    return moisture_frac / (1.0 - moisture_frac)


def wet_basis_frac(moisture_dry_frac: float) -> float:
    """Water over fresh mass from water over dry matter (0..19)."""
    require_between("moisture_dry_frac", moisture_dry_frac, 0.0, 19.0)
    return moisture_dry_frac / (1.0 + moisture_dry_frac)


def windrow_kg_m(yield_dm_kg_m2: float, gathered_m: float, moisture_frac: float) -> float:
    """Fresh mass of a windrow a metre, from dry yield (kg DM/m2; 1 t/ha is 0.1) and the width
    gathered into it (m); moisture wet basis, 0..0.95.
    """
    require_between("moisture_frac", moisture_frac, 0.0, 0.95)
    require_between("yield_dm_kg_m2", yield_dm_kg_m2, 0.0, 3.0)
    require_between("gathered_m", gathered_m, 0.5, 40.0)
    return yield_dm_kg_m2 * gathered_m / (1.0 - moisture_frac)


def feed_rate_kg_s(windrow_kg_m: float, speed_m_s: float) -> float:
    """Fresh crop into the machine, kg/s, from windrow mass (kg/m) and forward speed (m/s)."""
    return windrow_kg_m * speed_m_s


def feed_rate_t_h(windrow_kg_m: float, speed_m_s: float) -> float:
    """The same in t/h, the unit in which the trade speaks of it."""
    return feed_rate_kg_s(windrow_kg_m, speed_m_s) * S_PER_H / KG_PER_T
