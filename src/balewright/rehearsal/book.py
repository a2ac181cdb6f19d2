"""The fault book: every fault that can be planted, one note each."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from balewright.rehearsal.faults import FaultKind as K
from balewright.rehearsal.faults import Growth
from balewright.rehearsal.notes import Family, FaultNote, Needs, System

STEP, RAMP, SPELLS, JUMP = Growth.STEP, Growth.RAMP, Growth.SPELLS, Growth.JUMP_CREEP
LEVEL, SPREAD, RATE = Family.LEVEL, Family.SPREAD, Family.RATE
COUNT, SILENCE, SETTING = Family.COUNT, Family.SILENCE, Family.SETTING
_OFTEN: Final = (3.0, 6.0)
_FILL: Final = (("closed_at", "full_at"),)
_METRES: Final = (("film1_m",), ("film2_m",), ("film_m",))
_BLOCKED: Final = ("waiting for the wrapper",)
_WARM: Final = ("gate time", "binding time", "transfer time", "tipping time", *_BLOCKED)
_LOAD: Final = ("torque", "oil temperature", *_WARM)
_FILLED: Final = ("fill time", *_BLOCKED)
_MASS: Final = ("mass", "additive", *_FILLED, *_LOAD)
_TAKEN: Final = ("PTO speed", "overloads", *_MASS)
_FED: Final = ("speed", "codes", *_TAKEN)
_WRAPPED: Final = ("wrapping time", *_BLOCKED)
_ROLLS: Final = ("pre-stretch", "film metres", "film breaks", *_FILLED, *_WRAPPED)
"""What honestly follows: warm oil makes phases shorter, a heavy bale takes longer to fill, rolls
that run otherwise are changed at other bales."""

FAULT_BOOK: Final[Mapping[K, FaultNote]] = MappingProxyType({
    K.SLOW_FEEDING: FaultNote(
        System.PICKUP, "worn tines feed slowly: the driver has to go slower for the same windrow",
        "frac", "fill time", _FILL, LEVEL, +1, RAMP, also=_FED),
    K.CROP_LEFT: FaultNote(
        System.PICKUP, "a share of the windrow stays behind at the same speed",
        "frac", "fill time", _FILL, LEVEL, +1, RAMP, also=_TAKEN),
    K.OVERLOADS: FaultNote(
        System.PICKUP, "the overload clutch trips too early",
        "times", "overloads", (("overloads",),), RATE, +1, STEP, _OFTEN, also=_FILLED),
    K.GATE: FaultNote(
        System.CHAMBER, "the full chamber stands open too little; bales get soft with it",
        "mm", "gate opening", (("gate_opening_mm",),), LEVEL, -1, RAMP, also=_MASS),
    K.GATE_WIDE: FaultNote(
        System.CHAMBER, "the full chamber stands open too far; bales get tight with it",
        "mm", "gate opening", (("gate_opening_mm",),), LEVEL, +1, RAMP, also=_MASS),
    K.GATE_SLOW: FaultNote(
        System.CHAMBER, "the gate takes longer from opening to closed again",
        "s", "gate time", (("gate_open_at", "closed_at"),), LEVEL, +1, RAMP, also=_BLOCKED),
    K.DRIVE_DRAGS: FaultNote(
        System.CHAMBER, "a bearing drags or a drive binds: more torque, warmer oil",
        "n*m", "torque", (("pto_torque_nm",),), LEVEL, +1, JUMP, also=_LOAD),
    K.LOPSIDED: FaultNote(
        System.CHAMBER, "bales get thicker on the left than on the right",
        "m", "left less right", (("diameter_left_m", "diameter_right_m"),), LEVEL, +1, STEP),
    K.PRESSURE_SINKS: FaultNote(
        System.DENSITY, "chamber pressure sinks slowly, and density with it",
        "bar", "chamber pressure", (("chamber_bar",),), LEVEL, -1, RAMP,
        also=("density setting", *_MASS)),
    K.RELIEF_LOW: FaultNote(
        System.DENSITY, "the relief valve opens too low from one bale on; density falls with it",
        "bar", "chamber pressure", (("chamber_bar",),), LEVEL, -1, STEP,
        also=("density setting", *_MASS)),
    K.DENSITY_LOST: FaultNote(
        System.DENSITY, "bales get lighter at the same pressure",
        "frac", "mass", (("mass_kg",),), LEVEL, -1, JUMP, also=_MASS),
    K.KNIVES_BLUNT: FaultNote(
        System.KNIVES, "blunt knives: torque creeps up",
        "n*m", "torque", (("pto_torque_nm",),), LEVEL, +1, RAMP, needs=Needs.KNIVES, also=_LOAD),
    K.KNIFE_BANK_LEAKS: FaultNote(
        System.KNIVES, "the knife bank's pressure sinks",
        "bar", "knife pressure", (("knife_bar",),), LEVEL, -1, RAMP, needs=Needs.KNIVES),
    K.KNIVES_OUT: FaultNote(
        System.KNIVES, "knives drop out of work",
        "knives", "knives in work", (("knives_in",),), COUNT, -1, SPELLS, (2.0, 5.0),
        Needs.KNIVES, also=_LOAD),
    K.BRAKE_WEAK: FaultNote(
        System.BINDING, "a weak brake lets more metres off the roll for the same turns",
        "frac", "binding metres", (("binding_m",),), LEVEL, +1, RAMP, also=("binding turns",)),
    K.BINDING_MISSED: FaultNote(
        System.BINDING, "binding does not catch and is started again",
        "times", "binding starts", (("binding_tries",),), RATE, +1, STEP, _OFTEN,
        also=("binding time", *_BLOCKED)),
    K.BINDING_TURNS: FaultNote(
        System.BINDING, "turns of binding are missing",
        "turns", "binding turns", (("binding_turns",), ("binding_m",)), LEVEL, -1, STEP,
        also=("binding metres", "binding time", *_BLOCKED)),
    K.BINDING_CUTTER: FaultNote(
        System.BINDING, "a blunt cutter: binding takes longer to end",
        "s", "binding time", (("bind_start_at", "bind_end_at"),), LEVEL, +1, RAMP, also=_BLOCKED),
    K.BINDING_LATE: FaultNote(
        System.BINDING, "binding starts late after the chamber is full",
        "s", "binding delay", (("full_at", "bind_start_at"),), LEVEL, +1, JUMP, also=_BLOCKED),
    K.TRANSFER_SLOW: FaultNote(
        System.TRANSFER, "the bale takes longer from the gate to the wrapper",
        "s", "transfer time", (("gate_open_at", "on_wrapper_at"),), LEVEL, +1, RAMP,
        needs=Needs.WRAPPER, also=_BLOCKED),
    K.WAITING: FaultNote(
        System.TRANSFER, "the bale lies on the wrapper before wrapping begins (mean seconds)",
        "s", "waiting time", (("on_wrapper_at", "wrap_start_at"),), LEVEL, +1, SPELLS,
        needs=Needs.WRAPPER, also=_BLOCKED),
    K.RING_SLOW: FaultNote(
        System.RING, "the wrapper turns slower",
        "1/min", "wrapping speed", (("wrap_rpm",), ("wrap_start_at", "wrap_end_at")), LEVEL, -1,
        RAMP, needs=Needs.WRAPPER, also=_WRAPPED),
    K.RING_UNEVEN: FaultNote(
        System.RING, "the wrapper turns unevenly from bale to bale",
        "times", "wrapping speed", (("wrap_rpm",),), SPREAD, +1, STEP, _OFTEN, Needs.WRAPPER,
        also=_WRAPPED),
    K.WRAP_TURNS: FaultNote(
        System.RING, "wrap turns are missing: the counter's pulse comes too often",
        "turns", "wrap turns", (("wrap_turns",),), COUNT, -1, STEP, (1.0, 3.0), Needs.WRAPPER,
        also=_ROLLS),
    K.STRETCH: FaultNote(
        System.DISPENSERS, "one dispenser's pre-stretch moves; below zero it slips",
        "frac", "pre-stretch", _METRES, LEVEL, +1, STEP, needs=Needs.STRETCH_SEEN, also=_ROLLS),
    K.STRETCH_UNEVEN: FaultNote(
        System.DISPENSERS, "one dispenser's rollers grip and slip: stretch scatters",
        "times", "pre-stretch", _METRES, SPREAD, +1, STEP, _OFTEN, Needs.STRETCH_SEEN, also=_ROLLS),
    K.FILM_BREAKS: FaultNote(
        System.DISPENSERS, "film breaks more often at one dispenser",
        "times", "film breaks", (("film1_breaks",), ("film2_breaks",), ("film_breaks",)), RATE, +1,
        STEP, _OFTEN, Needs.WRAPPER, also=_WRAPPED),
    K.ROLL_BATCH: FaultNote(
        System.DISPENSERS, "film of one batch breaks more often, from its first roll to its last",
        "times", "film breaks", (("film1_breaks",), ("film2_breaks",), ("film_breaks",)), RATE, +1,
        STEP, _OFTEN, Needs.WRAPPER, also=_WRAPPED),
    K.METRES_DRIFT: FaultNote(
        System.DISPENSERS, "one dispenser's metre counter counts too much; the rolls do not agree",
        "frac", "film metres", _METRES, LEVEL, +1, RAMP, needs=Needs.WRAPPER,
        also=("pre-stretch",)),
    K.FILM_STARTS: FaultNote(
        System.CUTTERS, "the film is not held after the cut: wrapping is started again",
        "times", "wrapping starts", (("film_start_tries",),), RATE, +1, STEP, _OFTEN,
        Needs.WRAPPER, also=_WRAPPED),
    K.TIP_SLOW: FaultNote(
        System.TIP, "tipping takes longer",
        "s", "tipping time", (("wrap_end_at", "tipped_at"),), LEVEL, +1, RAMP,
        needs=Needs.WRAPPER, also=_BLOCKED),
    K.MOISTURE_DRIFTS: FaultNote(
        System.SENSORS, "the moisture sensor reads too much",
        "frac", "moisture", (("moisture_frac",),), LEVEL, +1, RAMP),
    K.DIAMETER_FROZEN: FaultNote(
        System.SENSORS, "the diameter stays at one reading",
        "times", "diameter", (("diameter_m",),), SPREAD, -1, STEP, (1.0, 1.0)),
    K.PRESSURE_FROZEN: FaultNote(
        System.SENSORS, "the chamber pressure stays at one reading",
        "times", "chamber pressure", (("chamber_bar",),), SPREAD, -1, STEP, (1.0, 1.0),
        also=("density setting",)),
    K.GATE_CHATTERS: FaultNote(
        System.SENSORS, "a loose gate sensor: the opening scatters",
        "times", "gate opening", (("gate_opening_mm",),), SPREAD, +1, SPELLS, _OFTEN),
    K.SCALE_DRIFTS: FaultNote(
        System.SENSORS, "the scale reads too much",
        "frac", "mass", (("mass_kg",),), LEVEL, +1, RAMP),
    K.COLUMN_SILENT: FaultNote(
        System.SENSORS, "a column that spoke says nothing more",
        "column", "a column", tuple((name,) for name in (
            "mass_kg", "moisture_frac", "diameter_m", "gate_opening_mm", "chamber_bar", "oil_c",
            "binding_m", "film1_m", "film_m", "bind_start_at")),
        SILENCE, -1, STEP, (1.0, 1.0)),
    K.SUPPLY_DIPS: FaultNote(
        System.SUPPLY, "the lowest voltage of the cycle falls: a bad contact or weak supply",
        "v", "supply", (("supply_min_v",),), LEVEL, -1, SPELLS),
    K.SPEED_CODES: FaultNote(
        System.SUPPLY, "a code comes on rough, fast ground: a cable that moves",
        "times", "codes", (("codes",),), RATE, +1, STEP, _OFTEN),
    K.CODES_MORE: FaultNote(
        System.SUPPLY, "a code comes more often, at any speed",
        "times", "codes", (("codes",),), RATE, +1, STEP, _OFTEN),
    K.OIL_HOT: FaultNote(
        System.OIL, "the oil runs hotter for the same air and load",
        "K", "oil temperature", (("oil_c",),), LEVEL, +1, JUMP, also=_WARM),
    K.GREASE_STUCK: FaultNote(
        System.OIL, "the grease cartridge does not empty: it is changed so many times later",
        "times", "bales a cartridge", (), COUNT, +1, STEP, (2.0, 3.0), Needs.GREASE),
    K.ADDITIVE_FALLS: FaultNote(
        System.ADDITIVE, "litres of additive a bale fall",
        "l", "additive", (("additive_l",),), LEVEL, -1, RAMP),
    K.COUNTER: FaultNote(
        System.COUNTERS, "numbers: 1 starts again at one, 2 leaves seven out, 3 gives two twice",
        "kind", "bale number", (("bale_no",),), COUNT, +1, STEP, (2.0, 1.0)),
    K.TOO_FAST: FaultNote(
        System.OPERATOR, "driven faster than before: more feed, softer bales",
        "frac", "fill time", _FILL, LEVEL, -1, STEP, also=_FED),
    K.BY_HAND: FaultNote(
        System.OPERATOR, "wrapped by hand more often",
        "times", "bales by hand", (("mode",),), RATE, +1, STEP, _OFTEN, Needs.WRAPPER,
        also=_WRAPPED),
    K.PTO_SLOW: FaultNote(
        System.OPERATOR, "the PTO is driven slower",
        "1/min", "PTO speed", (("pto_rpm",),), LEVEL, -1, STEP, also=_LOAD),
    K.DENSITY_DIAL: FaultNote(
        System.OPERATOR, "the density setting is turned down at one bale, and nobody tells",
        "bar", "density setting", (("chamber_bar",), ("density_dial",)), SETTING, -1, STEP,
        (8.0, 16.0), also=("chamber pressure", *_MASS)),
    K.BINDING_DIAL: FaultNote(
        System.OPERATOR, "fewer turns of binding are set at one bale, and nobody tells",
        "turns", "binding turns", (("binding_turns",), ("binding_m",)), SETTING, -1, STEP,
        (0.25, 0.5), also=("binding metres", "binding time", *_BLOCKED)),
})  # fmt: skip
