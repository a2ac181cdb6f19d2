"""A traced bale in groups of lines, in words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from balewright.desk.wording import words
from balewright.quantities.reason import Reason
from balewright.records.columns import BY_NAME, CHAMBER_PHASES, COLUMNS, WRAPPER_PHASES, Kind
from balewright.records.corrections import Correction
from balewright.records.traced import Cell, Source, TracedBale, TracedValue, Why
from balewright.words.say import say, say_value
from balewright.words.times import say_clock, say_day, zone_named

GROUPS: Final = (
    ("which", ("bale_no", "counter_epoch", "job", "operator", "sheet", "crop", "status", "mode")),
    ("times", (*CHAMBER_PHASES, *WRAPPER_PHASES)),
    (
        "bale",
        (
            *("diameter_m", "diameter_left_m", "diameter_right_m", "diameter_how", "mass_kg"),
            *("mass_how", "moisture_frac", "moisture_how", "moisture_max_frac", "additive_l"),
            *("density_dial", "gate_opening_mm", "chamber_bar", "knife_bar", "knives_in"),
            "tip_side",
        ),
    ),
    (
        "wrapping",
        (
            *("binding", "binding_turns", "binding_m", "binding_tries", "wrap_turns"),
            *("wrap_bale_turns", "wrap_rpm", "film_start_tries", "said_layers"),
            *("said_overlap_frac", "said_stretch_frac", "film_width_m", "film1_m", "film2_m"),
            *("film_m", "film1_breaks", "film2_breaks", "film_breaks", "rolls_on", "roll_lost"),
            "roll_lost_turn",
        ),
    ),
    (
        "work",
        (
            *("speed_m_s", "pto_rpm", "pto_torque_nm", "pitch_frac", "roll_frac", "overloads"),
            *("supply_min_v", "oil_c", "air_c", "lat", "lon", "codes"),
        ),
    ),
)
"""Every column but the machine, in the order they are read in."""


@dataclass(frozen=True)
class ShownTold:
    """What another row says. number: its source's, from 1; differs: whether it says otherwise."""

    value: str
    number: int
    differs: bool


@dataclass(frozen=True)
class ShownValue:
    """One line. number: of the source that counts, None for a correction; why: empty where nobody
    else says anything.
    """

    label: str
    column: str
    value: str | None
    number: int | None
    why: str
    others: tuple[ShownTold, ...]
    corrected: bool

    @property
    def differs(self) -> bool:
        """Whether somebody says otherwise."""
        return any(one.differs for one in self.others)


@dataclass(frozen=True)
class ShownGroup:
    """Lines under one heading."""

    heading: str
    lines: tuple[ShownValue, ...]


@dataclass(frozen=True)
class ShownSource:
    """One row of one file. place: where in the file it stands, in words."""

    number: int
    name: str
    sha256: str
    place: str
    known_cells: int


@dataclass(frozen=True)
class ShownCorrection:
    """A correction that names this bale. back: who took it back and why, None while it counts."""

    key: str
    label: str
    value: str | None
    why: str
    by: str | None
    at_us: int
    bales: int
    back: Correction | None


def group_values(bale: TracedBale, zone: str) -> tuple[ShownGroup, ...]:
    """The values that somebody knows, under their headings; empty groups are left out."""
    known = {one.column: one for one in bale.values}
    groups = (
        ShownGroup(
            words(f"bale.group.{name}"),
            tuple(_line(known[c], zone) for c in columns if c in known),
        )
        for name, columns in GROUPS
    )
    return tuple(group for group in groups if group.lines)


def show_sources(bale: TracedBale) -> tuple[ShownSource, ...]:
    """The rows that tell of the bale, the one that counts first."""
    return tuple(
        ShownSource(number, one.name or one.sha256[:12], one.sha256, _place(one), one.known_cells)
        for number, one in enumerate(bale.sources, 1)
    )


def show_corrections(bale: TracedBale, zone: str) -> tuple[ShownCorrection, ...]:
    """Corrections that name this bale, the newest first."""
    back = {one.withdraws: one for one in bale.corrections if one.withdraws is not None}
    shown = (
        ShownCorrection(
            key=one.key,
            label=column_word(one.column),
            value=say_cell(one.column, one.value, zone),
            why=one.why,
            by=one.by,
            at_us=one.at_us,
            bales=len(one.bales),
            back=back.get(one.key),
        )
        for one in bale.corrections
        if one.withdraws is None
    )
    return tuple(sorted(shown, key=lambda one: (one.at_us, one.key), reverse=True))


def column_word(column: str) -> str:
    """What a column is called."""
    word = say(Reason(f"column.{column}"))
    return word[:1].upper() + word[1:]


def column_choices() -> list[tuple[str, str]]:
    """Columns that can be put right, by their words, with their names in the table."""
    found = [(c.name, f"{column_word(c.name)} ({c.name})") for c in COLUMNS if c.name != "machine"]
    return sorted(found, key=lambda one: one[1].lower())


def say_cell(column: str, value: Cell, zone: str) -> str | None:
    """A value with its unit, a time to the second on the machine's clock; None where unknown."""
    if value is None:
        return None
    if BY_NAME[column].kind is Kind.TIME and isinstance(value, int):
        named = zone_named(zone)
        return f"{say_day(value, named)} {say_clock(value, named)}"
    if column in ("lat", "lon"):
        return f"{value:.6f}°"
    if column in ("bale_no", "counter_epoch"):
        return str(value)
    return say_value(column, value)


def _line(one: TracedValue, zone: str) -> ShownValue:
    return ShownValue(
        label=column_word(one.column),
        column=one.column,
        value=say_cell(one.column, one.value, zone),
        number=None if one.by is None else one.by.source + 1,
        why="" if one.why is Why.ONLY else words(f"bale.why.{_why(one)}"),
        others=tuple(
            ShownTold(
                say_cell(one.column, other.value, zone) or "–",
                other.source + 1,
                other.value != one.value,
            )
            for other in one.others
        ),
        corrected=bool(one.corrections),
    )


def _why(one: TracedValue) -> str:
    return one.why.value.replace(" ", "_")


def _place(source: Source) -> str:
    at = (
        words("bale.at.none", at=source.row + 1)
        if source.at is None
        else words(f"bale.at.{source.unit}", at=source.at)
    )
    return f"{source.file}, {at}" if source.file else at
