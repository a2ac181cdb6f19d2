"""A process of its own that reads a spreadsheet, run as a module.

Its arguments are a path, how many rows of each sheet (0: all) and the name of a sheet (none: every
one). It writes one JSON value a line: `{"sheet": name, "hidden": bool, "merged": [...]}`, then its
rows as `[row, [cells]]`, at last `{"end": true}`, or `{"fault": text}`. The library that reads
spreadsheets keeps a sheet whole in memory and ends its process where there is too little; here
that costs nobody else anything.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from itertools import islice
from typing import Any, Final

from python_calamine import (
    CalamineError,
    CalamineSheet,
    CalamineWorkbook,
    PasswordError,
    SheetVisibleEnum,
)

MEMORY_BYTES: Final = 2 << 30
_MICROSECOND: Final = timedelta(microseconds=1)
_EPOCH: Final = datetime(1970, 1, 1)  # noqa: DTZ001  a clock's own epoch: cells have no zone


def main(path: str, most: int, wanted: str | None) -> int:
    """Write the sheets to the standard output; the exit code."""
    _limit_memory()
    try:
        for line in _tell(path, most, wanted):
            sys.stdout.write(json.dumps(line, ensure_ascii=True) + "\n")
    except PasswordError:
        sys.stdout.write(json.dumps({"fault": "password"}) + "\n")
    except (CalamineError, OSError, ValueError, MemoryError) as error:
        sys.stdout.write(json.dumps({"fault": str(error)[:300] or type(error).__name__}) + "\n")
    return 0


def _limit_memory() -> None:
    try:
        import resource  # noqa: PLC0415  not on every system
    except ImportError:
        return
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))


def _tell(path: str, most: int, wanted: str | None) -> Iterator[Any]:
    book = CalamineWorkbook.from_path(path)
    for about in book.sheets_metadata:
        if wanted is not None and about.name != wanted:
            continue
        if "WorkSheet" not in str(about.typ):
            continue
        sheet = book.get_sheet_by_name(about.name)
        merged = [[list(first), list(last)] for first, last in sheet.merged_cell_ranges or ()]
        hidden = about.visible != SheetVisibleEnum.Visible
        told = {"sheet": about.name, "hidden": hidden, "merged": merged[:1000]}
        yield {**told, "height": sheet.total_height}
        yield from _rows(sheet, most)
    yield {"end": True}


def _rows(sheet: CalamineSheet, most: int) -> Iterator[list[Any]]:
    """Rows that have anything, with their number from 1 and cells from the first column on."""
    if sheet.start is None:
        return
    first_row, first_column = sheet.start
    before: list[Any] = [None] * first_column
    rows = islice(sheet.iter_rows(), most or None)
    for number, row in enumerate(rows, first_row + 1):
        cells = [_cell(cell) for cell in row]
        while cells and cells[-1] is None:
            cells.pop()
        if cells:
            yield [number, before + cells]


def _cell(cell: Any) -> Any:
    """A cell as JSON: None, number, text, or ["at", microseconds] of a date or a time."""
    if cell is None or cell == "":
        return None
    if isinstance(cell, bool):
        return "TRUE" if cell else "FALSE"
    if isinstance(cell, int | float | str):
        return cell
    return ["at", _clock(cell) // _MICROSECOND]


def _clock(cell: Any) -> timedelta:
    """A date or time since 1970, a time of day or a duration since midnight."""
    if isinstance(cell, datetime):
        return cell.replace(tzinfo=None) - _EPOCH
    if isinstance(cell, date):
        return timedelta(days=cell.toordinal() - _EPOCH.toordinal())
    if isinstance(cell, time):
        return timedelta(
            hours=cell.hour, minutes=cell.minute, seconds=cell.second, microseconds=cell.microsecond
        )
    if isinstance(cell, timedelta):
        return cell
    raise ValueError(f"a cell of an unknown kind: {type(cell).__name__}")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], int(sys.argv[2]), sys.argv[3] if len(sys.argv) > 3 else None))
