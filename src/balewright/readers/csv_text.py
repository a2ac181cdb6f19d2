"""Columns -> CSV text in our form: version line, names, then one line a row."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any, Final

import numpy as np

from balewright.quantities.errors import BadInput, Fault
from balewright.readers.cells import outside
from balewright.readers.csv_form import CsvForm, show_text
from balewright.readers.times import format_time, moment_is_believable
from balewright.records.bales import Mask, Values
from balewright.records.columns import Column, Kind

SEPARATOR: Final = ","


def head_lines(form: CsvForm, columns: Sequence[Column]) -> str:
    """The version line and the line of names, each with its line feed."""
    return f"{form.version_line}\n{SEPARATOR.join(column.name for column in columns)}\n"


def row_lines(columns: Iterable[Iterable[str]]) -> Iterator[str]:
    """Written cells, column by column -> lines with their line feeds."""
    for cells in zip(*columns, strict=True):
        # A line may not be empty: one unknown cell alone is written as a pair of quotes.
        yield (SEPARATOR.join(cells) or '""') + "\n"


def write_cells(column: Column, values: Values, known: Mask) -> list[str]:
    """One column as cells; empty where unknown.

    Raises BadInput for a value that no reader of this form would take: it is never written.
    """
    wrong = np.flatnonzero(_unwritable(column, values) & known)
    if len(wrong):
        given = show_text(repr(values[wrong[0]]))
        fault = Fault(
            f"row {wrong[0] + 1}, column {column.name}",
            "a value that the form can hold",
            given,
            "Make it unknown or put it right before writing.",
        )
        raise BadInput(fault)
    pairs = zip(values.tolist(), known.tolist(), strict=True)
    return [_write_cell(column, value) if ok else "" for value, ok in pairs]


def _write_cell(column: Column, value: Any) -> str:
    if column.kind is Kind.TIME:
        return format_time(value)
    if column.kind is not Kind.TEXT:
        return str(value)  # the shortest text that reads back as the same number
    text = str(value)
    if SEPARATOR in text or '"' in text:
        return '"' + text.replace('"', '""') + '"'
    return text


def _unwritable(column: Column, values: Values) -> Mask:
    if column.kind is Kind.TIME:
        return ~moment_is_believable(values)
    if column.kind is not Kind.TEXT:
        return outside(column, values)
    distinct = {text: _is_writable(column, text) for text in set(values.tolist())}
    return np.array([not distinct[text] for text in values.tolist()], dtype=np.bool_)


def _is_writable(column: Column, text: str) -> bool:
    if column.choices and text:
        return text in column.choices
    if any((sign < " " and sign != "\t") or sign == "\x7f" for sign in text):
        return False
    return not any("\ud800" <= sign <= "\udfff" for sign in text)  # half a sign: not in UTF-8
