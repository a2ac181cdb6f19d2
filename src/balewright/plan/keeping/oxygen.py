"""Oxygen through the film: steady Fick, layers in series, hotter is faster; and what it costs.

Inside the bale oxygen is used up as it comes, so the pressure that drives it is that of the air.
docs/models/oxygen.md says where this holds.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from balewright.plan.film.strip import Film, lay_strip
from balewright.plan.keeping.climate import Stay
from balewright.quantities.checks import require_between, require_count
from balewright.quantities.interval import Interval
from balewright.quantities.si import M_PER_INCH

GAS_J_MOL_K: Final = 8.314462618
ATM_PA: Final = 101_325.0
#: Oxygen in dry air by volume, times one atmosphere.
AIR_OXYGEN_PA: Final = 0.2095 * ATM_PA
_M3_PER_CM3: Final = 1e-6
_MIL_M: Final = 1e-3 * M_PER_INCH
_HUNDRED_SQUARE_INCH_M2: Final = 100.0 * M_PER_INCH**2
_S_PER_DAY: Final = 86_400.0
#: One mole of a gas at 0 C and one atmosphere fills this many cubic metres.
MOLE_M3: Final = GAS_J_MOL_K * 273.15 / ATM_PA
#: mol/(m s Pa) in one cm3 mil / (100 in2 day atm), the unit of packaging tables (gas at 0 C).
PACKAGING_UNIT: Final = (
    _M3_PER_CM3 / MOLE_M3 * _MIL_M / (_HUNDRED_SQUARE_INCH_M2 * _S_PER_DAY * ATM_PA)
)
#: Low-density polyethylene at 25 C, in that unit: the table gives 300 to 600, best is its middle.
TABLE_UNITS: Final = Interval(low=300.0, best=450.0, high=600.0)
TABLE_KELVIN: Final = 298.15
#: Activation energy of the permeability. 31.3 kJ/mol was published for -16 to 40 C; 42.7 kJ/mol
#: stands in handbooks (from memory).
ACTIVATION_J_MOL: Final = Interval(low=31_300.0, best=31_300.0, high=42_700.0)
#: Carbon dioxide passes this many times faster than oxygen.
CARBON_DIOXIDE_RATIO: Final = 4.0
#: Sugar burnt by one mole of oxygen: C6H12O6 + 6 O2 -> 6 CO2 + 6 H2O.
DRY_MATTER_KG_PER_MOL: Final = 0.180156 / 6.0


@dataclass(frozen=True)
class Cover:
    """The film on a bale: thickness of one laid layer, and how much tighter than plain film.

    layer_m: 2e-6 to 100e-6; barrier_ratio: 1 for polyethylene, 20 for a film that lets through a
    twentieth, 1 to 1000.
    """

    layer_m: float
    barrier_ratio: float = 1.0

    def __post_init__(self) -> None:
        require_between("layer_m", self.layer_m, 2e-6, 100e-6)
        require_between("barrier_ratio", self.barrier_ratio, 1.0, 1000.0)


def cover_of(film: Film, barrier_ratio: float = 1.0) -> Cover:
    """The cover that a roll gives once stretched; see `lay_strip`. barrier_ratio: 1 to 1000."""
    return Cover(lay_strip(film).thickness_m, barrier_ratio)


def permeability_mol(kelvin_k: float, table_mol: float, activation_mol: float) -> float:
    """Permeability in mol/(m s Pa) at a temperature.

    kelvin_k: film temperature, 223 to 374 K; table_mol: mol/(m s Pa) at 25 C;
    activation_mol: J/mol. Valid where the film does not melt. Source key: `ldpe-temperature-1993`.
    """
    require_between("kelvin_k", kelvin_k, 223.0, 374.0)
    return table_mol * math.exp(
        -activation_mol / GAS_J_MOL_K * (1.0 / kelvin_k - 1.0 / TABLE_KELVIN)
    )


def flux_mol_m2_s(cover: Cover, layers: int, kelvin_k: float) -> Interval:
    """Oxygen through `layers` (1 to 40) at one temperature, mol/(m2 s): series rule.

    The ends come from the table's range alone. Source key: `biosystems-permeability`.
    """
    require_count("layers", layers, 1, 40)
    drive = AIR_OXYGEN_PA / (layers * cover.layer_m * cover.barrier_ratio)
    per_unit = drive * permeability_mol(kelvin_k, PACKAGING_UNIT, ACTIVATION_J_MOL.best)
    low, best, high = (per_unit * end for end in _ends(TABLE_UNITS))
    return Interval(low, best, high)


@lru_cache(maxsize=256)
def film_load(stay: Stay) -> Interval:
    """Oxygen that passes 1 m2 of film 1 m thick over the whole stay, mol/m.

    Month by month, part of the film hotter by the sun. Divide by the thickness of all layers for
    mol/m2. The ends are the worst of the table's range and the two activation energies.
    """

    def passed(table_ratio: float, activation_mol: float) -> float:
        return table_ratio * PACKAGING_UNIT * AIR_OXYGEN_PA * _weighted_s(stay, activation_mol)

    corners = [passed(units, energy) for units in _ends(TABLE_UNITS) for energy in _energies()]
    best = passed(TABLE_UNITS.best, ACTIVATION_J_MOL.best)
    return Interval(min(corners), best, max(corners))


def dose_mol_m2(cover: Cover, layers: int, stay: Stay) -> Interval:
    """Oxygen that comes through each square metre of `layers` (1 to 40) in a stay, mol/m2.

    Film alone: no seams, no holes. Source keys: `biosystems-permeability`, `ldpe-temperature-1993`.
    """
    require_count("layers", layers, 1, 40)
    return scaled(film_load(stay), 1.0 / (layers * cover.layer_m * cover.barrier_ratio))


def dry_matter_burnt_kg(oxygen_mol: float) -> float:
    """Dry matter that oxygen (mol, 0 or more) burns when all of it respires sugar, kg."""
    require_between("oxygen_mol", oxygen_mol, 0.0, 1e6)
    return oxygen_mol * DRY_MATTER_KG_PER_MOL


def carbon_dioxide_inside_frac(respired_ratio: float = 1.0) -> float:
    """Carbon dioxide in the bale's gas when film lets it out as fast as oxygen makes it.

    respired_ratio: CO2 made for each O2 used, 0 to 2. Film alone, after fermentation has ended.
    Source key: `uk-baleage-q14`.
    """
    require_between("respired_ratio", respired_ratio, 0.0, 2.0)
    return respired_ratio * AIR_OXYGEN_PA / ATM_PA / CARBON_DIOXIDE_RATIO


def scaled(value: Interval, times_ratio: float) -> Interval:
    """The interval times a number, 0 or more."""
    return Interval(value.low * times_ratio, value.best * times_ratio, value.high * times_ratio)


def together(one: Interval, other: Interval, how: Callable[[float, float], float]) -> Interval:
    """Low with low, best with best, high with high, by a function that rises in both."""
    return Interval(how(one.low, other.low), how(one.best, other.best), how(one.high, other.high))


def _ends(value: Interval) -> tuple[float, float, float]:
    return value.low, value.best, value.high


def _energies() -> tuple[float, float]:
    return ACTIVATION_J_MOL.low, ACTIVATION_J_MOL.high


def _weighted_s(stay: Stay, activation_mol: float) -> float:
    """Seconds of the stay, each weighted by how fast the film is against 25 C."""
    climate = stay.climate
    total_s = 0.0
    for slice_s, air_k in stay.slices():
        shade = permeability_mol(air_k, 1.0, activation_mol)
        sun = permeability_mol(air_k + climate.sun_excess_k, 1.0, activation_mol)
        total_s += slice_s * ((1.0 - climate.sun_share) * shade + climate.sun_share * sun)
    return total_s
