"""Quotes in text tables: rows whose cells span lines, and one row's cells.

A line break inside quotes is read where the quotes close within MAX_JOINED lines and all of it is
well formed; else the quote costs its own line alone.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import cache
from typing import Final

from balewright.readers.lines import MAX_LINE_BYTES
from balewright.readers.mapped.encodings import TextLines

MAX_JOINED: Final = 50


def join_quoted(blocks: Iterator[TextLines], separator: str) -> Iterator[TextLines]:
    """The same lines with those joined that one quoted cell spans."""
    places: list[int] = []
    lines: list[bytes] = []
    for block in blocks:
        if block.is_plain and not lines:
            yield block
            continue
        if not lines and not any(line.count(b'"') % 2 for line in block.lines):
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
    pattern = row_pattern(separator)
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
def row_pattern(separator: str) -> re.Pattern[bytes]:
    """A row whose cells are quoted as a whole or do not begin with a quote."""
    sign = re.escape(separator.encode())
    cell = rb'(?:"[^"]*(?:""[^"]*)*"|[^"' + sign + rb"\n][^" + sign + rb"\n]*|)"
    return re.compile(cell + rb"(?:" + sign + cell + rb")*")


def split_row(line: str, separator: str) -> list[str] | None:
    """The cells of one row, None where its quotes are wrong."""
    if '"' not in line:
        return line.split(separator)
    if row_pattern(separator).fullmatch(line.encode()) is None:
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
