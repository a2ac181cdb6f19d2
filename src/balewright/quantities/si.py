"""Conversions between SI and the units people in the trade use. Exact by definition."""

from __future__ import annotations

from typing import Final

KM_H_PER_M_S: Final = 3.6
M_PER_MM: Final = 1e-3
M_PER_UM: Final = 1e-6
M_PER_INCH: Final = 0.0254
M_PER_FT: Final = 0.3048
M_PER_MILE: Final = 1609.344
"""International foot and mile (1959), not the survey ones."""
KG_PER_LB: Final = 0.45359237
L_PER_GAL: Final = 3.785411784
"""The US liquid gallon, 231 cubic inches."""
M2_PER_ACRE: Final = 4046.8564224
"""43,560 square international feet."""
N_PER_LBF: Final = 4.4482216152605
"""The pound times standard gravity, 9.80665 m/s²."""
S_PER_H: Final = 3600.0
KG_PER_T: Final = 1000.0
M2_PER_HA: Final = 10_000.0
MICROSECONDS_PER_S: Final = 1_000_000
