"""The bale table as JSON lines: one object a bale, its keys the columns; null is unknown.

A device that makes no CSV sends this. Every rule of the bale table's CSV form holds, cell by cell.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from difflib import get_close_matches
from pathlib import Path
from typing import Any, Final

import numpy as np
import pyarrow as pa

from balewright.readers.bale_csv import laid_out_batches
from balewright.readers.csv_form import BALE_FORM, UTF8_BOM, Layout, show_text
from balewright.readers.csv_rows import Rows, convert_rows, mark_cut
from balewright.readers.csv_split import CONTROLS, Split
from balewright.readers.lines import MAX_LINE_BYTES, Block, read_blocks
from balewright.readers.reading import Reading
from balewright.records.intake import Batch

BALE_LINES: Final = "bale json lines"

_CONTROL_SIGNS: Final = frozenset(CONTROLS.decode() + "\r\n")


class _NotARow(Exception):
    """Why a line is no row, with the cure."""


def looks_like_bale_lines(head: bytes) -> bool:
    """Whether a file that begins so is meant as JSON lines: an object on its first line."""
    first = head.removeprefix(UTF8_BOM).lstrip(b" \t").split(b"\n", 1)[0].rstrip()
    return first.startswith(b"{") and first.endswith(b"}")


def read_bale_lines(path: Path, reading: Reading | None = None) -> Iterator[Batch]:
    """Read bales from JSON lines, plain or gzip, in bounded memory.

    Gives batches as `read_bale_csv` does: kept rows, every refused line, marks on what is odd.
    reading: as there. Raises BadInput for a file that cannot be read to its end, possibly after
    some batches.
    """
    reading = reading or Reading()
    return laid_out_batches(path, _rows(path, reading), reading)


@dataclass
class _Cells:
    """The rows of a block, column by column, as cells of text."""

    rows: int = 0
    cells: dict[str, list[str | None]] = field(default_factory=dict)

    def add(self, row: dict[str, str | None]) -> None:
        for name in row:
            if name not in self.cells:
                self.cells[name] = [None] * self.rows
        for name, column in self.cells.items():
            column.append(row.get(name))
        self.rows += 1


def _rows(path: Path, reading: Reading) -> Iterator[Rows]:
    for block in read_blocks(path, tell=reading.tell):
        yield _convert(path.name, block)


def _convert(name: str, block: Block) -> Rows:
    table, numbers = _Cells(), []
    refused: dict[int, tuple[str, str]] = {}
    for number, line in enumerate(block.lines, block.first_line):
        try:
            table.add(_row_of(line.removeprefix(UTF8_BOM) if number == 1 else line))
            numbers.append(number)
        except _NotARow as why:
            refused[number] = line[:200].decode(errors="backslashreplace"), str(why)
    columns = tuple(BALE_FORM.by_name[column] for column in table.cells)
    cells = [pa.array(column, pa.string()) for column in table.cells.values()]
    layout = Layout(BALE_FORM, columns, ",", 0)
    rows = convert_rows(name, layout, Split(np.array(numbers, np.int64), cells, refused), ".")
    last = block.first_line + len(block.lines) - 1
    return rows if block.ended else mark_cut(name, last, rows)


def _row_of(line: bytes) -> dict[str, str | None]:
    if len(line) > MAX_LINE_BYTES:
        raise _NotARow(f"needs a line of at most {MAX_LINE_BYTES} bytes. Look for line ends.")
    if not line.strip():
        raise _NotARow("needs a row, the line is empty. Remove it.")
    try:
        said = json.loads(line, object_pairs_hook=_once_each, parse_constant=_no_number)
    except UnicodeDecodeError as error:
        raise _NotARow("needs UTF-8 text. Write the line in UTF-8.") from error
    except (ValueError, RecursionError) as error:
        raise _NotARow("needs one JSON object on the line. Was it cut?") from error
    if not isinstance(said, dict):
        raise _NotARow("needs a JSON object of columns and values. Write one object a line.")
    return {name: _cell(name, value) for name, value in said.items()}


def _once_each(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    for place, (name, _) in enumerate(pairs):
        if any(name == other for other, _ in pairs[:place]):
            raise _NotARow(f"needs each column once, has `{show_text(name, 40)}` twice. Drop one.")
    return dict(pairs)


def _no_number(word: str) -> None:
    raise _NotARow(f"needs numbers, has {word}. Write null where the value is unknown.")


def _cell(name: str, value: Any) -> str | None:
    if name not in BALE_FORM.by_name:
        near = get_close_matches(name.strip().lower(), BALE_FORM.by_name, 1)
        hint = f"Did you mean `{near[0]}`? " if near else ""
        raise _NotARow(
            f"needs columns of the bale table, has `{show_text(name, 40)}`. {hint}"
            "Rename it or leave it out."
        )
    if value is None or value == "":
        return None
    if isinstance(value, str):
        if _CONTROL_SIGNS & set(value):
            raise _NotARow(f"needs text without control signs in `{name}`. Write it again.")
        return value
    if isinstance(value, int | float) and not isinstance(value, bool):
        return repr(value)
    raise _NotARow(f"needs a number, a text or null in `{name}`. Write one of these.")
