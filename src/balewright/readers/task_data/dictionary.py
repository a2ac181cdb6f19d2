"""What an identifier of ISO 11783-11 means to a baler: our own short words, unit and resolution.

The table `identifiers.csv` beside this module holds facts only. What a raw value is worth is
decided in `worth_of`: by the dictionary, unless the device's own presentation contradicts it.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import IntEnum
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.readers.task_data.devices import Presentation


class Id(IntEnum):
    """Identifiers that the counting and the bale rows use, by name."""

    TOTAL_MASS = 90
    TOTAL_COUNT = 91
    MOISTURE = 99
    SIZE = 112
    WORK_STATE = 141
    ROLL = 145
    PITCH = 146
    WORK_STATES = 161
    LAST_MOISTURE = 212
    LIFE_BALES = 214
    LAST_PRESERVATIVE = 221
    LAST_MASS = 223
    OIL_TEMPERATURE = 258
    MEAN_MOISTURE = 262
    LIFE_COUNT = 270
    LAST_SIZE = 360
    SPEED = 397
    LAST_LIFE_NUMBER = 519
    TWINE_BALES_OLD = 522
    MESH_BALES_OLD = 523
    TOTAL_PRESERVATIVE = 536
    PTO_SPEED = 541
    PTO_TORQUE = 551
    BINDING = 644
    KNIVES = 645
    LAST_TWINE = 646
    LAST_MESH = 647
    LAST_BINDING_FILM = 648
    FILM_WIDTH = 650
    FILM_USED = 651
    FILM_STRETCH = 652
    FILM_OVERLAP = 653
    FILM_LAYERS = 654
    MESH_LAYERS = 676
    BINDING_FILM_LAYERS = 677
    TWINE_LAYERS = 678
    FILM_BALES = 681
    MESH_BALES = 682
    TWINE_BALES = 683
    MESH_TOTAL = 695
    FILM_TOTAL = 696
    TWINE_TOTAL = 697


@dataclass(frozen=True)
class Identifier:
    """number; words: what it is, in short; unit: the dictionary's; step_factor: one raw step."""

    number: int
    words: str
    unit: str
    step_factor: float


@dataclass(frozen=True)
class Worth:
    """What a raw value is worth in SI: (raw + shift_raw) x si_factor. contradicted: the device's
    presentation and the dictionary disagree; by_device: the device's was taken."""

    si_factor: float
    shift_raw: float = 0.0
    contradicted: bool = False
    by_device: bool = False

    def si(self, raw: int) -> float:
        """The raw value in SI (kg, m, s, m³, K, rad, fraction; turns per minute)."""
        return (raw + self.shift_raw) * self.si_factor


UNITS: Final[Mapping[str, float]] = MappingProxyType(
    {
        "ppm": 1e-6,
        "‰": 1e-3,
        "%": 1e-2,
        "mg": 1e-6,
        "g": 1e-3,
        "kg": 1.0,
        "t": 1000.0,
        "mm": 1e-3,
        "cm": 1e-2,
        "m": 1.0,
        "km": 1000.0,
        "ms": 1e-3,
        "s": 1.0,
        "min": 60.0,
        "h": 3600.0,
        "#": 1.0,
        "": 1.0,
        "ml": 1e-6,
        "l": 1e-3,
        "L": 1e-3,
        "mm/s": 1e-3,
        "m/s": 1.0,
        "km/h": 1 / 3.6,
        "r/min": 1.0,
        "1/min": 1.0,
        "rpm": 1.0,
        "N*m": 1.0,
        "Nm": 1.0,
        "mK": 1e-3,
        "K": 1.0,
        "°C": 1.0,
        "°": math.pi / 180.0,
    }
)
"""Worth of one unit in SI, for the units whose contradictions are judged; turns stay per minute."""
_ZERO_K: Final = MappingProxyType({"°C": 273.15})
"""Where a unit's zero stands in SI, if not at zero."""

BELIEVABLE: Final[Mapping[int, tuple[float, float]]] = MappingProxyType(
    {
        Id.MOISTURE: (0.02, 0.95),
        Id.LAST_MOISTURE: (0.02, 0.95),
        Id.MEAN_MOISTURE: (0.02, 0.95),
        Id.LAST_MASS: (20.0, 3000.0),
        Id.SIZE: (0.3, 3.5),
        Id.LAST_SIZE: (0.3, 3.5),
        Id.SPEED: (0.1, 15.0),
        Id.PTO_SPEED: (50.0, 1500.0),
        Id.OIL_TEMPERATURE: (233.0, 423.0),
        Id.LAST_PRESERVATIVE: (1e-5, 0.1),
        Id.FILM_WIDTH: (0.2, 1.5),
        Id.FILM_USED: (5.0, 2000.0),
        Id.LAST_MESH: (2.0, 400.0),
        Id.LAST_BINDING_FILM: (2.0, 400.0),
        Id.FILM_STRETCH: (0.1, 1.5),
        Id.FILM_OVERLAP: (0.05, 0.95),
    }
)
"""Where a value of a working baler lies, in SI: common practice, no source; wide on purpose."""


@cache
def identifiers() -> Mapping[int, Identifier]:
    """Every identifier of the table, by number."""
    text = files(__package__).joinpath("identifiers.csv").read_text("utf-8")
    lines = [line for line in text.splitlines() if not line.startswith("#")]
    return MappingProxyType(
        {
            int(row["number"]): Identifier(
                int(row["number"]), row["words"], row["unit"], float(row["step"])
            )
            for row in csv.DictReader(lines)
        }
    )


def words_for(number: int) -> str:
    """What an identifier is, in short; its number where the table does not know it."""
    known = identifiers().get(number)
    return known.words if known else f"identifier {number}"


def worth_of(number: int, shown: Presentation | None, raws: NDArray[np.int32]) -> Worth:
    """What raw values of an identifier are worth in SI.

    number: of the identifier; shown: the device's presentation, if any; raws: some of its raw
    values. Where the two contradict, the one by which more of the values can be believed counts;
    on a tie the dictionary. An identifier the table does not know is taken as the device shows
    it.
    """
    known = identifiers().get(number)
    standard = Worth(known.step_factor * UNITS.get(known.unit, 1.0)) if known else None
    device = None
    if shown is not None and shown.scale > 0 and shown.unit in UNITS:
        # A scale is a 32-bit float printed long (0.1000000015): more digits are noise.
        scale = float(f"{shown.scale:.6g}")
        zero_raw = round(_ZERO_K.get(shown.unit, 0.0) / scale, 6)
        device = Worth(scale * UNITS[shown.unit], shown.offset + zero_raw)
    if standard is None or device is None:
        return standard or device or Worth(1.0)
    if abs(device.si_factor / standard.si_factor - 1) < 0.01 and device.shift_raw == 0:
        return standard
    if number not in BELIEVABLE:
        return Worth(standard.si_factor, contradicted=True)
    low, high = BELIEVABLE[number]
    shares = [
        float(np.mean((values >= low) & (values <= high))) if len(raws) else 0.0
        for values in ((raws + each.shift_raw) * each.si_factor for each in (standard, device))
    ]
    if shares[1] > shares[0]:
        return Worth(device.si_factor, device.shift_raw, contradicted=True, by_device=True)
    return Worth(standard.si_factor, contradicted=True)
