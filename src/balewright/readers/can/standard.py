"""What every machine says alike: the standard messages that become signals, and where in them.

ISO 11783-7 for speed and PTO, SAE J1939-71 for the air, NMEA 2000 for the position.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from balewright.readers.can.fields import Field, Markers, little, take_values
from balewright.readers.can.frames import Frames
from balewright.readers.can.samples import Origin, Samples, When

GROUND_SPEED: Final = 65097
WHEEL_SPEED: Final = 65096
REAR_PTO: Final = 65091
POSITION: Final = 129025
POSITION_LONG: Final = 129029
AIR: Final = 65269


@dataclass(frozen=True)
class StandardSignal:
    """A signal of records.signals in a standard message; rank: which counts where several give
    it, the lowest; what: in words."""

    pgn: int
    signal: str
    field: Field
    rank: int
    what: str


def _degrees(byte: int, span: int, factor: float) -> Field:
    return Field(byte, span, 0, 8 * span, factor, signed=True, markers=Markers.SIGNED)


STANDARD: Final = (
    StandardSignal(GROUND_SPEED, "speed_m_s", little(0, 16, 0.001), 2, "ground speed"),
    StandardSignal(WHEEL_SPEED, "speed_m_s", little(0, 16, 0.001), 3, "wheel speed"),
    StandardSignal(REAR_PTO, "pto_rpm", little(0, 16, 0.125), 2, "rear PTO speed"),
    StandardSignal(POSITION, "lat", _degrees(0, 4, 1e-7), 2, "position"),
    StandardSignal(POSITION, "lon", _degrees(4, 4, 1e-7), 2, "position"),
    StandardSignal(POSITION_LONG, "lat", _degrees(7, 8, 1e-16), 3, "position, long"),
    StandardSignal(POSITION_LONG, "lon", _degrees(15, 8, 1e-16), 3, "position, long"),
    StandardSignal(AIR, "air_c", little(24, 16, 0.03125, -273.0), 2, "air temperature"),
)

MOST_DEGREES: Final = {"lat": 90.0, "lon": 180.0}
"""A position beyond these is none, whatever its bits."""


def take_standard(pgn: int, source: int, frames: Frames, samples: Samples) -> None:
    """The standard signals in frames of one group and sender."""
    when = When(frames.at_us, frames.number)
    for one in STANDARD:
        if one.pgn != pgn:
            continue
        found = take_values(one.field, frames.data, frames.length)
        most = MOST_DEGREES.get(one.signal)
        if most is not None:
            found = replace(found, known=found.known & (np.abs(found.values) <= most))
        samples.add(one.signal, Origin(one.rank, one.what, pgn, source), found, when)
