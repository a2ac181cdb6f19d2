"""Text tables of other programs -> raw rows: any separator, quoted cells, cells with line breaks.

A line break inside quotes is read where the quotes close within MAX_JOINED lines and all of it is
well formed; else the quote costs its own line alone.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Final

import numpy as np
import pyarrow as pa
from pyarrow import csv as arrow_csv

from balewright.readers.csv_split import CONTROLS
from balewright.readers.lines import MAX_LINE_BYTES, Tell
from balewright.readers.mapped.encodings import TextLines, read_lines
from balewright.readers.mapped.quotes import join_quoted, row_pattern, split_row
from balewright.readers.mapped.raw import RawColumn, RawRows
from balewright.records.intake import MAX_BATCH_ROWS

SEPARATORS: Final = (";", ",", "\t", "|")
_CONTROL: Final = re.compile(b"[" + re.escape(CONTROLS) + b"\r]")


@dataclass(frozen=True)
class TextForm:
    """How a text table is laid out: encoding, separator, cells in a row, rows of its head."""

    encoding: str
    separator: str
    width: int
    head: int


def read_text_rows(path: Path, form: TextForm, tell: Tell | None = None) -> Iterator[RawRows]:
    """Every row below the head, at most MAX_BATCH_ROWS at a time, in bounded memory.

    Raises BadInput where the file cannot be read to its end, possibly after some rows.
    """
    skip = form.head
    for block in join_quoted(read_lines(path, form.encoding, tell), form.separator):
        here = min(skip, len(block.lines))
        skip -= here
        for start in range(here, max(len(block.lines), here + 1), MAX_BATCH_ROWS):
            part = slice(start, start + MAX_BATCH_ROWS)
            refused = block.refused if start == here else {}
            ended = block.ended or start + MAX_BATCH_ROWS < len(block.lines)
            lines = TextLines(block.places[part], block.lines[part], refused, ended, block.is_plain)
            yield _split(lines, form)


def _split(block: TextLines, form: TextForm) -> RawRows:
    """Cells by column; empty ones null, empty lines left out, wrong lines refused."""
    refused = dict(block.refused)
    places, lines, is_even = _sound(block, form, refused)
    width, table = form.width, None
    names = [str(number) for number in range(width)]
    wrong: list[int] = []
    if lines:
        table = _read(lines, form.separator, names, (wrong, is_even))
    if wrong:
        places, lines = _cut_empty_ends(places, lines, form, (wrong, refused))
        table = _read(lines, form.separator, names, ([], is_even)) if lines else None
    columns = [
        pa.array([], pa.string()) if table is None else table.column(name).combine_chunks()
        for name in names
    ]
    return RawRows(
        np.array(places, dtype=np.int64),
        tuple(RawColumn(one) for one in columns),
        refused,
        is_cut=not block.ended and bool(places) and places[-1] == block.places[-1],
    )


def _sound(
    block: TextLines, form: TextForm, refused: dict[int, tuple[str, str]]
) -> tuple[list[int], list[bytes], bool]:
    """The lines that can be split, and whether quotes stand round all their cells or none.

    The others are put into `refused`; empty lines are left out.
    """
    odd = _blank(form.separator)
    if block.is_plain and all(
        line and line[0] not in odd and len(line) <= MAX_LINE_BYTES for line in block.lines
    ):
        return block.places, block.lines, True
    whole = b"\n".join(block.lines)
    is_clean = _CONTROL.search(whole) is None
    if is_clean and _is_fenced(whole, block.lines, form):
        return block.places, block.lines, True
    places, lines, is_even = [], [], True
    for place, line in zip(block.places, block.lines, strict=True):
        if not line or (line[0] in odd and not line.strip(odd)):
            continue
        is_quoted = b'"' in line
        is_simple = not is_quoted or _is_all_quoted(line, form)
        is_sound = is_clean and is_simple and len(line) <= MAX_LINE_BYTES
        if not is_sound and (reason := _why_unsound(line, form, is_simple)):
            refused[place] = (line[:200].decode(errors="backslashreplace"), reason)
            continue
        is_even = is_even and is_simple
        places.append(place)
        lines.append(line)
    return places, lines, is_even


def _is_fenced(whole: bytes, lines: list[bytes], form: TextForm) -> bool:
    """Whether every line is as `_is_all_quoted` says and none is blank, told by counting once.

    Every quote is at an end of a line or beside a separator, and every separator between two.
    """
    sign, fence = _signs(form.separator)
    rows, between = len(lines), len(lines) * (form.width - 1)
    return (
        whole.count(b'"') == 2 * form.width * rows
        and whole.count(fence) == between == whole.count(sign)
        and whole.count(b'"\n"') == rows - 1 == whole.count(b"\n")
        and whole[:1] == whole[-1:] == b'"'
        and b'""' + sign + b'""' not in whole
        and form.width > 1
        and max(map(len, lines)) <= MAX_LINE_BYTES
    )


def _is_all_quoted(line: bytes, form: TextForm) -> bool:
    """Whether each cell stands in quotes and none holds a quote, a separator or a line break."""
    sign, fence = _signs(form.separator)
    between = form.width - 1
    return (
        line.count(fence) == between == line.count(sign)
        and line.count(b'"') == 2 * form.width
        and line[:1] == line[-1:] == b'"'
        and b"\n" not in line
    )


@cache
def _signs(separator: str) -> tuple[bytes, bytes]:
    """The separator, and how it stands between two cells in quotes."""
    sign = separator.encode()
    return sign, b'"' + sign + b'"'


def _why_unsound(line: bytes, form: TextForm, is_simple: bool) -> str | None:
    if len(line) > MAX_LINE_BYTES:
        return f"needs a line of at most {MAX_LINE_BYTES} bytes. Look for missing line ends."
    if _CONTROL.search(line):
        return "needs text, has control signs: the line is damaged. Export it again."
    if not is_simple and row_pattern(form.separator).fullmatch(line) is None:
        return (
            "needs quotes that open and close round a whole cell. "
            "Double a quote that is part of the text."
        )
    return None


@cache
def _blank(separator: str) -> bytes:
    return (separator + ' "\t').encode()


def _read(
    lines: Sequence[bytes], separator: str, names: list[str], how: tuple[list[int], bool]
) -> pa.Table:
    """The lines as a table. how: where places of lines with another number of cells are put, and
    whether their quotes can simply go."""
    wrong, is_even = how
    whole = b"\n".join(lines)
    if is_even:
        whole = whole.replace(b'"', b"")
    quoted = not is_even

    def skip(row: arrow_csv.InvalidRow) -> str:
        wrong.append(row.number - 1)
        return "skip"

    return arrow_csv.read_csv(
        pa.py_buffer(whole),
        arrow_csv.ReadOptions(column_names=names, use_threads=False, block_size=len(whole) + 1),
        arrow_csv.ParseOptions(
            delimiter=separator,
            quote_char='"' if quoted else False,
            newlines_in_values=quoted,
            ignore_empty_lines=False,
            invalid_row_handler=skip,
        ),
        arrow_csv.ConvertOptions(
            column_types=dict.fromkeys(names, pa.string()),
            null_values=[""],
            strings_can_be_null=True,
        ),
    )


def _cut_empty_ends(
    places: list[int],
    lines: list[bytes],
    form: TextForm,
    found: tuple[list[int], dict[int, tuple[str, str]]],
) -> tuple[list[int], list[bytes]]:
    """Lines with more cells are kept where the further ones are empty; all others are refused."""
    wrong, refused = found
    kept: list[tuple[int, bytes]] = []
    odd = set(wrong)
    wrong.clear()
    for row, (place, line) in enumerate(zip(places, lines, strict=True)):
        if row not in odd:
            kept.append((place, line))
            continue
        text = line.decode()
        cells = split_row(text, form.separator) or []
        surplus = len(cells) - form.width
        if surplus > 0 and not any(cell.strip() for cell in cells[form.width :]):
            kept.append((place, line[: _end_of(line, surplus, form.separator)]))
            continue
        refused[place] = (
            text[:200],
            f"needs {form.width} cells as the headings, has {len(cells)}. "
            "Look for a line that was cut or a text that needs quotes.",
        )
    return [place for place, _ in kept], [line for _, line in kept]


def _end_of(line: bytes, surplus: int, separator: str) -> int:
    """Where the cells that count end: before the last `surplus` separators."""
    end = len(line)
    for _ in range(surplus):
        end = line.rindex(separator.encode(), 0, end)
    return end
