"""Where on a line of a trace its time, identifier and data stand, told from one line.

Lines of a trace come in few layouts. One line is taken apart here; all lines laid out like it
are then read at once (`text_frames`). What has no layout goes to the library, line by line.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

LayOut = Callable[[bytes], "Layout | None"]


Span = tuple[int, int]


@dataclass(frozen=True)
class Layout:
    """Columns of one line, spans without their end.

    whole, part: digits of the time before and after the point; identifier: hexadecimal digits;
    data: first column, columns from byte to byte, and bytes; extended: 29 bits; loose: columns
    that may hold anything; digit: a column that must be a digit though loose, -1 for none.
    All other columns are the same on every line of the layout.
    """

    whole: Span
    part: Span
    identifier: Span
    data: tuple[int, int, int]
    extended: bool
    loose: Span = (0, 0)
    digit: int = -1


_CANDUMP: Final = re.compile(
    rb"\((?P<whole>\d{1,12})\.(?P<part>\d{1,6})\) \S+ (?P<id>[0-9A-Fa-f]{8}|[0-9A-Fa-f]{3})#"
    rb"(?P<data>(?:[0-9A-Fa-f]{2}){0,8})(?: [RT])?\r?"
)
_SCREEN: Final = re.compile(
    rb" *\((?P<whole>\d{1,12})\.(?P<part>\d{1,6})\) +\S+ +(?:[RT]X \S+ \S+ +)?"
    rb"(?P<id>[0-9A-F]{8}|[0-9A-F]{3}) +\[(?P<dlc>[0-8])\] ?(?P<data>(?: [0-9A-F]{2}){0,8}) *\r?"
)
_ASC: Final = re.compile(
    rb" *(?P<whole>\d{1,9})\.(?P<part>\d{1,9}) +\d+ +(?P<id>[0-9A-Fa-f]{1,8})(?P<x>x?) +"
    rb"(?:Rx|Tx) +d (?P<dlc>[0-8])(?P<data>(?: [0-9A-Fa-f]{2}){0,8})(?P<tail>(?: .*)?)\r?"
)
_TIME: Final = rb"(?P<whole>\d{1,12})(?:\.(?P<part>\d{1,4}))?"
_DATA: Final = rb"(?P<id>[0-9A-Fa-f]{8}|[0-9A-Fa-f]{4})"
_BYTES: Final = rb"(?P<dlc>[0-8])(?P<data>(?: +[0-9A-Fa-f]{2}){0,8}) *\r?"
_COLUMNS: Final = {
    "N": rb"(?P<number> *\d+)",
    "O": _TIME,
    "T": b"DT",
    "B": rb"\d",
    "I": _DATA,
    "d": rb"(?:Rx|Tx)",
    "R": b"-",
    "l": rb"(?P<dlc>[0-8])",
    "L": rb"(?P<dlc>[0-8])",
    "D": rb"(?P<data>(?:[0-9A-Fa-f]{2}(?: [0-9A-Fa-f]{2}){0,7})?)",
}
_TRC: Final = {
    "1.0": re.compile(rb"(?P<number> *\d+)\) +" + _TIME + rb" +" + _DATA + rb" +" + _BYTES),
    "1.1": re.compile(
        rb"(?P<number> *\d+)\) +" + _TIME + rb" +(?:Rx|Tx) +" + _DATA + rb" +" + _BYTES
    ),
    "1.3": re.compile(
        rb"(?P<number> *\d+)\) +" + _TIME + rb" +\d +(?:Rx|Tx) +" + _DATA + rb" +- +" + _BYTES
    ),
}


def candump_layout(line: bytes) -> Layout | None:
    """Layout of a candump line: `(1502984866.421964) can0 09F112CC#FF725AFF7FFF7FFD`."""
    found = _CANDUMP.fullmatch(line)
    if found is None:
        return None
    start, end = found.span("data")
    return _layout(found, (start, 2, (end - start) // 2), len(found["id"]) > 3)


def screen_layout(line: bytes) -> Layout | None:
    """Layout of candump on the screen: ` (1502984866.421964)  can0  09F112CC   [8]  FF 72 ...`."""
    found = _SCREEN.fullmatch(line)
    if found is None or len(found["data"]) != 3 * int(found["dlc"]):
        return None
    data = (found.start("data") + 1, 3, int(found["dlc"]))
    return _layout(found, data, len(found["id"]) > 3)


def asc_layout(line: bytes) -> Layout | None:
    """Layout of a hexadecimal ASC line: `0.010000 1  18FEF100x  Rx  d 8 00 11 22 ...`."""
    found = _ASC.fullmatch(line)
    if found is None or len(found["data"]) < 3 * int(found["dlc"]):
        return None
    wanted = int(found["dlc"])
    start = found.start("data") + 1
    # Beyond the bytes that count stands what differs from line to line: bit counts, durations.
    loose = (min(start + 3 * wanted, len(line)), len(line))
    return _layout(found, (start, 3, wanted), bool(found["x"]), loose)


def trc_layout(version: str, columns: str = "") -> LayOut | None:
    """How lines of that version of TRC are laid out; None where they all go to the library.

    columns: what a file of version 2 says of its columns.
    """
    pattern = _TRC.get(version) or _pattern_of(columns)
    if pattern is None:
        return None

    def lay_out(line: bytes) -> Layout | None:
        found = pattern.fullmatch(line)
        if found is None:
            return None
        pairs = [pair.start() for pair in re.finditer(rb"\S\S", found["data"])]
        steps = {after - before for before, after in pairwise(pairs)} or {3}
        if len(pairs) != int(found["dlc"]) or len(steps) > 1:
            return None
        start = found.start("data") + (pairs[0] if pairs else 0)
        data = (start, steps.pop(), len(pairs))
        loose = found.span("number")
        return _layout(found, data, len(found["id"]) > 4, loose, loose[1] - 1)

    return lay_out


def _pattern_of(columns: str) -> re.Pattern[bytes] | None:
    """The lines of version 2: its columns in their order, data frames only."""
    parts = [_COLUMNS.get(name) for name in columns.split(",")]
    if None in parts or not columns.endswith("D"):
        return None
    return re.compile(b" +".join(part for part in parts if part is not None) + rb" *\r?")


def _layout(
    found: re.Match[bytes],
    data: tuple[int, int, int],
    extended: bool,
    loose: Span = (0, 0),
    digit: int = -1,
) -> Layout:
    part = (0, 0) if found["part"] is None else found.span("part")
    return Layout(found.span("whole"), part, found.span("id"), data, extended, loose, digit)
