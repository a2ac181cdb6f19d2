"""Spreadsheets (XLSX, XLS, ODS) as rows of typed cells, read by a process of its own."""

from __future__ import annotations

import json
import subprocess
import sys
import threading
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np
import pyarrow as pa

from balewright.quantities.errors import BadInput, Fault
from balewright.readers.lines import Tell
from balewright.readers.mapped.raw import MAX_CELL_SIGNS, NOT_A_TIME, RawColumn, RawRows
from balewright.readers.mapped.workbook_guard import Failed, look_at_workbook

LONGEST_S: Final = 300.0
BLOCK_ROWS: Final = 16_384

Cell = Any
"""None, a number, a text, or ["at", microseconds] of a date or a time."""


@dataclass(frozen=True)
class SheetRows:
    """The first rows of a sheet: (row from 1, cells); merged: ((row, column), (row, column))."""

    name: str
    is_hidden: bool
    rows: tuple[tuple[int, list[Cell]], ...]
    merged: tuple[tuple[tuple[int, int], tuple[int, int]], ...] = ()


def read_heads(path: Path, kind: str, most: int) -> tuple[SheetRows, ...]:
    """The first rows of every sheet. Raises BadInput for what is unsafe or cannot be read."""
    look_at_workbook(path, kind)
    sheets: list[SheetRows] = []
    rows: list[tuple[int, list[Cell]]] = []
    about: dict[str, Any] | None = None
    for told in _ask(path, most, None):
        if isinstance(told, list):
            rows.append((told[0], told[1]))
            continue
        if about is not None:
            sheets.append(_sheet(about, rows))
        about, rows = (told if "sheet" in told else None), []
    return tuple(sheets)


def _sheet(about: dict[str, Any], rows: list[tuple[int, list[Cell]]]) -> SheetRows:
    merged = tuple((tuple(first), tuple(last)) for first, last in about["merged"])
    return SheetRows(about["sheet"], about["hidden"], tuple(rows), merged)


@dataclass(frozen=True)
class SheetForm:
    """Which sheet, below which row its values stand, and how many columns have headings."""

    sheet: str
    head: int
    width: int


def read_sheet_rows(
    path: Path, kind: str, form: SheetForm, tell: Tell | None = None
) -> Iterator[RawRows]:
    """Every row of a sheet below its head, at most BLOCK_ROWS at a time.

    tell: hears the share of rows that were read, as bytes of the file. Raises BadInput where it
    cannot be read to its end, possibly after some rows.
    """
    failed = look_at_workbook(path, kind).errors.get(form.sheet, {})
    waiting = sorted({row for row, _ in failed if row > form.head})
    block: list[tuple[int, list[Cell]]] = []
    size, height = path.stat().st_size, 1
    for told in _ask(path, 0, form.sheet):
        if isinstance(told, dict):
            height = max(1, told.get("height", height))
        if not isinstance(told, list) or told[0] <= form.head:
            continue
        while waiting and waiting[0] <= told[0]:  # failed cells can be all that a row has
            row = waiting.pop(0)
            if row < told[0]:
                block.append((row, []))
        block.append((told[0], told[1]))
        if len(block) >= BLOCK_ROWS:
            if tell is not None:
                tell(min(size, size * told[0] // height), size)
            yield _typed(block, form.width, failed)
            block = []
    if tell is not None:
        tell(size, size)
    yield _typed([*block, *((row, []) for row in waiting)], form.width, failed)


def _typed(block: list[tuple[int, list[Cell]]], width: int, failed: Failed) -> RawRows:
    """Cells by column and kind; rows with endless cells or cells without heading are refused."""
    refused: dict[int, tuple[str, str]] = {}
    kept: list[tuple[int, list[Cell]]] = []
    for row, cells in block:
        if any(isinstance(cell, str) and len(cell) > MAX_CELL_SIGNS for cell in cells):
            need = f"needs cells of at most {MAX_CELL_SIGNS} signs."
            refused[row] = (_shown(cells), f"{need} Look for a file pasted into a cell.")
        elif any(cell is not None for cell in cells[width:]):
            reason = f"needs {width} cells as the headings, has {len(cells)}."
            refused[row] = (_shown(cells), f"{reason} Give each column a heading, or clear it.")
        else:
            kept.append((row, cells))
    columns = tuple(
        typed_column([cells[place] if place < len(cells) else None for _, cells in kept])
        for place in range(width)
    )
    here = {row for row, _ in kept} if failed else set()
    return RawRows(
        np.array([row for row, _ in kept], dtype=np.int64),
        columns,
        refused,
        {where: why for where, why in failed.items() if where[0] in here},
    )


def typed_column(cells: list[Cell]) -> RawColumn:
    """Cells as a raw column."""
    text = pa.array([one if isinstance(one, str) else None for one in cells], pa.string())
    numbers = np.array(
        [float(one) if isinstance(one, int | float) else np.nan for one in cells], dtype=np.float64
    )
    local_us = np.array(
        [one[1] if isinstance(one, list) else NOT_A_TIME for one in cells], dtype=np.int64
    )
    return RawColumn(text, numbers, local_us)


def _shown(cells: list[Cell]) -> str:
    return "; ".join(cell_text(cell) for cell in cells)[:200]


def cell_text(cell: Cell) -> str:
    """A cell as a person would write it; whole numbers without a point."""
    if cell is None:
        return ""
    if isinstance(cell, list):
        return clock_said(cell[1])
    if isinstance(cell, float) and cell.is_integer() and abs(cell) < 1e15:
        return str(int(cell))
    return str(cell)


def clock_said(local_us: int) -> str:
    """A typed date or time: a time alone where it lies within the first days of 1970."""
    moment = np.datetime64(local_us, "us")
    text = str(moment.astype("datetime64[s]" if local_us % 1_000_000 == 0 else "datetime64[us]"))
    day, _, clock = text.partition("T")
    return clock if 0 <= local_us < 86_400_000_000 else f"{day} {clock}"


def _ask(path: Path, most: int, sheet: str | None) -> Iterator[Any]:
    """What the reading process tells, line by line; BadInput where it found a fault or died."""
    words = [sys.executable, "-m", "balewright.readers.mapped.workbook_child", str(path), str(most)]
    child = subprocess.Popen(  # noqa: S603  our own module, no shell
        [*words, *([sheet] if sheet is not None else [])],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        stdin=subprocess.DEVNULL,
    )
    ending = threading.Timer(LONGEST_S, child.kill)
    ending.start()
    told: Any = None
    try:
        assert child.stdout is not None
        for line in child.stdout:
            told = json.loads(line)
            if isinstance(told, dict) and "fault" in told:
                raise _unreadable(path, told["fault"])
            yield told
        if not isinstance(told, dict) or "end" not in told:
            raise _unreadable(path, "memory")
    except ValueError as error:
        if isinstance(error, BadInput):
            raise
        raise _unreadable(path, "memory") from error
    finally:
        ending.cancel()
        child.kill()
        child.wait()
        if child.stdout is not None:
            child.stdout.close()


def _unreadable(path: Path, fault: str) -> BadInput:
    need = "a spreadsheet that can be read"
    if fault == "password":
        return BadInput(Fault(path.name, need, "one locked with a password", "Save it without."))
    if fault == "memory":
        given = "one that needs too much memory or time"
        return BadInput(Fault(path.name, need, given, "Save the table as CSV."))
    cure = "Save it again from a spreadsheet program, or as CSV."
    return BadInput(Fault(path.name, need, fault, cure))
