"""A sheet as rows to show: grouped as the work goes, each value in words."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from balewright.desk.reading import reading, say_here
from balewright.plan.machine import Machine
from balewright.plan.sheet.sheet import Sheet, SheetLine
from balewright.quantities.reason import Reason
from balewright.quantities.sources import Source, source
from balewright.words.say import say_value

GROUPS: Final = (
    ("drive", ("speed_m_s", "windrow_width_m", "weave", "additive_l_t")),
    ("chamber", ("gate_opening_mm", "diameter_m", "chamber_bar", "open_s", "oil_ml_bale")),
    ("knives", ("knives_in", "knife_bar")),
    ("binding", ("binding", "binding_turns", "binding_tension_frac", "binding_delay_s")),
    ("film", ("layers", "wrap_turns", "wrap_turns_one_roll", "overlap_frac", "film_width_m",
              "pre_stretch_frac", "rolls_on", "break_monitor", "wrap_rpm", "film_height_m")),
    ("tip", ("roll_before_s", "roll_after_s", "tip_side", "tip_speed_frac", "tip_delay_s",
             "weighing")),
)  # fmt: skip
OTHERS: Final = "other"


@dataclass(frozen=True)
class Row:
    """One setting in words. own_word: what the machine itself calls it; sure: key of a tag."""

    label: str
    own_word: str | None
    value: str
    dial: str | None
    allowed: str | None
    why: Reason
    sure: str
    source: str


@dataclass(frozen=True)
class Group:
    """Settings that belong together; key of the heading."""

    key: str
    rows: tuple[Row, ...]


def group_lines(sheet: Sheet, machine: Machine | None) -> list[Group]:
    """Every line of the sheet once; a group without lines is left out."""
    placed = {key for _, keys in GROUPS for key in keys}
    rest = tuple(line.key for line in sheet.lines if line.key not in placed)
    groups = [
        Group(name, tuple(_row(line, machine) for line in _lines(sheet, keys)))
        for name, keys in (*GROUPS, (OTHERS, rest))
    ]
    return [group for group in groups if group.rows]


def list_sources(sheet: Sheet) -> list[Source]:
    """The sources of the lines, each once."""
    return [source(key) for key in dict.fromkeys(line.source for line in sheet.lines)]


def _lines(sheet: Sheet, keys: Iterable[str]) -> Iterable[SheetLine]:
    return (line for key in keys if (line := sheet.line(key)) is not None)


def _row(line: SheetLine, machine: Machine | None) -> Row:
    return Row(
        label=say_here(Reason(f"line.{line.key}")),
        own_word=machine.own_word(line.key) if machine else None,
        value=_value(line),
        dial=line.position,
        allowed=_allowed(line),
        why=line.reason,
        sure=line.how_sure.name.lower(),
        source=line.source,
    )


def _value(line: SheetLine) -> str:
    if isinstance(line.value, str):
        return say_here(Reason(f"choice.{line.value.replace(' ', '_')}"))
    return say_value(line.key, line.value, reading())


def _allowed(line: SheetLine) -> str | None:
    if line.low is None or line.high is None or line.low == line.high:
        return None
    low, high = (say_value(line.key, end, reading()) for end in (line.low, line.high))
    return f"{low} – {high}"
