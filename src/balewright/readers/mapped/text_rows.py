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
from balewright.readers.mapped.raw import RawColumn, RawRows
from balewright.records.intake import MAX_BATCH_ROWS

SEPARATORS: Final = (";", ",", "\t", "|")
MAX_JOINED: Final = 50
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


def join_quoted(blocks: Iterator[TextLines], separator: str) -> Iterator[TextLines]:
    """The same lines with those joined that one quoted cell spans."""
    places: list[int] = []
    lines: list[bytes] = []
    for block in blocks:
        if block.is_plain and not lines:
            yield block
            continue
        places, lines = [*places, *block.places], [*lines, *block.lines]
        done, used = _join(places, lines, separator, keep_open=True)
        yield TextLines(done[0], done[1], block.refused, block.ended)
        places, lines = places[used:], lines[used:]
    if lines:
        done, _ = _join(places, lines, separator, keep_open=False)
        yield TextLines(done[0], done[1], {}, False)


def _join(
    places: list[int], lines: list[bytes], separator: str, keep_open: bool
) -> tuple[tuple[list[int], list[bytes]], int]:
    """Joined lines, and how many were used; those a later block may complete are left."""
    at, out_places, out_lines = 0, [], []
    pattern = _row_pattern(separator)
    while at < len(lines):
        line, count = lines[at], 1
        if line.count(b'"') % 2 and not pattern.fullmatch(line):
            found = _span(lines[at : at + MAX_JOINED], pattern)
            if found is None and keep_open and at + MAX_JOINED > len(lines):
                break
            if found is not None:
                count = found
                line = b"\n".join(lines[at : at + count])
        out_places.append(places[at])
        out_lines.append(line)
        at += count
    return (out_places, out_lines), at


def _span(lines: Sequence[bytes], pattern: re.Pattern[bytes]) -> int | None:
    """How many lines make one well-formed row, None where none do."""
    quotes = size = 0
    for count, line in enumerate(lines, 1):
        quotes += line.count(b'"')
        size += len(line) + 1
        if size > MAX_LINE_BYTES:
            return None
        if count > 1 and quotes % 2 == 0 and pattern.fullmatch(b"\n".join(lines[:count])):
            return count
    return None


@cache
def _row_pattern(separator: str) -> re.Pattern[bytes]:
    """A row whose cells are quoted as a whole or do not begin with a quote."""
    sign = re.escape(separator.encode())
    cell = rb'(?:"[^"]*(?:""[^"]*)*"|[^"' + sign + rb"\n][^" + sign + rb"\n]*|)"
    return re.compile(cell + rb"(?:" + sign + cell + rb")*")


def split_row(line: str, separator: str) -> list[str] | None:
    """The cells of one row, None where its quotes are wrong."""
    if '"' not in line:
        return line.split(separator)
    if _row_pattern(separator).fullmatch(line.encode()) is None:
        return None
    cells, start = [], 0
    while True:
        if line.startswith('"', start):
            end = start + 1
            while line.startswith('""', end) or not line.startswith('"', end):
                end += 2 if line.startswith('""', end) else 1
            cells.append(line[start + 1 : end].replace('""', '"'))
            end += 1
        else:
            end = line.find(separator, start)
            end = len(line) if end < 0 else end
            cells.append(line[start:end])
        if end >= len(line):
            return cells
        start = end + 1


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
    places, lines, is_even = [], [], True
    for place, line in zip(block.places, block.lines, strict=True):
        if not line or (line[0] in odd and not line.strip(odd)):
            continue
        is_quoted = b'"' in line
        is_simple = not is_quoted or _is_all_quoted(line, form)
        if reason := _why_unsound(line, form, is_simple or not is_quoted):
            refused[place] = (line[:200].decode(errors="backslashreplace"), reason)
            continue
        is_even = is_even and is_simple
        places.append(place)
        lines.append(line)
    return places, lines, is_even


def _is_all_quoted(line: bytes, form: TextForm) -> bool:
    """Whether each cell stands in quotes and none holds a quote, a separator or a line break."""
    sign = form.separator.encode()
    between = form.width - 1
    return (
        line.count(b'"') == 2 * form.width
        and line.count(b'"' + sign + b'"') == between == line.count(sign)
        and line[:1] == line[-1:] == b'"'
        and b"\n" not in line
    )


def _why_unsound(line: bytes, form: TextForm, is_simple: bool) -> str | None:
    if len(line) > MAX_LINE_BYTES:
        return f"needs a line of at most {MAX_LINE_BYTES} bytes. Look for missing line ends."
    if _CONTROL.search(line):
        return "needs text, has control signs: the line is damaged. Export it again."
    if not is_simple and _row_pattern(form.separator).fullmatch(line) is None:
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
