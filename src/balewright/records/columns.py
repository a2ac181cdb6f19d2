"""The bale table, version 1: what each column means, its unit and what can be believed.

One row a bale. The header of the CSV form is exactly these names, any subset of them. Ranges are
wide: outside them a value is no bale of any machine (a wrong unit, junk), and the row is refused.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import Final

SCHEMA_VERSION: Final = 1


class Kind(StrEnum):
    """How a column is held: text, whole number, number, or UTC time in whole microseconds."""

    TEXT = "text"
    INT = "int"
    FLOAT = "float"
    TIME = "time"


@dataclass(frozen=True)
class Column:
    """One column: name (ends in its unit), kind, believable range or choices, meaning."""

    name: str
    kind: Kind
    meaning: str
    low: float | None = None
    high: float | None = None
    choices: tuple[str, ...] = ()


def _text(name: str, meaning: str, *choices: str) -> Column:
    return Column(name, Kind.TEXT, meaning, choices=choices)


def _int(name: str, high: int, meaning: str) -> Column:
    return Column(name, Kind.INT, meaning, 0, high)


def _float(name: str, low: float, high: float, meaning: str) -> Column:
    return Column(name, Kind.FLOAT, meaning, low, high)


def _time(name: str, meaning: str) -> Column:
    return Column(name, Kind.TIME, meaning)


_HOW = ("sensed", "nominal", "entered", "weighbridge")

COLUMNS: Final[tuple[Column, ...]] = (
    _text("machine", "the machine's serial in the register"),
    _int("bale_no", 10_000_000, "the machine's own bale number"),
    _int("counter_epoch", 1000, "steps when a control is swapped or its counter reset"),
    _text("job", "the order or field"),
    _text("operator", "who drove; off by default"),
    _text("sheet", "which setup sheet was in force"),
    _time("closed_at", "chamber closed, filling begins"),
    _time("full_at", "chamber full"),
    _time("bind_start_at", "binding begins"),
    _time("bind_end_at", "binding ends"),
    _time("gate_open_at", "gate opens"),
    _time("on_wrapper_at", "bale lies on the wrapper"),
    _time("wrap_start_at", "wrapping begins"),
    _time("wrap_end_at", "wrapping ends"),
    _time("tipped_at", "bale tipped off"),
    _text("binding", "what bound it", "net", "film", "twine", "none"),
    _float("binding_turns", 0, 60, "turns of binding"),
    _float("binding_m", 0, 400, "metres of binding off the roll"),
    _float("gate_opening_mm", 0, 500, "how far the full chamber stood open"),
    _float("chamber_bar", 0, 400, "chamber pressure at full"),
    _float("density_dial", -1000, 1000, "density position on the machine's own scale"),
    _float("knife_bar", 0, 300, "knife bank pressure"),
    _int("knives_in", 60, "knives in work"),
    _float("wrap_turns", 0, 200, "wrapping turns made by the ring, arms or table"),
    _float("wrap_bale_turns", 0, 50, "the bale's own turns on the wrapper"),
    _float("wrap_rpm", 0, 120, "wrapping speed, 1/min"),
    _float("said_layers", 0, 50, "layers the machine itself reports"),
    _float("said_overlap_frac", 0, 1, "overlap the machine itself reports"),
    _float("said_stretch_frac", 0, 1.5, "pre-stretch the machine itself reports"),
    _float("film_width_m", 0.1, 1.5, "film width on the roll"),
    _float("film1_m", 0, 1000, "film metres counted at dispenser 1"),
    _float("film2_m", 0, 1000, "film metres counted at dispenser 2"),
    _float("film_m", 0, 2000, "film metres counted in all"),
    _int("film1_breaks", 100, "film breaks at dispenser 1"),
    _int("film2_breaks", 100, "film breaks at dispenser 2"),
    _int("film_breaks", 200, "film breaks in all"),
    _int("rolls_on", 2, "rolls in work"),
    Column("roll_lost", Kind.INT, "which roll ended or broke", 1, 2),
    _float("roll_lost_turn", 0, 200, "at which wrap turn it was lost"),
    _int("binding_tries", 50, "times binding was started"),
    _int("film_start_tries", 50, "times wrapping was started"),
    _int("overloads", 100, "overload trips in the cycle"),
    _float("diameter_m", 0.3, 3.0, "bale diameter"),
    _float("diameter_left_m", 0.3, 3.0, "bale diameter, left"),
    _float("diameter_right_m", 0.3, 3.0, "bale diameter, right"),
    _text("diameter_how", "where the diameter comes from", *_HOW),
    _float("mass_kg", 20, 3000, "bale mass"),
    _text("mass_how", "where the mass comes from", *_HOW),
    _float("moisture_frac", 0, 1, "moisture, wet basis"),
    _text("moisture_how", "where the moisture comes from", *_HOW),
    _float("moisture_max_frac", 0, 1, "highest moisture in the bale"),
    _float("additive_l", 0, 100, "additive"),
    _text("mode", "how it was wrapped", "automatic", "by hand", "wrapper off"),
    _text("status", "what became of it", "ok", "burst", "re-wrapped", "test"),
    _text("tip_side", "how it was tipped", "round", "end"),
    _text("crop", "crop"),
    _float("speed_m_s", 0, 15, "ground speed, mean over the filling"),
    _float("pto_rpm", 0, 1500, "PTO speed, 1/min"),
    _float("pto_torque_nm", 0, 10_000, "PTO torque"),
    _float("pitch_frac", -1, 1, "slope along the travel"),
    _float("roll_frac", -1, 1, "slope across the travel"),
    _float("supply_min_v", 0, 60, "lowest supply voltage of the cycle"),
    _float("oil_c", -50, 200, "oil temperature"),
    _float("air_c", -60, 70, "air temperature"),
    _float("lat", -90, 90, "latitude where it was tipped, WGS 84 degrees"),
    _float("lon", -180, 180, "longitude where it was tipped, WGS 84 degrees"),
    _text("codes", "diagnostic codes, SPN/FMI, space separated"),
)

BY_NAME: Final = MappingProxyType({column.name: column for column in COLUMNS})

CHAMBER_PHASES: Final = ("closed_at", "full_at", "bind_start_at", "bind_end_at", "gate_open_at")
WRAPPER_PHASES: Final = ("on_wrapper_at", "wrap_start_at", "wrap_end_at", "tipped_at")
"""Times that stand in this order per station; the stations overlap in time."""
