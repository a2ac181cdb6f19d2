"""The rows of a CSV file: good ones as columns, bad ones as refusals, line by physical line.

Rows and refused lines together are always the physical lines below the head; this is checked.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc
from numpy.typing import NDArray
from pyarrow import csv as arrow_csv

from balewright.readers.cells import convert_cells, explain_cell
from balewright.readers.csv_form import UTF8_BOM, Layout, show_text, split_line
from balewright.readers.lines import MAX_LINE_BYTES, Block, read_blocks
from balewright.records.bales import Mask, Values
from balewright.records.columns import Column, Kind
from balewright.records.intake import Doubt, Refusal
from balewright.records.quality import Mark

CONTROLS: Final = bytes(code for code in range(32) if code not in b"\t\n\r") + b"\x7f"
_NOT_TEXT: Final = frozenset(CONTROLS + b"\r")


@dataclass(frozen=True)
class Rows:
    """The rows of one block: line numbers, shape (rows,); columns; what was refused, doubted."""

    lines: NDArray[np.int64]
    values: Mapping[str, Values]
    known: Mapping[str, Mask]
    refusals: tuple[Refusal, ...]
    doubts: tuple[Doubt, ...]


@dataclass(frozen=True)
class _Split:
    """Lines of a block in cells, column by column; refused: line number -> (text, reason)."""

    numbers: NDArray[np.int64]
    columns: list[pa.StringArray]
    refused: dict[int, tuple[str, str]]


def read_rows(path: Path, layout: Layout) -> Iterator[Rows]:
    """Every row of a file in the given layout, block by block, in bounded memory.

    Raises BadInput where the file cannot be read to its end, possibly after some blocks.
    """
    decimal = "." if layout.separator == "," else None
    for block in read_blocks(path):
        skipped = max(0, layout.head_lines - block.first_line + 1)
        lines = block.lines[skipped:]
        if not lines:
            continue
        first_line = block.first_line + skipped
        split = _split_block(Block(first_line, lines, block.ended), layout)
        decimal = decimal or _find_decimal(layout.columns, split.columns)
        rows = _convert(path.name, layout, split, decimal or ".")
        if len(rows.lines) + len(rows.refusals) != len(lines):
            raise RuntimeError(f"{path.name}: lines lost after line {first_line}")
        yield rows if block.ended else _mark_cut(path.name, first_line + len(lines) - 1, rows)


def _split_block(block: Block, layout: Layout) -> _Split:
    lines = block.lines
    width = len(layout.columns)
    whole = b"\n".join(lines)
    if b"\r" in whole:
        lines = [line.removesuffix(b"\r") for line in lines]
        whole = b"\n".join(lines)
    columns = _split_plain(whole, layout) if _is_plain(whole, lines) else None
    if columns is not None and len(columns[0]) == len(lines):
        return _Split(np.arange(block.first_line, block.first_line + len(lines)), columns, {})
    numbers, rows, refused = [], [], {}
    for number, line in enumerate(lines, block.first_line):
        cells = _split_one(line, layout.separator, width)
        if isinstance(cells, tuple):
            refused[number] = cells
        else:
            numbers.append(number)
            rows.append(cells)
    by_column = zip(*rows, strict=True) if rows else [()] * width
    columns = [pa.array([cell or None for cell in one], pa.string()) for one in by_column]
    return _Split(np.array(numbers, dtype=np.int64), columns, refused)


def _is_plain(whole: bytes, lines: Sequence[bytes]) -> bool:
    """Whether no line of the block needs a closer look before it is split."""
    return (
        b'"' not in whole
        and b"\r" not in whole
        and b"" not in lines
        and not whole.startswith(UTF8_BOM)  # Arrow would drop it
        and len(whole.translate(None, CONTROLS)) == len(whole)
        and max(map(len, lines)) <= MAX_LINE_BYTES
    )


def _split_plain(whole: bytes, layout: Layout) -> list[pa.StringArray] | None:
    """The columns of a block without quotes; None where a line needs a closer look."""
    names = [column.name for column in layout.columns]
    try:
        table = arrow_csv.read_csv(
            pa.py_buffer(whole),
            arrow_csv.ReadOptions(column_names=names, use_threads=False, block_size=len(whole) + 1),
            arrow_csv.ParseOptions(delimiter=layout.separator, quote_char=False),
            arrow_csv.ConvertOptions(
                column_types=dict.fromkeys(names, pa.string()),
                null_values=[""],
                strings_can_be_null=True,
            ),
        )
    except pa.ArrowInvalid:
        return None
    return [table.column(name).combine_chunks() for name in names]


def _split_one(line: bytes, separator: str, width: int) -> list[str] | tuple[str, str]:
    """The cells of one line, or (text, reason) where it is refused."""
    damage = _find_damage(line)
    if damage is not None:
        return line[:200].decode(errors="backslashreplace"), damage
    text = line.decode()
    cells = split_line(text, separator)
    if cells is None:
        return text, (
            "needs quotes that open and close round a whole cell of this line. "
            "Double a quote that is part of the text; no cell has a line break."
        )
    if len(cells) != width:
        return text, (
            f"needs {width} cells as the line of names, has {len(cells)}. "
            f"Quote a text that contains `{separator}`; look for a line that was cut."
        )
    return cells


def _find_damage(line: bytes) -> str | None:
    """Why the bytes of a line are no text of ours; None where they are."""
    if not line:
        return "needs a row, the line is empty. Remove it."
    if len(line) > MAX_LINE_BYTES:
        return f"needs a line of at most {MAX_LINE_BYTES} bytes. Look for missing line ends."
    wrong = next((place for place, code in enumerate(line) if code in _NOT_TEXT), None)
    if wrong is not None:
        said = f"byte 0x{line[wrong]:02X} at byte {wrong + 1} of the line"
        return f"needs text, has {said}. The line is damaged or not text: write it again."
    try:
        line.decode()
    except UnicodeDecodeError as error:
        said = f"byte 0x{line[error.start]:02X} at byte {error.start + 1} of the line"
        return f"needs UTF-8 text, has {said}. Save the file in UTF-8."
    return None


def _find_decimal(columns: Sequence[Column], cells: Sequence[pa.StringArray]) -> str | None:
    """The decimal sign of the first number that has exactly one; None while there is none."""
    first: tuple[int, str] | None = None
    for column, one in zip(columns, cells, strict=True):
        if column.kind in (Kind.INT, Kind.FLOAT):
            row = pc.index(pc.match_substring_regex(one, r"^[^.,]*[.,][^.,]*$"), True).as_py()
            if row >= 0 and (first is None or row < first[0]):
                first = row, "," if "," in one[row].as_py() else "."
    return None if first is None else first[1]


def _convert(name: str, layout: Layout, split: _Split, decimal: str) -> Rows:
    values: dict[str, Values] = {}
    known: dict[str, Mask] = {}
    failed: dict[int, list[int]] = {}
    for place, (column, cells) in enumerate(zip(layout.columns, split.columns, strict=True)):
        done = convert_cells(column, cells, decimal)
        values[column.name], known[column.name] = done.values, done.known
        lacking = np.flatnonzero(~done.known) if column.name in layout.form.required else ()
        for row in (*done.failed, *lacking):
            failed.setdefault(int(row), []).append(place)
    refusals = [
        Refusal(name, f"line {number}", show_text(text), reason)
        for number, (text, reason) in split.refused.items()
    ]
    for row, places in failed.items():
        refusals.append(_refuse_row(name, layout, split, (row, places, decimal)))
    lines = split.numbers
    if failed:
        good = np.ones(len(lines), dtype=np.bool_)
        good[list(failed)] = False
        lines = lines[good]
        values = {column: array[good] for column, array in values.items()}
        known = {column: mask[good] for column, mask in known.items()}
    refusals.sort(key=lambda refusal: int(refusal.place.split()[1].rstrip(",")))
    return Rows(lines, values, known, tuple(refusals), ())


def _refuse_row(
    name: str, layout: Layout, split: _Split, failed: tuple[int, list[int], str]
) -> Refusal:
    """One refusal for a line, told by its first bad cell; further bad columns are named."""
    row, places, decimal = failed
    column = layout.columns[places[0]]
    cell = split.columns[places[0]][row].as_py() or ""
    need, cure = explain_cell(column, cell, decimal)
    if not cell:
        need, cure = "a value: no row can do without", "Fill it in."
    others = ", ".join(layout.columns[place].name for place in places[1:])
    more = f" Also wrong in this line: {others}." if others else ""
    place = f"line {split.numbers[row]}, column {column.name}"
    return Refusal(name, place, show_text(cell), f"needs {need}. {cure}{more}")


def _mark_cut(name: str, line: int, rows: Rows) -> Rows:
    """A last line without its line feed is kept where it can be read, with a mark."""
    if not len(rows.lines) or rows.lines[-1] != line:
        return rows
    said = "the last line has no line end: the file may have been cut there"
    doubt = Doubt(name, f"line {line}", Mark.FILE_CUT, said)
    return Rows(rows.lines, rows.values, rows.known, rows.refusals, (*rows.doubts, doubt))
