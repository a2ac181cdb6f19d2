"""The cautions a sheet or a service item can carry, by the key of their words."""

from __future__ import annotations

from typing import Final

MANUAL_FIRST: Final = "caution.manual_first"
STOP_AND_LOCK: Final = "caution.stop_and_lock"
DRIVE_SHAFT: Final = "caution.drive_shaft"
KNIVES: Final = "caution.knives"
GATE: Final = "caution.gate"
OIL_PRESSURE: Final = "caution.oil_pressure"
ACCUMULATOR: Final = "caution.accumulator"
WRAPPER_MOVES: Final = "caution.wrapper_moves"
NET_BLADE: Final = "caution.net_blade"
HOT_PARTS: Final = "caution.hot_parts"
ROLLING_BALE: Final = "caution.rolling_bale"
STEEP_GROUND: Final = "caution.steep_ground"
HOT_HAY: Final = "caution.hot_hay"
SPOILED_FEED: Final = "caution.spoiled_feed"

SERVICE_CAUTIONS: Final = (
    STOP_AND_LOCK,
    DRIVE_SHAFT,
    KNIVES,
    GATE,
    OIL_PRESSURE,
    ACCUMULATOR,
    WRAPPER_MOVES,
    NET_BLADE,
    HOT_PARTS,
)
