"""Conversions between SI and the units people in the trade use. Exact by definition."""

from __future__ import annotations

from typing import Final

KM_H_PER_M_S: Final = 3.6
M_PER_MM: Final = 1e-3
M_PER_UM: Final = 1e-6
M_PER_INCH: Final = 0.0254
KG_PER_LB: Final = 0.45359237
S_PER_H: Final = 3600.0
KG_PER_T: Final = 1000.0
M2_PER_HA: Final = 10_000.0
MICROSECONDS_PER_S: Final = 1_000_000
