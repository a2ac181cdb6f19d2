"""Lines of a CSV file -> cells, column by column, or a reason why not.

Lines without quotes and of the right width are split all at once by Arrow; any other line is
looked at by itself.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import pyarrow as pa
from numpy.typing import NDArray
from pyarrow import csv as arrow_csv

from balewright.readers.csv_form import UTF8_BOM, Layout, split_line
from balewright.readers.lines import MAX_LINE_BYTES, Block
from balewright.records.bales import Mask
from balewright.records.columns import Kind

CONTROLS: Final = bytes(code for code in range(32) if code not in b"\t\n\r") + b"\x7f"
_NOT_TEXT: Final = frozenset(CONTROLS + b"\r")
_SUSPECT: Final = np.zeros(256, dtype=np.bool_)
_SUSPECT[list(CONTROLS + b'\r"')] = True
"""Quotes and what is not text, by byte."""

_ARROW_TYPES: Final = {
    Kind.TEXT: pa.string(),
    Kind.INT: pa.float64(),  # as the careful way: 7.0 is a whole number too
    Kind.FLOAT: pa.float64(),
    Kind.TIME: pa.timestamp("us", "UTC"),
}


@dataclass(frozen=True)
class Split:
    """Lines of a block in cells, column by column; refused: line number -> (text, reason).

    typed: whether the columns are values already, as Arrow reads them, and not text.
    """

    numbers: NDArray[np.int64]
    columns: list[pa.Array]
    refused: dict[int, tuple[str, str]]
    typed: bool = False


def split_block(block: Block, layout: Layout, typed: bool = False) -> Split:
    """Split the lines of a block; empty cells are null.

    typed: give values at once where every cell is one to Arrow; else, and otherwise, text.
    """
    block = _without_returns(block)
    numbers = np.arange(block.first_line, block.first_line + len(block.ends))
    odd, whole = _find_odd(block), block.whole
    if typed and not odd.any():
        found = _read_values(whole, layout)
        if found is not None and found.num_rows == len(numbers):
            return Split(numbers, _columns(found, layout), {}, typed=True)
    plain = np.flatnonzero(~odd)
    if odd.any():
        whole = b"\n".join([block.lines[place] for place in plain.tolist()])
    columns, wrong = _split_at_once(whole, len(plain), layout)
    odd[plain[wrong]] = True
    plain = np.flatnonzero(~odd)
    if not odd.any():
        return Split(numbers, columns, {})
    singly = _split_singly(block.lines, np.flatnonzero(odd).tolist(), layout)
    return _join(numbers, (plain, columns), singly, block.first_line)


def _without_returns(block: Block) -> Block:
    """The lines of a block without the carriage return before their ends."""
    if b"\r" not in block.whole:
        return block
    whole = block.whole.replace(b"\r\n", b"\n").removesuffix(b"\r")
    return Block(block.first_line, whole, block.ended)


_Singly = tuple[list[int], list[list[str]], dict[int, tuple[str, str]]]


def _split_singly(lines: Sequence[bytes], places: Sequence[int], layout: Layout) -> _Singly:
    """Which lines have cells, the cells, and why the others are refused, by place."""
    kept, rows, refused = [], [], {}
    for place in places:
        cells = _split_one(lines[place], layout.separator, len(layout.columns))
        if isinstance(cells, tuple):
            refused[place] = cells
        else:
            kept.append(place)
            rows.append(cells)
    return kept, rows, refused


def _join(
    numbers: NDArray[np.int64],
    at_once: tuple[NDArray[np.int64], list[pa.StringArray]],
    singly: _Singly,
    first_line: int,
) -> Split:
    """Both kinds of lines together, in the order of the file."""
    plain, columns = at_once
    kept, rows, refused = singly
    if rows:
        more = [
            pa.array([cell or None for cell in cells], pa.string())
            for cells in zip(*rows, strict=True)
        ]
        order = np.argsort(np.concatenate([plain, kept]))
        columns = [pa.concat_arrays(two).take(order) for two in zip(columns, more, strict=True)]
    places = np.sort(np.concatenate([plain, np.array(kept, dtype=np.int64)]))
    return Split(numbers[places], columns, {first_line + at: why for at, why in refused.items()})


def _find_odd(block: Block) -> Mask:
    """Which lines need a closer look before they are split; their cells are not yet counted."""
    whole, lengths = block.whole, np.diff(block.ends, prepend=-1) - 1
    odd = (lengths == 0) | (lengths > MAX_LINE_BYTES)
    codes = np.frombuffer(whole, dtype=np.uint8)
    controls = np.count_nonzero(codes < ord(" "))  # a line feed between two lines is one
    if controls >= len(block.ends) or b'"' in whole or b"\x7f" in whole:
        odd[np.searchsorted(block.ends, np.flatnonzero(_SUSPECT[codes]))] = True
    if not _is_plain(whole):
        odd |= np.array([not _is_plain(line) for line in block.lines], dtype=np.bool_)
    return np.asarray(odd, dtype=np.bool_)


def _is_plain(data: bytes) -> bool:
    """Whether it is text without a byte order mark, which Arrow would drop at the start."""
    if data.isascii():
        return True
    try:
        data.decode()
    except UnicodeDecodeError:
        return False
    return UTF8_BOM not in data


def _split_at_once(
    whole: bytes, lines: int, layout: Layout
) -> tuple[list[pa.StringArray], NDArray[np.int64]]:
    """The columns of plain lines, and the places of those with too many or too few cells."""
    names = [column.name for column in layout.columns]
    if not lines:
        return [pa.array([], pa.string()) for _ in names], np.array([], dtype=np.int64)
    wrong: list[int] = []

    def skip(row: arrow_csv.InvalidRow) -> str:
        wrong.append(row.number - 1)
        return "skip"

    table = _read_table(whole, layout, dict.fromkeys(names, pa.string()), skip)
    if table.num_rows + len(wrong) != lines:
        raise RuntimeError(f"{lines} lines became {table.num_rows} rows")
    return _columns(table, layout), np.array(wrong, dtype=np.int64)


def _read_values(whole: bytes, layout: Layout) -> pa.Table | None:
    """Plain lines as values; None where a cell is none to Arrow or a line has not all cells."""
    try:
        types = {column.name: _ARROW_TYPES[column.kind] for column in layout.columns}
        return _read_table(whole, layout, types, None)
    except pa.ArrowInvalid:
        return None


def _read_table(
    whole: bytes,
    layout: Layout,
    types: Mapping[str, pa.DataType],
    skip: Callable[[arrow_csv.InvalidRow], str] | None,
) -> pa.Table:
    names = [column.name for column in layout.columns]
    return arrow_csv.read_csv(
        pa.py_buffer(whole),
        arrow_csv.ReadOptions(column_names=names, use_threads=False, block_size=len(whole) + 1),
        arrow_csv.ParseOptions(
            delimiter=layout.separator, quote_char=False, invalid_row_handler=skip
        ),
        arrow_csv.ConvertOptions(
            column_types=dict(types), null_values=[""], strings_can_be_null=True
        ),
    )


def _columns(table: pa.Table, layout: Layout) -> list[pa.Array]:
    columns = [table.column(column.name) for column in layout.columns]
    return [one.chunk(0) if one.num_chunks == 1 else one.combine_chunks() for one in columns]


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
    if len(line.translate(None, bytes(_NOT_TEXT))) < len(line):
        wrong = next(place for place, code in enumerate(line) if code in _NOT_TEXT)
        said = f"byte 0x{line[wrong]:02X} at byte {wrong + 1} of the line"
        return f"needs text, has {said}. The line is damaged or not text: write it again."
    try:
        line.decode()
    except UnicodeDecodeError as error:
        said = f"byte 0x{line[error.start]:02X} at byte {error.start + 1} of the line"
        return f"needs UTF-8 text, has {said}. Save the file in UTF-8."
    return None
