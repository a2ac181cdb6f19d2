"""The rows of a CSV file: good ones as columns, bad ones as refusals, line by physical line.

Rows and refused lines together are always the physical lines below the head; this is checked.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc
from numpy.typing import NDArray

from balewright.readers.cells import convert_cells, explain_cell
from balewright.readers.csv_form import Layout, show_text
from balewright.readers.csv_split import Split, split_block
from balewright.readers.lines import Tell, read_blocks
from balewright.records.bales import Mask, Values
from balewright.records.columns import Column, Kind
from balewright.records.intake import Doubt, Refusal
from balewright.records.quality import Mark


@dataclass(frozen=True)
class Rows:
    """The rows of one block: line numbers, shape (rows,); columns; what was refused, doubted."""

    lines: NDArray[np.int64]
    values: Mapping[str, Values]
    known: Mapping[str, Mask]
    refusals: tuple[Refusal, ...]
    doubts: tuple[Doubt, ...]


def read_rows(path: Path, layout: Layout, tell: Tell | None = None) -> Iterator[Rows]:
    """Every row of a file in the given layout, block by block, in bounded memory.

    tell: hears bytes read of bytes in all. Raises BadInput where the file cannot be read to its
    end, possibly after some blocks.
    """
    decimal = "." if layout.separator == "," else None
    quick = decimal is not None
    for block in read_blocks(path, tell=tell):
        skipped = max(0, layout.head_lines - block.first_line + 1)
        if skipped >= len(block.ends):
            continue
        here = block.part(skipped, len(block.ends)) if skipped else block
        split = split_block(here, layout, quick)
        decimal = decimal or _find_decimal(layout.columns, split.columns)
        done = _convert(layout, split, decimal or ".")
        if split.typed and done.failed:  # a refusal tells the cell as it was written
            split = split_block(here, layout)
            done = _convert(layout, split, decimal or ".")
        quick = quick and split.typed  # a file that is bad throughout is not read twice
        rows = _keep_good(path.name, layout, split, done)
        if len(rows.lines) + len(rows.refusals) != len(here.ends):
            raise RuntimeError(f"{path.name}: lines lost after line {here.first_line}")
        last_line = here.first_line + len(here.ends) - 1
        yield rows if here.ended else mark_cut(path.name, last_line, rows)


def _find_decimal(columns: Sequence[Column], cells: Sequence[pa.StringArray]) -> str | None:
    """The decimal sign of the first number that has exactly one; None while there is none."""
    first: tuple[int, str] | None = None
    for column, one in zip(columns, cells, strict=True):
        if column.kind in (Kind.INT, Kind.FLOAT):
            row = pc.index(pc.match_substring_regex(one, r"^[^.,]*[.,][^.,]*$"), True).as_py()
            if row >= 0 and (first is None or row < first[0]):
                first = row, "," if "," in one[row].as_py() else "."
    return None if first is None else first[1]


def convert_rows(name: str, layout: Layout, split: Split, decimal: str) -> Rows:
    """The cells of a block as values; a row with one that is none is refused.

    name: of the file; decimal: the sign of its numbers, `.` or `,`.
    """
    return _keep_good(name, layout, split, _convert(layout, split, decimal))


@dataclass(frozen=True)
class _Converted:
    """The columns of a block; failed: rows with a bad cell -> places of those columns."""

    values: Mapping[str, Values]
    known: Mapping[str, Mask]
    failed: Mapping[int, list[int]]
    decimal: str


def _convert(layout: Layout, split: Split, decimal: str) -> _Converted:
    values: dict[str, Values] = {}
    known: dict[str, Mask] = {}
    failed: dict[int, list[int]] = {}
    for place, (column, cells) in enumerate(zip(layout.columns, split.columns, strict=True)):
        done = convert_cells(column, cells, decimal)
        values[column.name], known[column.name] = done.values, done.known
        lacking = np.flatnonzero(~done.known) if column.name in layout.form.required else ()
        for row in (*done.failed, *lacking):
            failed.setdefault(int(row), []).append(place)
    return _Converted(values, known, failed, decimal)


def _keep_good(name: str, layout: Layout, split: Split, done: _Converted) -> Rows:
    """The good rows; the others as refusals, in the order of the file."""
    values, known, failed = done.values, done.known, done.failed
    refusals = [
        Refusal(name, f"line {number}", show_text(text), reason)
        for number, (text, reason) in split.refused.items()
    ]
    # Whole columns to text at once: a file may be bad throughout.
    texts = {place: split.columns[place].to_pylist() for place in {at[0] for at in failed.values()}}
    for row, places in failed.items():
        cell = texts[places[0]][row] or ""
        place = f"line {split.numbers[row]}, column {layout.columns[places[0]].name}"
        refusals.append(Refusal(name, place, show_text(cell), _why(layout, places, cell, done)))
    lines = split.numbers
    if failed:
        good = np.ones(len(lines), dtype=np.bool_)
        good[list(failed)] = False
        lines = lines[good]
        values = {column: array[good] for column, array in values.items()}
        known = {column: mask[good] for column, mask in known.items()}
    refusals.sort(key=lambda refusal: int(refusal.place.split()[1].rstrip(",")))
    return Rows(lines, values, known, tuple(refusals), ())


def _why(layout: Layout, places: list[int], cell: str, done: _Converted) -> str:
    """Why a line is refused, told by its first bad cell; further bad columns are named."""
    need, cure = "a value: no row can do without", "Fill it in."
    if cell:
        need, cure = explain_cell(layout.columns[places[0]], cell, done.decimal)
    reason = f"needs {need}. {cure}"
    if len(places) == 1:
        return reason
    others = ", ".join(layout.columns[place].name for place in places[1:])
    return f"{reason} Also wrong in this line: {others}."


def mark_cut(name: str, line: int, rows: Rows) -> Rows:
    """A last line without its line feed is kept where it can be read, with a mark."""
    if not len(rows.lines) or rows.lines[-1] != line:
        return rows
    said = "the last line has no line end: the file may have been cut there"
    doubt = Doubt(name, f"line {line}", Mark.FILE_CUT, said)
    return Rows(rows.lines, rows.values, rows.known, rows.refusals, (*rows.doubts, doubt))
