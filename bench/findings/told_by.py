"""Which findings may tell which fault, by what both mean; written before anything was run.

A finding of a kind in a fault's row is the fault's own where it rests on the columns named there
(any columns where none are named). Whatever else a fault sets off is a side effect.
"""

from __future__ import annotations

from types import MappingProxyType

from bench.findings.judging import Book, Tells

from balewright.findings.finding import FindingKind as F
from balewright.rehearsal.faults import FaultKind as K

LEVELS = (
    *(F.PHASE_TIME_MOVED, F.PRESSURE_MOVED, F.TEMPERATURE_MOVED, F.METRES_MOVED, F.SHAPE_MOVED),
    *(F.DENSITY_MOVED, F.FEED_MOVED, F.DRIVE_MOVED, F.ADDITIVE_MOVED, F.SENSOR_MOVED),
)
"""Kinds that say that a level is another now."""

Ways = tuple[Tells, ...]


def _moved(*columns: str) -> Ways:
    """A level that is another now, of whatever kind it is told, resting on all these columns."""
    return tuple(Tells(kind, columns) for kind in LEVELS)


def _set(*columns: str) -> Ways:
    """The same, or told as a setting that somebody moved: the records may not tell them apart."""
    return (*_moved(*columns), Tells(F.SETTING_MOVED, columns))


def _restless(*columns: str) -> Ways:
    return (Tells(F.SENSOR_RESTLESS, columns),)


def _any(*kinds: F) -> Ways:
    return tuple(Tells(kind) for kind in kinds)


_SOFT = _any(F.DENSITY_MOVED, F.DENSITY_LOW)
_FEED = (*_any(F.FEED_MOVED), *_moved("closed_at", "full_at"), *_moved("speed_m_s"))
_BINDING = (*_any(F.BINDING_SHORT), *_set("binding_turns"), *_set("binding_m"))
_FILM = (*_moved("film1_m"), *_moved("film2_m"), *_moved("film_m"))
_STRETCH = (*_any(F.STRETCH_UNEQUAL, F.STRETCH_OFF), *_FILM)
_TORQUE = _moved("pto_torque_nm")
_LATE = (
    *_any(F.WRAPPED_LATE),
    *_moved("full_at", "wrap_start_at"),
    *_moved("full_at", "wrap_end_at"),
)

TOLD_BY: Book = MappingProxyType({
    K.SLOW_FEEDING: _FEED,
    K.CROP_LEFT: _FEED,
    K.OVERLOADS: _any(F.OVERLOADS_MORE),
    K.GATE: (*_any(F.GATE_OPENING_OFF), *_moved("gate_opening_mm"), *_SOFT),
    K.GATE_WIDE: (*_any(F.GATE_OPENING_OFF), *_moved("gate_opening_mm"), *_any(F.DENSITY_MOVED)),
    K.GATE_SLOW: _moved("gate_open_at", "closed_at"),
    K.DRIVE_DRAGS: (*_TORQUE, *_moved("oil_c")),
    K.LOPSIDED: (*_any(F.SHAPE_MOVED), *_moved("diameter_left_m", "diameter_right_m")),
    K.PRESSURE_SINKS: (*_moved("chamber_bar"), *_SOFT),
    K.RELIEF_LOW: (*_set("chamber_bar"), *_SOFT),
    K.DENSITY_LOST: (*_moved("mass_kg"), *_SOFT),
    K.KNIVES_BLUNT: _TORQUE,
    K.KNIFE_BANK_LEAKS: _moved("knife_bar"),
    K.KNIVES_OUT: (*_set("knives_in"), *_restless("knives_in")),
    K.BRAKE_WEAK: _moved("binding_m"),
    K.BINDING_MISSED: _any(F.BINDING_MISSED),
    K.BINDING_TURNS: _BINDING,
    K.BINDING_CUTTER: _moved("bind_start_at", "bind_end_at"),
    K.BINDING_LATE: _moved("full_at", "bind_start_at"),
    K.TRANSFER_SLOW: (*_moved("gate_open_at", "on_wrapper_at"), *_LATE),
    K.WAITING: (*_moved("on_wrapper_at", "wrap_start_at"), *_LATE),
    K.RING_SLOW: (*_set("wrap_rpm"), *_moved("wrap_start_at", "wrap_end_at")),
    K.RING_UNEVEN: (*_restless("wrap_rpm"), *_restless("wrap_start_at", "wrap_end_at")),
    K.WRAP_TURNS: (*_any(F.LAYERS_SHORT), *_set("wrap_turns"), *_FILM),
    K.STRETCH: (*_STRETCH, *_moved("said_stretch_frac")),
    K.STRETCH_UNEVEN: (*_restless("film1_m"), *_restless("film2_m"), *_restless("film_m")),
    K.FILM_BREAKS: _any(F.BREAKS_MORE),
    K.ROLL_BATCH: _any(F.BREAKS_MORE, F.ROLL_WORSE),
    K.METRES_DRIFT: _STRETCH,
    K.FILM_STARTS: _any(F.STARTS_REPEATED),
    K.TIP_SLOW: _moved("wrap_end_at", "tipped_at"),
    K.MOISTURE_DRIFTS: (Tells(F.SENSOR_MOVED, ("moisture_frac",)), *_any(F.MOISTURE_OUTSIDE)),
    K.DIAMETER_FROZEN: (Tells(F.SENSOR_FROZEN, ("diameter_m",)),),
    K.PRESSURE_FROZEN: (Tells(F.SENSOR_FROZEN, ("chamber_bar",)),),
    K.GATE_CHATTERS: _restless("gate_opening_mm"),
    K.SCALE_DRIFTS: (*_moved("mass_kg"), *_any(F.DENSITY_MOVED)),
    K.COLUMN_SILENT: _any(F.NOT_WATCHED),
    K.SUPPLY_DIPS: (*_any(F.SUPPLY_LOW), *_moved("supply_min_v")),
    K.SPEED_CODES: _any(F.CODES_MORE),
    K.CODES_MORE: _any(F.CODES_MORE),
    K.OIL_HOT: _moved("oil_c"),
    K.GREASE_STUCK: _any(F.CARTRIDGE_STUCK),
    K.ADDITIVE_FALLS: _any(F.ADDITIVE_MOVED),
    K.COUNTER: _any(F.COUNTER_CHANGED, F.NUMBER_MISSING, F.NUMBER_REPEATED),
    K.TOO_FAST: (*_FEED, *_SOFT),
    K.BY_HAND: _any(F.WORKED_BY_HAND),
    K.PTO_SLOW: _set("pto_rpm"),
    K.DENSITY_DIAL: (*_set("chamber_bar"), *_set("density_dial"), *_SOFT),
    K.BINDING_DIAL: _BINDING,
})  # fmt: skip
