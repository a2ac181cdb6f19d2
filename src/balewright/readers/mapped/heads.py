"""The first rows of a table, as texts, and its headings: of one row or of two."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Final

from balewright.readers.lines import MAX_LINE_BYTES, read_head
from balewright.readers.mapped.encodings import ENCODINGS, marked_encoding, read_lines
from balewright.readers.mapped.quotes import join_quoted, split_row
from balewright.readers.mapped.raw import MAX_COLUMNS
from balewright.readers.mapped.workbook import Cell, SheetRows, cell_text, read_heads
from balewright.readers.mapped.workbook_guard import workbook_kind

HEAD_ROWS: Final = 40
"""How far down headings are looked for."""
SAMPLE_ROWS: Final = 2000

Rows = list[tuple[int, list[Cell]]]
"""(row from 0, cells) of rows that have anything."""


@dataclass(frozen=True)
class Source:
    """A file that is a table of some kind. kind: `text`, `xlsx`, `ods` or `xls`."""

    path: Path
    kind: str
    mark: str | None = None

    @cached_property
    def sheets(self) -> tuple[SheetRows, ...]:
        """The first rows of each sheet of a spreadsheet. Raises BadInput as `read_heads`."""
        return read_heads(self.path, self.kind, SAMPLE_ROWS)

    @cached_property
    def _text(self) -> dict[tuple[str, str, int], Rows]:
        return {}

    def text_rows(self, encoding: str, separator: str, most: int = HEAD_ROWS + 2) -> Rows:
        """The first rows of a text, in this encoding unless its own mark says another."""
        key = (self.encoding(encoding), separator, most)
        if key not in self._text:
            self._text[key] = _first_rows(self.path, *key)
        return self._text[key]

    def encoding(self, encoding: str) -> str:
        """What the byte order mark says, else `encoding`."""
        return self.mark or (encoding if encoding in ENCODINGS else "utf-8")


def source_of(path: Path) -> Source:
    """What kind of table a file is. Raises BadInput where it cannot be looked at."""
    head = read_head(path)
    kind = workbook_kind(path, head[:8])
    return Source(path, kind or "text", None if kind else marked_encoding(head))


def _first_rows(path: Path, encoding: str, separator: str, most: int) -> Rows:
    rows: Rows = []
    for block in join_quoted(read_lines(path, encoding), separator):
        for line in block.lines[:most]:
            text = line[:MAX_LINE_BYTES].decode(errors="replace")
            is_row = len(line) <= MAX_LINE_BYTES  # a longer one is refused when it is read
            cells = (split_row(text, separator) if is_row else None) or [text]
            rows.append((len(rows), [*cells[: MAX_COLUMNS + 1]]))
        break
    return rows


def sheet_rows(sheet: SheetRows) -> Rows:
    """The rows of a sheet, counted from 0."""
    return [(row - 1, cells) for row, cells in sheet.rows]


def texts(cells: Sequence[Cell]) -> list[str]:
    """Cells as a heading would show them: one line, single blanks."""
    return [" ".join(cell_text(cell).split()) for cell in cells]


def headings_at(rows: Rows, at: int, count: int) -> list[str] | None:
    """The headings that begin in row `at` of the file, empty ends cut; None where it is not there.

    Of two rows the upper one holds until its next cell: merged headings stand above several.
    """
    found = dict(rows)
    if at not in found or (count == 2 and at + 1 not in found):
        return None
    upper = texts(found[at])
    if count == 2:
        lower = texts(found[at + 1])
        size = max(len(upper), len(lower))
        upper += [""] * (size - len(upper))
        lower += [""] * (size - len(lower))
        for place in range(1, size):
            upper[place] = upper[place] or upper[place - 1]
        upper = [f"{above} {below}".strip() for above, below in zip(upper, lower, strict=True)]
    while upper and not upper[-1]:
        upper.pop()
    return upper
