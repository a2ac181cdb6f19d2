"""The bale table as CSV, version 1: one row a bale, streamed in bounded memory.

The form is described in docs/bale-table.md.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TextIO

import numpy as np

from balewright.readers.csv_form import BALE_FORM, Layout, read_layout
from balewright.readers.csv_rows import Rows, read_rows
from balewright.readers.csv_text import head_lines, row_lines, write_cells
from balewright.readers.reading import Reading
from balewright.records.bales import BaleTable, masked_table
from balewright.records.columns import COLUMNS
from balewright.records.intake import Batch, Places, PlaceUnit
from balewright.records.order import OrderState, mark_order


def read_bale_csv(path: Path) -> Iterator[Batch]:
    """Read a bale table from CSV, plain or gzip.

    path: a file with a line of column names (any of the bale table's, in any order).
    Gives batches of at most MAX_BATCH_ROWS rows: kept rows in file order, every refused line,
    and marks on what is odd. Raises BadInput at once for a wrong head, and from the iterator for
    a file that cannot be read to its end: keep nothing before the iterator has ended.
    """
    return _read_batches(path, read_layout(path, BALE_FORM), Reading())


def read_laid_out_bales(
    path: Path, layout: Layout, reading: Reading | None = None
) -> Iterator[Batch]:
    """As `read_bale_csv`, where the layout has been read already.

    reading: its `machine` is that of the rows that name none, its `tell` hears the bytes.
    """
    return _read_batches(path, layout, reading or Reading())


def _read_batches(path: Path, layout: Layout, reading: Reading) -> Iterator[Batch]:
    return laid_out_batches(path, read_rows(path, layout, reading.tell), reading)


def laid_out_batches(path: Path, blocks: Iterable[Rows], reading: Reading) -> Iterator[Batch]:
    """Rows of the bale table as batches, judged in file order. blocks: of the file at `path`."""
    state = OrderState()
    for rows in blocks:
        bales = masked_table(len(rows.lines), rows.values, rows.known)
        if reading.machine is not None:
            bales = _with_machine(bales, reading.machine)
        doubts, state = mark_order(bales, state, path.name, rows.lines)
        inside = np.full(bales.rows, "", dtype=object)
        places = Places(inside, rows.lines, PlaceUnit.LINE)
        yield Batch(bales, (), rows.refusals, (*rows.doubts, *doubts), places)


def _with_machine(bales: BaleTable, serial: str) -> BaleTable:
    """Rows that name no machine are of this one."""
    named = bales.mask("machine")
    machine = np.where(named, bales.column("machine"), serial).astype(object)
    values = {**bales.values, "machine": machine}
    known = {**bales.known, "machine": np.ones(bales.rows, dtype=np.bool_)}
    return masked_table(bales.rows, values, known)


def write_bale_csv(table: BaleTable, stream: TextIO) -> None:
    """Write a bale table as CSV that reads back as the same table.

    stream: open for text in UTF-8 with newline="". Columns stand in the order of the form.
    Raises BadInput, before anything is written, for a value that the form cannot hold.
    """
    columns = [column for column in COLUMNS if column.name in table.values]
    if not columns:
        columns = list(COLUMNS[:1])
    cells = [
        write_cells(column, table.column(column.name), table.mask(column.name))
        for column in columns
    ]
    stream.write(head_lines(BALE_FORM, columns))
    stream.writelines(row_lines(cells))
