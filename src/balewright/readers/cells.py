"""Cells of a CSV file -> values of a column. What is not a value is named, never guessed.

Whole columns are converted at once by Arrow, whose grammar is a part of ours; a column with a cell
that Arrow does not take is looked at cell by cell.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any, Final

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc
from numpy.typing import NDArray

from balewright.readers.times import TIME_NEED, explain_time, moment_is_believable, parse_time
from balewright.records.bales import Mask, Values
from balewright.records.columns import Column, Kind

_NUMBER: Final = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?", re.ASCII)
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


def convert_cells(column: Column, cells: pa.Array, decimal: str) -> Cells:
    """Convert the cells of one column; null is unknown.

    cells: as text, or as the values that Arrow reads such text as; decimal: the sign, `.` or `,`.
    """
    if column.kind is Kind.TEXT:
        return _convert_text(column, cells)
    if column.kind is Kind.TIME:
        moments = _cast(cells, pa.timestamp("us", "UTC"))
        found = _parse_each(cells, parse_time) if moments is None else moments
        wrong = ~moment_is_believable(found.values)
    else:
        numbers = _cast_numbers(cells, decimal)
        found = (
            _parse_each(cells, lambda cell: parse_number(cell, decimal))
            if numbers is None
            else numbers
        )
        wrong = outside(column, found.values)
    wrong &= found.known
    wrong[list(found.failed)] = True
    kind = np.float64 if column.kind is Kind.FLOAT else np.int64
    values = np.where(found.known & ~wrong, found.values, 0).astype(kind, copy=False)
    return Cells(values, found.known, tuple(np.flatnonzero(wrong).tolist()))


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


def _convert_text(column: Column, cells: pa.StringArray) -> Cells:
    coded = cells.dictionary_encode()
    distinct = [*coded.dictionary.to_pylist(), ""]
    code = coded.indices.fill_null(len(distinct) - 1).to_numpy()
    values, known = np.array(distinct, dtype=object)[code], _known(cells)
    wrong = np.array([one not in {"", *column.choices} for one in distinct], dtype=np.bool_)
    if not column.choices or not wrong.any():
        return Cells(values, known)
    return Cells(values, known, tuple(np.flatnonzero(wrong[code]).tolist()))


def _cast_numbers(cells: pa.Array, decimal: str) -> Cells | None:
    """As `_cast`, in a file with this decimal sign."""
    if decimal == "," and pa.types.is_string(cells.type):
        if pc.any(pc.match_substring(cells, ".")).as_py():
            return None
        cells = pc.replace_substring(cells, ",", ".")
    return _cast(cells, pa.float64())


def _cast(cells: pa.Array, kind: pa.DataType) -> Cells | None:
    """All cells as one kind; None where Arrow does not take one of them."""
    try:
        numbers = cells if cells.type == kind else cells.cast(kind)
    except pa.ArrowInvalid:
        return None
    if pa.types.is_timestamp(kind):
        numbers = numbers.cast(pa.int64())
    return Cells(numbers.fill_null(0).to_numpy(zero_copy_only=False), _known(cells))


def _parse_each(cells: pa.StringArray, parse: Callable[[str], float | int | None]) -> Cells:
    """The cells one by one; blanks alone are unknown too."""
    known = _known(cells)
    values: list[float | int] = [0] * len(cells)
    failed = []
    for row, cell in enumerate(cells.to_pylist()):
        if cell is None:
            continue
        value = parse(cell)
        if value is not None:
            values[row] = value
        elif cell.strip():
            failed.append(row)
        else:
            known[row] = False
    return Cells(np.array(values), known, tuple(failed))


def _known(cells: pa.StringArray) -> Mask:
    return np.array(cells.is_valid().to_numpy(zero_copy_only=False), dtype=np.bool_)


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
