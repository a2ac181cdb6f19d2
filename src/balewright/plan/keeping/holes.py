"""Holes in the film: what a reported rule says, and what still air alone would let in."""

from __future__ import annotations

import math
from typing import Final

from balewright.plan.keeping.oxygen import (
    AIR_OXYGEN_PA,
    DRY_MATTER_KG_PER_MOL,
    GAS_J_MOL_K,
)
from balewright.quantities.checks import require_between, require_count
from balewright.quantities.interval import Interval
from balewright.quantities.si import M_PER_MM

#: Reported by the press from a research station: a hole of 1 mm costs 5 % of a bale, of 3 mm 20 %.
REPORTED: Final = ((1.0 * M_PER_MM, 0.05), (3.0 * M_PER_MM, 0.20))
#: The report names no time. One winter's storage is `assumed`: shorter stays lose in proportion.
REPORTED_MONTHS: Final = 9.0
#: Oxygen in air at 20 C, m2/s, from memory.
_DIFFUSION_M2_S: Final = 2.0e-5
_KELVIN: Final = 293.15
_S_PER_MONTH: Final = 365.25 / 12.0 * 86_400.0


def still_air_mol(hole_m: float, thickness_m: float, months: float) -> float:
    """Oxygen that diffuses through one round hole, mol: no wind, no pumping by day and night.

    hole_m: diameter, 0 to 0.1; thickness_m: of the whole cover, 2e-6 to 4e-3; months: 0 to 48.
    The way is the film's thickness and pi/4 of the diameter for both mouths together.
    """
    require_between("hole_m", hole_m, 0.0, 0.1)
    require_between("thickness_m", thickness_m, 2e-6, 4e-3)
    require_between("months", months, 0.0, 48.0)
    area_m2 = math.pi * hole_m**2 / 4.0
    way_m = thickness_m + math.pi * hole_m / 4.0
    density = AIR_OXYGEN_PA / (GAS_J_MOL_K * _KELVIN)
    return _DIFFUSION_M2_S * density * area_m2 / way_m * months * _S_PER_MONTH


def reported_loss(hole_m: float, months: float) -> float:
    """Share of the bale lost through one hole as reported; a power of the diameter between.

    hole_m: diameter, 0 to 0.1; months: 0 to 48. Source key: `teagasc-holes`.
    """
    require_between("hole_m", hole_m, 0.0, 0.1)
    require_between("months", months, 0.0, 48.0)
    (small_m, small), (large_m, large) = REPORTED
    exponent = math.log(large / small) / math.log(large_m / small_m)
    through = small * float((hole_m / small_m) ** exponent)
    return min(1.0, through * min(1.0, months / REPORTED_MONTHS))


def hole_loss(
    hole_m: float, holes: int, thickness_m: float, months: float, dry_matter_kg: float
) -> Interval:
    """Share of dry matter lost through `holes` (0 to 1000) open holes of one size.

    dry_matter_kg: of the bale, 10 to 3000. Low is still air alone, best and high what was
    reported: the two differ some eightyfold, and nobody seen explains it.
    """
    require_count("holes", holes, 0, 1000)
    require_between("dry_matter_kg", dry_matter_kg, 10.0, 3000.0)
    still_kg = still_air_mol(hole_m, thickness_m, months) * DRY_MATTER_KG_PER_MOL
    still = min(1.0, still_kg / dry_matter_kg)
    told = max(still, reported_loss(hole_m, months))
    low, best = (1.0 - (1.0 - one) ** holes for one in (still, told))
    return Interval(low, best, best)
