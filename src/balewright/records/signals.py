"""Signals of a machine over a day: each with its own clock, values and where they are known."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.quantities.errors import BadInput, Fault


class Shape(StrEnum):
    """How a signal speaks: a switch is 0 or 1, a level any number, a count only rises."""

    SWITCH = "switch"
    LEVEL = "level"
    COUNT = "count"


@dataclass(frozen=True)
class SignalKind:
    """One signal that a machine may give: name (ends in its unit), shape, meaning."""

    name: str
    shape: Shape
    meaning: str


def _switch(name: str, meaning: str) -> SignalKind:
    return SignalKind(name, Shape.SWITCH, meaning)


def _level(name: str, meaning: str) -> SignalKind:
    return SignalKind(name, Shape.LEVEL, meaning)


def _count(name: str, meaning: str) -> SignalKind:
    return SignalKind(name, Shape.COUNT, meaning)


SIGNALS: Final[tuple[SignalKind, ...]] = (
    _switch("chamber_closed", "the chamber is closed"),
    _switch("chamber_full", "the chamber says it is full"),
    _level("chamber_fill_frac", "how full the chamber is, 0 to 1"),
    _level("gate_opening_mm", "how far the gate stands open"),
    _switch("binding_on", "binding is being fed"),
    _level("binding_m", "binding off the roll for this bale; returns to 0"),
    _level("binding_turns", "turns of binding for this bale; returns to 0"),
    _switch("bale_on_wrapper", "a bale lies on the wrapper"),
    _switch("wrapper_on", "the ring, arms or table turn"),
    _level("wrap_turns", "wrap turns made for this bale; returns to 0"),
    _level("wrap_rpm", "wrapping speed, 1/min"),
    _switch("tip_on", "the wrapper tips"),
    _level("film1_m", "film at dispenser 1 for this bale; returns to 0"),
    _level("film2_m", "film at dispenser 2 for this bale; returns to 0"),
    _switch("film1_there", "film runs at dispenser 1"),
    _switch("film2_there", "film runs at dispenser 2"),
    _count("bale_no", "the machine's lifetime bale number"),
    _count("job_bale_no", "the bale number of the job"),
    _level("diameter_m", "bale diameter"),
    _level("diameter_left_m", "bale diameter, left"),
    _level("diameter_right_m", "bale diameter, right"),
    _level("chamber_bar", "chamber pressure"),
    _level("density_dial", "density position on the machine's own scale"),
    _level("knife_bar", "knife bank pressure"),
    _level("knives_in", "knives in work"),
    _level("moisture_frac", "moisture, wet basis, 0 to 1"),
    _level("mass_kg", "bale mass"),
    _level("speed_m_s", "ground speed"),
    _level("pto_rpm", "PTO speed, 1/min"),
    _level("pto_torque_nm", "PTO torque"),
    _level("pitch_frac", "slope along the travel"),
    _level("roll_frac", "slope across the travel"),
    _level("supply_v", "supply voltage"),
    _level("oil_c", "oil temperature"),
    _level("air_c", "air temperature"),
    _level("lat", "latitude, WGS 84 degrees"),
    _level("lon", "longitude, WGS 84 degrees"),
)
SIGNAL_BY_NAME: Final = MappingProxyType({kind.name: kind for kind in SIGNALS})


@dataclass(frozen=True, eq=False)
class Signal:
    """One signal's samples, in the order they were recorded.

    at_us: (n,) UTC microseconds by the recorder's clock, which may step back; values: (n,) in the
    unit of the name; known: (n,) False where the sender said `not available` or `error`; error:
    (n,) True where it said `error`; at: (n,) place of each sample in its file (a message number).
    """

    at_us: NDArray[np.int64]
    values: NDArray[np.float64]
    known: NDArray[np.bool_]
    error: NDArray[np.bool_]
    at: NDArray[np.int64]

    @property
    def samples(self) -> int:
        """How many there are."""
        return len(self.at_us)


@dataclass(frozen=True, eq=False)
class Signals:
    """All signals of one machine in one recording. file: its name; machine: serial, None when
    nobody says; by_name: only names of SIGNALS, and only signals with samples; first_us, last_us:
    of any message, also those of no signal, None for an empty recording."""

    file: str
    machine: str | None
    by_name: Mapping[str, Signal] = field(default_factory=lambda: MappingProxyType({}))
    first_us: int | None = None
    last_us: int | None = None


def require_signals(signals: Signals, *needed: str) -> None:
    """Pass when every one of `needed` is there; BadInput naming those that are not."""
    faults = [
        Fault(
            signals.file, f"the signal {name}", "no sample of it", "Name it in the machine's DBC."
        )
        for name in needed
        if name not in signals.by_name
    ]
    if faults:
        raise BadInput(*faults)
