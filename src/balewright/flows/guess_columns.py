"""Guess what the columns of an unknown table mean, and answer what a person changed of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final
from zoneinfo import available_timezones

from balewright.flows.reading_of import reading_of
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.readers.mapped.checking import check_map
from balewright.readers.mapped.clocks import CLOCK_FORMS, DAY_ORDERS
from balewright.readers.mapped.encodings import ENCODINGS
from balewright.readers.mapped.guess import Guess, GuessedColumn, GuessWish, guess
from balewright.readers.mapped.numbers import DECIMALS, THOUSANDS
from balewright.readers.mapped.units import units_for
from balewright.readers.reading import Reading
from balewright.records.column_map import MACHINES_OWN, ZONE, ColumnMap, Twice
from balewright.records.columns import BY_NAME, COLUMNS, Kind

__all__ = ["MACHINES_OWN", "ZONE", "ColumnAnswers", "Guess", "GuessWish", "GuessedColumn", "Twice"]

TARGETS: Final = tuple(column.name for column in COLUMNS)
CHOICES: Final = MappingProxyType({one.name: one.choices for one in COLUMNS if one.choices})
SIGNS: Final = MappingProxyType(
    {
        "encoding": ENCODINGS,
        "decimal": DECIMALS,
        "thousands": THOUSANDS,
        "day_order": DAY_ORDERS,
        "twice": tuple(one.value for one in Twice),
    }
)
"""What may be answered to each question of the whole table."""


@dataclass(frozen=True)
class ColumnAnswers:
    """What a person says of a table; what is not in it stays as it was guessed.

    targets: place of a column -> target, "" to leave it out; units: place -> unit or clock form;
    words: place -> (theirs, ours) pairs; whole: name of a part of `ColumnMap` -> its value.
    """

    targets: Mapping[int, str] = field(default_factory=dict)
    units: Mapping[int, str] = field(default_factory=dict)
    words: Mapping[int, tuple[tuple[str, str], ...]] = field(default_factory=dict)
    whole: Mapping[str, Any] = field(default_factory=dict)


def guess_columns(workplace: Workplace | None, path: Path, wish: GuessWish | None = None) -> Guess:
    """A draft map for a table, nothing of it applied. workplace: None without a register.

    Raises BadInput where nothing in the file looks like headings over rows of values.
    """
    reading = Reading() if workplace is None else reading_of(workplace)
    return guess(path, reading, wish)


def answered(draft: ColumnMap, answers: ColumnAnswers) -> ColumnMap:
    """The draft with what a person said. Raises BadInput with every fault of the whole."""
    columns = []
    for column in draft.columns:
        at = column.place
        target = answers.targets.get(at, column.target)
        unit = answers.units.get(at, column.unit if target == column.target else "")
        words = answers.words.get(at, column.words if target == column.target else ())
        columns.append(replace(column, target=target, unit=unit, words=words))
    whole = {name: value for name, value in answers.whole.items() if value is not None}
    if "twice" in whole:
        whole["twice"] = _twice(whole["twice"])
    changed = replace(draft, columns=tuple(columns), **whole)
    check_map(changed)
    return changed


def _twice(given: Any) -> Twice:
    try:
        return Twice(given)
    except ValueError as error:
        need = "one of " + ", ".join(one.value for one in Twice)
        raise BadInput(Fault("twice", need, repr(given), "Choose one of them.")) from error


def units_of(target: str) -> tuple[str, ...]:
    """The units, or of a time the clock forms, that a target may be given in; the own one first."""
    if target in BY_NAME and BY_NAME[target].kind is Kind.TIME:
        return CLOCK_FORMS
    return units_for(target) if target in BY_NAME else ()


def zone_names() -> tuple[str, ...]:
    """The names of all time zones, sorted."""
    return tuple(sorted(name for name in available_timezones() if "/" in name or name == "UTC"))
