"""Cells of a CSV file -> values of a column. What is not a value is named, never guessed.

Whole columns are converted at once; only cells that fail are looked at one by one.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from balewright.readers.times import TIME_NEED, explain_time, parse_time, parse_times
from balewright.records.bales import Mask, Values
from balewright.records.columns import Column, Kind

_NUMBER: Final = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?", re.ASCII)
_NUMBER_SIGNS: Final = {ord(sign): None for sign in "0123456789+-.eE\n"}
_UNIT_CURES: Final = {
    "frac": "It is a share from 0 to 1: write 0.55 for 55 %.",
    "m": "It is in metres.",
    "mm": "It is in millimetres.",
    "kg": "It is in kilograms.",
    "bar": "It is in bar.",
    "rpm": "It is in turns a minute.",
    "l": "It is in litres.",
    "s": "It is in metres a second.",
    "c": "It is in degrees Celsius.",
    "v": "It is in volts.",
    "nm": "It is in newton metres.",
}
_NOT_SENSED: Final = frozenset(
    ("nan", "inf", "infinity", "na", "n/a", "null", "none", "-", "?", "unknown", "#n/a")
)


@dataclass(frozen=True)
class Cells:
    """A converted column: values and known mask, shape (rows,), and the rows that failed."""

    values: Values
    known: Mask
    failed: tuple[int, ...] = ()


def convert_cells(column: Column, cells: Sequence[str], decimal: str) -> Cells:
    """Convert the cells of one column; empty is unknown. decimal: the sign, `.` or `,`."""
    if column.kind is Kind.TEXT:
        return _convert_text(column, cells)
    if column.kind is Kind.TIME:
        return _convert_times(cells)
    return _convert_numbers(column, cells, decimal)


def explain_cell(column: Column, cell: str, decimal: str) -> tuple[str, str]:
    """What a failed cell of this column needs, and the cure."""
    if column.kind is Kind.TEXT:
        near = get_close_matches(cell.strip().lower(), column.choices, 1, 0.5)
        cure = f"Did you mean {near[0]}?" if near else "Leave the cell empty where it is unknown."
        return "one of " + ", ".join(column.choices), cure
    if column.kind is Kind.TIME:
        return TIME_NEED, explain_time(cell)
    what = "a whole number" if column.kind is Kind.INT else "a number"
    return f"{what} from {column.low:.12g} to {column.high:.12g}", _number_cure(
        column, cell, decimal
    )


def parse_number(cell: str, decimal: str) -> float | None:
    """The number in one cell, None where it is none."""
    plain = cell.strip()
    if decimal == ",":
        if "." in plain:
            return None
        plain = plain.replace(",", ".")
    return float(plain) if _NUMBER.fullmatch(plain) else None


def outside(column: Column, values: NDArray[Any]) -> Mask:
    """Where numbers lie outside what can be believed of the column, or are no whole numbers."""
    wrong = ~((values >= column.low) & (values <= column.high))
    if column.kind is Kind.INT:
        wrong |= values != np.floor(values)
    return np.asarray(wrong, dtype=np.bool_)


def _convert_text(column: Column, cells: Sequence[str]) -> Cells:
    shared: dict[str, str] = {}
    values = np.empty(len(cells), dtype=object)
    values[:] = [shared.setdefault(cell, cell) for cell in cells]
    known = np.fromiter(map(bool, cells), dtype=np.bool_, count=len(cells))
    if not column.choices or shared.keys() <= {"", *column.choices}:
        return Cells(values, known)
    allowed = {"", *column.choices}
    failed = tuple(row for row, cell in enumerate(cells) if cell not in allowed)
    return Cells(values, known, failed)


def _convert_times(cells: Sequence[str]) -> Cells:
    known = np.fromiter(map(bool, cells), dtype=np.bool_, count=len(cells))
    values, done = parse_times(cells)
    failed = []
    for row in np.flatnonzero(known & ~done).tolist():
        moment = parse_time(cells[row])
        if moment is not None:
            values[row] = moment
        elif cells[row].strip():
            failed.append(row)
        else:
            known[row] = False
    return Cells(values, known, tuple(failed))


def _convert_numbers(column: Column, cells: Sequence[str], decimal: str) -> Cells:
    known = np.fromiter(map(bool, cells), dtype=np.bool_, count=len(cells))
    numbers = _floats_at_once(cells, decimal) if known.any() else np.zeros(len(cells))
    failed = []
    if numbers is None:
        numbers = np.zeros(len(cells))
        for row, cell in enumerate(cells):
            number = parse_number(cell, decimal)
            if number is not None:
                numbers[row] = number
            elif cell.strip():
                failed.append(row)
            else:
                known[row] = False
    wrong = outside(column, numbers) & known
    wrong[failed] = True
    if wrong.any():
        numbers[wrong] = 0.0
    numbers[~known] = 0.0
    values = numbers.astype(np.int64) if column.kind is Kind.INT else numbers
    return Cells(values, known, tuple(np.flatnonzero(wrong).tolist()))


def _floats_at_once(cells: Sequence[str], decimal: str) -> NDArray[np.float64] | None:
    """The numbers of a column, 0 where empty; None where some cell needs a closer look."""
    joined = "\n".join(cells)
    if decimal == ",":
        if "." in joined:
            return None
        joined = joined.replace(",", ".")
        cells = joined.split("\n")
    # Only these signs: `float` alone would also take nan, inf, 1_000 and digits of any script.
    if joined.translate(_NUMBER_SIGNS):
        return None
    try:
        return np.array([float(cell) if cell else 0.0 for cell in cells], dtype=np.float64)
    except ValueError:
        return None


def _number_cure(column: Column, cell: str, decimal: str) -> str:
    plain = cell.strip()
    if {plain.lower(), plain.lower().lstrip("+-")} & _NOT_SENSED:
        return "Leave the cell empty where the value is unknown."
    other = "," if decimal == "." else "."
    if other in plain and parse_number(plain.replace(decimal, "").replace(other, decimal), decimal):
        word = {".": "point", ",": "comma"}
        return (
            f"Decimals have a {word[decimal]} in this file and thousands have no sign: "
            f"remove the {word[other]}."
        )
    number = parse_number(plain, decimal)
    if number is None:
        return "Write the number alone, without unit or blanks."
    if column.kind is Kind.INT and number != np.floor(number):
        return "It counts whole things."
    return _UNIT_CURES.get(column.name.rsplit("_", 1)[-1], "Check the value.")
