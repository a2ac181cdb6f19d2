"""What was set, in words: setting by setting in the order of a sheet, beside the sheet in force."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from balewright.desk.wording import words
from balewright.flows.sheet_from_record import RecordedLine, RecordedSheet
from balewright.quantities.reason import Reason
from balewright.words.say import say, say_value
from balewright.words.sheet_words import DASH, GROUPS, group_name, value_of


@dataclass(frozen=True)
class Row:
    """One setting. value: None where it is not recorded; more: spread or steps; state: key of the
    tag, empty where nothing can be compared.
    """

    label: str
    value: str | None
    more: str
    planned: str
    state: str


@dataclass(frozen=True)
class Group:
    """Settings that belong together, under their heading."""

    heading: str
    rows: tuple[Row, ...]


def group_record(found: RecordedSheet) -> list[Group]:
    """Every line once, grouped as it is set; a group without lines is left out."""
    lines = {line.key: line for line in found.lines}
    groups = [
        (group_name(heading), [lines.pop(key) for key in keys if key in lines])
        for heading, keys in GROUPS
    ]
    if lines:
        groups.append((words("sheet.group.other"), list(lines.values())))
    return [Group(heading, _rows(of, found.bales)) for heading, of in groups if of]


def _rows(lines: Iterable[RecordedLine], bales: int) -> tuple[Row, ...]:
    return tuple(
        Row(
            label=say(Reason(f"line.{line.key}")),
            value=None if line.value is None else _say(line.key, line.value),
            more=_more(line, bales),
            planned=DASH if line.planned is None else value_of(line.planned),
            state={True: "differs", False: "as_planned", None: ""}[line.differs],
        )
        for line in lines
    )


def _say(key: str, value: float | str) -> str:
    if isinstance(value, str):
        return say(Reason(f"choice.{value}"))
    return say_value(key, value)


def _more(line: RecordedLine, bales: int) -> str:
    """How it changed over the bales or how far it spread, and how many bales tell it."""
    said = []
    if len(line.steps) > MOST_TOLD:
        changes = len(line.steps) - 1
        said.append(words("record.changed", times=changes))
    elif len(line.steps) > 1:
        said.append("; ".join(_steps(line)))
    elif not line.steps and line.low is not None and line.high is not None:
        low, high = (_say(line.key, end) for end in (line.low, line.high))
        if low != high:
            said.append(words("record.spread", low=low, high=high))
    if line.value is not None and line.known < bales:
        said.append(words("record.known", known=line.known, bales=bales))
    return " · ".join(said)


MOST_TOLD = 4
"""More steps than that are counted, not told one by one."""


def _steps(line: RecordedLine) -> Iterable[str]:
    for step in line.steps:
        value = _say(line.key, step.value)
        if step.since_bale is None:
            yield words("record.step.nameless", value=value, bales=step.bales)
        else:
            yield words("record.step", value=value, number=step.since_bale)
