"""Field capacity by width, speed and field efficiency, as machinery management reckons it."""

from __future__ import annotations

from typing import Final

from balewright.quantities.checks import require_between
from balewright.quantities.si import KG_PER_T, M2_PER_HA, S_PER_H

ACRE_M2: Final = 4046.8564224
FOOT_M: Final = 0.3048
MILE_H_M_S: Final = 0.44704
SHORT_TON_KG: Final = 907.18474
"""Exact by definition."""


def field_capacity_ha_h(speed_m_s: float, width_m: float, efficiency_frac: float) -> float:
    """Hectares an hour: speed x width x field efficiency.

    speed_m_s: 0..15; width_m: 0..100; efficiency_frac: share of the field time that does the work
    at full width and speed, 0..1 (1 gives the theoretical capacity). Raises BadInput outside.
    Srivastava et al. 2006, eq. 15.1. Source key: `srivastava-2006`.
    """
    require_between("speed_m_s", speed_m_s, 0.0, 15.0)
    require_between("width_m", width_m, 0.0, 100.0)
    require_between("efficiency_frac", efficiency_frac, 0.0, 1.0)
    return speed_m_s * width_m * efficiency_frac * S_PER_H / M2_PER_HA


def material_capacity_t_h(area_ha_h: float, yield_t_ha: float) -> float:
    """Tonnes an hour: hectares an hour (0..1000) x yield (t/ha, 0..200), fresh or dry as given.

    Raises BadInput outside. Srivastava et al. 2006, eq. 15.2. Source key: `srivastava-2006`.
    """
    require_between("area_ha_h", area_ha_h, 0.0, 1000.0)
    require_between("yield_t_ha", yield_t_ha, 0.0, 200.0)
    return area_ha_h * yield_t_ha


def field_capacity_ac_h(speed_mile_per_h: float, width_ft: float, efficiency_frac: float) -> float:
    """The same in acres an hour from miles an hour and feet; extension tables divide by 8.25."""
    area_ha_h = field_capacity_ha_h(
        speed_mile_per_h * MILE_H_M_S, width_ft * FOOT_M, efficiency_frac
    )
    return area_ha_h * M2_PER_HA / ACRE_M2


def short_ton_per_h(throughput_t_h: float) -> float:
    """US short tons an hour from tonnes an hour."""
    return throughput_t_h * KG_PER_T / SHORT_TON_KG
