"""Frames of a text trace, block by block: lines laid out alike are read together, as arrays.

The answers are those of python-can's own readers (held by a test); the way is some tens of times
faster. A line that fits no layout is handed to python-can by itself.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.readers.can.forms import TraceForm
from balewright.readers.can.frames import MOST_IDENTIFIER, Frames, OneFrame, frames_of
from balewright.readers.can.grammars import Grammar, asc_start, pause_us
from balewright.readers.can.layouts import Layout
from balewright.readers.can.messages import frames_of_messages, one_frame
from balewright.readers.can.notes import Notes
from balewright.readers.can.wall_clock import Pause, Restart
from balewright.readers.lines import MAX_LINE_BYTES, read_blocks

_MOST_LAYOUTS: Final = 40
"""Layouts tried on the lines of one length; what is left then is read line by line."""

_MANY: Final = 64
_BROKEN: Final = (ValueError, IndexError, KeyError, OverflowError, TypeError)
_BAD: Final = 0xF0
_HEX: Final = np.full(256, _BAD, np.uint8)
for _digit in b"0123456789abcdefABCDEF":
    _HEX[_digit] = int(chr(_digit), 16)
_DIGIT: Final = np.zeros(256, np.bool_)
_DIGIT[ord("0") : ord("9") + 1] = True


@dataclass
class _Found:
    """Frames of one block in pieces, each with the index of its line in the block."""

    rows: list[NDArray[np.intp]]
    pieces: list[Frames]


def text_frames(path: Path, grammar: Grammar, notes: Notes) -> Iterator[Frames | Restart | Pause]:
    """Frames with times in microseconds as the file counts them; a Restart where it says that
    its clock begins anew, a Pause for a line between. Refused lines and those without frames go
    to `notes`.

    Raises BadInput where the file cannot be read to its end.
    """
    last_number = 0
    for block in read_blocks(path, notes.tell):
        restarts: list[tuple[int, Restart | Pause]] = []
        found = _Found([], [])
        for rows in _by_length(block.lines):
            left = _read_alike(block.lines, rows, grammar, found)
            _read_slowly(block.lines, left, (grammar, notes, block.first_line), found, restarts)
        for one in _in_order(found, last_number, restarts):
            if isinstance(one, Frames):
                last_number += one.rows
            yield one


def _by_length(lines: list[bytes]) -> Iterator[NDArray[np.intp]]:
    """Indices of the lines of each length, in their order."""
    lengths = np.fromiter(map(len, lines), np.int64, len(lines))
    order = np.argsort(lengths, kind="stable")
    starts = np.flatnonzero(np.diff(lengths[order], prepend=-1))
    yield from np.split(order, starts[1:])


def _read_alike(
    lines: list[bytes], rows: NDArray[np.intp], grammar: Grammar, found: _Found
) -> NDArray[np.intp]:
    """Read what is laid out alike; give back the rows that were not read."""
    width = len(lines[rows[0]])
    if grammar.lay_out is None or not 0 < width <= 256:
        return rows
    joined = b"".join([lines[row] for row in rows.tolist()])
    # Column by column, each of them together in memory: that is how they are looked at.
    table = np.frombuffer(joined, np.uint8).reshape(-1, width).T.copy()
    slow: list[NDArray[np.intp]] = []
    for _ in range(_MOST_LAYOUTS):
        if not len(rows):
            break
        layout = grammar.lay_out(lines[rows[0]])
        if layout is None:
            alike, fit = _alike(table), np.zeros(len(rows), np.bool_)
        else:
            alike, identifier = _laid_out_so(table, layout)
            fit = alike & (identifier <= (MOST_IDENTIFIER if layout.extended else 0x7FF))
            if fit.any():
                found.rows.append(rows[fit])
                found.pieces.append(
                    _take_apart(table[:, fit], layout, identifier[fit], grammar.tick_us)
                )
        slow.append(rows[alike & ~fit])
        if alike.all():
            return np.sort(np.concatenate(slow))
        rows, table = rows[~alike], table[:, ~alike]
    return np.sort(np.concatenate([*slow, rows]))


def _alike(table: NDArray[np.uint8]) -> NDArray[np.bool_]:
    """Lines that differ from the first in nothing but hexadecimal digits: comments, events."""
    return _equal(table, _HEX[table[:, 0]] == _BAD)


def _equal(table: NDArray[np.uint8], fixed: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Lines that equal the first in the fixed columns."""
    equal = np.ones(table.shape[1], np.bool_)
    for at in np.flatnonzero(fixed):
        equal &= table[at] == table[at, 0]
    return equal


def _laid_out_so(
    table: NDArray[np.uint8], layout: Layout
) -> tuple[NDArray[np.bool_], NDArray[np.uint32]]:
    """Which lines are laid out so, the first among them, and their identifiers."""
    start, step, count = layout.data
    fixed = np.ones(table.shape[0], np.bool_)
    for first, end in (layout.whole, layout.part, layout.identifier, layout.loose):
        fixed[first:end] = False
    for offset in (0, 1):
        fixed[start + offset : start + step * count : step] = False
    fit = _equal(table, fixed)
    for first, end in (layout.whole, layout.part):
        for at in range(first, end):
            fit &= _DIGIT[table[at]]
    if layout.digit >= 0:
        fit &= _DIGIT[table[layout.digit]]
    for at in (start + step * byte + offset for byte in range(count) for offset in (0, 1)):
        fit &= _HEX[table[at]] != _BAD
    identifier = np.zeros(table.shape[1], np.uint32)
    for at in range(*layout.identifier):
        digit = _HEX[table[at]]
        fit &= digit != _BAD
        identifier = (identifier << 4) | digit
    return fit, identifier


def _take_apart(
    table: NDArray[np.uint8], layout: Layout, identifier: NDArray[np.uint32], tick_us: int
) -> Frames:
    lines = table.shape[1]
    ticks = np.zeros(lines, np.int64)
    for at in (*range(*layout.whole), *range(*layout.part)):
        ticks = ticks * 10 + (table[at] - ord("0"))
    per_unit = 10 ** (layout.part[1] - layout.part[0])
    if tick_us >= per_unit:
        at_us = ticks * (tick_us // per_unit)
    else:
        worth = per_unit // tick_us
        at_us = (ticks + worth // 2) // worth
    start, step, count = layout.data
    data = np.zeros((lines, 8), np.uint8)
    for byte in range(count):
        at = start + step * byte
        data[:, byte] = (_HEX[table[at]] << 4) | _HEX[table[at + 1]]
    return Frames(
        at_us,
        identifier,
        np.full(lines, layout.extended),
        np.full(lines, count, np.uint8),
        data,
        np.zeros(lines, np.int64),
    )


def _read_slowly(
    lines: list[bytes],
    rows: NDArray[np.intp],
    context: tuple[Grammar, Notes, int],
    found: _Found,
    restarts: list[tuple[int, Restart | Pause]],
) -> None:
    """Read lines one by one through the library; refuse those it cannot read."""
    grammar, notes, first_line = context
    if (
        grammar.read_all is not None
        and len(rows) >= _MANY
        and _read_together(lines, rows, grammar, found)
    ):
        return
    kept: list[OneFrame] = []
    at: list[int] = []
    for row in rows:
        place = f"line {first_line + int(row)}"
        raw = lines[row]
        if len(raw) > MAX_LINE_BYTES:
            notes.refuse(place, raw, f"A line of more than {MAX_LINE_BYTES} bytes is no frame.")
            continue
        line = raw.decode("utf-8", "replace").lstrip("\ufeff").strip()
        if not line:
            continue
        if grammar.form is TraceForm.ASC and (start := asc_start(line)) is not None:
            restarts.append((int(row), Restart(start)))
        kind = grammar.skip(line)
        if kind is not None:
            notes.left_out[kind] += 1
        one = None if kind is not None else _read_one(line, place, grammar, notes)
        if one is not None:
            kept.append(one)
            at.append(int(row))
        elif grammar.head.between:
            restarts.append((int(row), Pause(pause_us(line))))
    if kept:
        found.rows.append(np.array(at, np.intp))
        found.pieces.append(frames_of(kept, np.zeros(len(kept), np.int64)))


def _read_together(
    lines: list[bytes], rows: NDArray[np.intp], grammar: Grammar, found: _Found
) -> bool:
    """Read many lines through the library in one go; False, and nothing read, where any of them
    is no plain frame."""
    assert grammar.read_all is not None
    heard = Notes("")
    try:
        text = b"\n".join([lines[row].rstrip() for row in rows.tolist()]).decode("ascii")
        messages = list(grammar.read_all(text))
    except _BROKEN:
        return False
    frames = frames_of_messages(messages, 0, heard)
    if frames.rows != len(rows):
        return False
    found.rows.append(rows)
    found.pieces.append(frames)
    return True


def _read_one(line: str, place: str, grammar: Grammar, notes: Notes) -> OneFrame | None:
    try:
        message = grammar.read_line(line)
        if message is None:
            notes.left_out["other line"] += 1
            return None
        return one_frame(message, notes)
    except _BROKEN as error:
        said = str(error).rstrip(".")
        notes.refuse(place, line, f"It cannot be read as a frame ({said[:120]}).")
        return None


def _in_order(
    found: _Found, last_number: int, restarts: list[tuple[int, Restart | Pause]]
) -> Iterator[Frames | Restart | Pause]:
    """The block's frames in the order of their lines, numbered on, cut at each restart."""
    if not found.pieces:
        yield from (restart for _, restart in sorted(restarts, key=lambda one: one[0]))
        return
    rows = np.concatenate(found.rows)
    order = np.argsort(rows, kind="stable")
    joined = _join(found.pieces).take(order)
    numbered = replace(joined, number=np.arange(1, len(rows) + 1, dtype=np.int64) + last_number)
    done = 0
    for row, restart in sorted(restarts, key=lambda one: one[0]):
        cut = int(np.searchsorted(rows[order], row))
        if cut > done:
            yield numbered.take(np.arange(done, cut))
            done = cut
        yield restart
    if done < len(rows):
        yield numbered.take(np.arange(done, len(rows)))


def _join(pieces: list[Frames]) -> Frames:
    return Frames(
        np.concatenate([piece.at_us for piece in pieces]),
        np.concatenate([piece.identifier for piece in pieces]),
        np.concatenate([piece.extended for piece in pieces]),
        np.concatenate([piece.length for piece in pieces]),
        np.concatenate([piece.data for piece in pieces]),
        np.concatenate([piece.number for piece in pieces]),
    )
