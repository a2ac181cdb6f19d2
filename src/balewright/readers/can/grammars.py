"""What differs between the text forms of traces: layout, slow reading, head, clock.

Every line without a layout is read by python-can, one line at a time, so that a line it cannot
read is refused and the next one is read; whole files it would leave at the first comment.
"""

from __future__ import annotations

import io
import logging
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from itertools import pairwise
from typing import Final

from can import Message
from can.io.asc import ASCReader
from can.io.canutils import CanutilsLogReader
from can.io.csv import CSVReader
from can.io.trc import TRCReader

from balewright.quantities.errors import BadInput, Fault
from balewright.readers.can.forms import CSV_HEADING, TraceForm
from balewright.readers.can.layouts import (
    LayOut,
    asc_layout,
    candump_layout,
    screen_layout,
    trc_layout,
)

ReadLine = Callable[[str], Message | None]

# What it cannot read is said by us, with its place; the library's own remarks go nowhere.
logging.getLogger("can").addHandler(logging.NullHandler())

_ASC_TIME: Final = re.compile(r"-?\d+\.\d+(?=\s)", re.ASCII)
_ASC_FRAME: Final = re.compile(
    r"-?\d+\.\d+\s+(CANFD\b|\d+\s+(\w+\s+(Tx|Rx)\b|ErrorFrame))", re.ASCII | re.IGNORECASE
)
_CANDUMP_FRAME: Final = re.compile(
    r"\s([01]?[0-9A-Fa-f]{1,7}|2[0-9A-Fa-f]{7})#"
    r"(#[0-9A-Fa-f].*|[Rr]\d?|([0-9A-Fa-f]{2}){0,8})(\s+[RTrt])?$"
)
_ASC_DATE: Final = re.compile(r"(?:date|begin\s+triggerblock)\s+\w+\s+(.+)", re.IGNORECASE)
_PAUSE: Final = re.compile(r"\(?(\d{1,9}\.\d{1,9})(?=[\s)])", re.ASCII)
_SCREEN_TIME: Final = re.compile(r"\((\d+\.\d+)\)", re.ASCII)
_SCREEN_LINE: Final = re.compile(
    r"\((\d+\.\d+)\)\s+(\S+)\s+(?:[RT]X\s+\S+\s+\S+\s+)?([0-9A-F]{3,8})\s+\[(\d{1,2})\]\s*(.*)",
    re.ASCII,
)
_MONTHS: Final = {
    **{
        name: at
        for at, name in enumerate(
            ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"], 1
        )
    },
    "mär": 3,
    "mrz": 3,
    "mai": 5,
    "okt": 10,
    "dez": 12,
}
_ASC_CLOCKS: Final = (
    *("%m %d %I:%M:%S.%f %p %Y", "%m %d %I:%M:%S %p %Y"),
    *("%m %d %H:%M:%S.%f %Y", "%m %d %H:%M:%S %Y"),
)
_TRC_OTHER: Final = re.compile(r"\s(Warng|Error|Statu|Event|ST|EC|ER|EV|FFFFFFFF)\s")
TRC_VERSIONS: Final = ("1.0", "1.1", "1.3", "2.0", "2.1")
_OLE_DAY_0: Final = datetime(1899, 12, 30)  # noqa: DTZ001 -- a wall clock, its zone comes later
_MOST_HEAD_LINES: Final = 200
_CSV_HEADING: Final = CSV_HEADING.decode()


@dataclass
class Head:
    """What the head of a trace says. start: wall clock of its second 0, None where unsaid;
    between: times count from the frame before; hexadecimal: numbers are; version, columns: of
    TRC."""

    start: datetime | None = None
    between: bool = False
    hexadecimal: bool = True
    version: str = ""
    columns: str = ""


@dataclass(frozen=True)
class Grammar:
    """How a text form is read. tick_us: microseconds of one unit of its times; lay_out, None
    where every line is read slowly; read_all: the frames of many lines, where the library reads
    such as fast as it can; read_line: the frame of one line, None where it has none,
    ValueError where it is broken; skip: what kind of line without frame it is, None when it may
    have one."""

    form: TraceForm
    tick_us: int
    lay_out: LayOut | None
    read_line: ReadLine
    skip: Callable[[str], str | None]
    head: Head = field(default_factory=Head)
    read_all: Callable[[str], Iterable[Message]] | None = None


def grammar_of(form: TraceForm, name: str, lines: Sequence[str]) -> Grammar:
    """How a trace of that text form is read, by the first lines of it.

    name: of the file, for the faults. Raises BadInput for a version of TRC that nobody reads.
    """
    if form is TraceForm.CANDUMP:
        return Grammar(form, 1_000_000, candump_layout, _read_candump, _skip_candump)
    if form is TraceForm.CANDUMP_SCREEN:
        head = Head(between=screen_between(lines))
        return Grammar(form, 1_000_000, screen_layout, _read_screen, _skip_candump, head)
    if form is TraceForm.ASC:
        head = _asc_head(lines)
        lay_out = asc_layout if head.hexadecimal else None
        return Grammar(form, 1_000_000, lay_out, _asc_line_reader(head), _skip_asc, head)
    if form is TraceForm.CSV:
        return Grammar(form, 1_000_000, None, _read_csv, _skip_csv, read_all=_read_all_csv)
    head = _trc_head(name, lines)
    return Grammar(
        form, 1000, trc_layout(head.version, head.columns), _trc_line_reader(head), _skip_trc, head
    )


def _read_candump(line: str) -> Message | None:
    if _CANDUMP_FRAME.search(line) is None:
        raise ValueError("its identifier or data is none of a frame")
    return next(iter(CanutilsLogReader(io.StringIO(line))), None)


def _skip_candump(line: str) -> str | None:
    return "comment line" if line.startswith(("#", ";", "//")) else None


def _read_csv(line: str) -> Message | None:
    return next(iter(_read_all_csv(line)), None)


def _read_all_csv(lines: str) -> Iterable[Message]:
    return CSVReader(io.StringIO(f"{_CSV_HEADING}\n{lines}"))


def _skip_csv(line: str) -> str | None:
    return "head line" if line.replace('"', "") == _CSV_HEADING else None


def screen_between(lines: Sequence[str]) -> bool:
    """Whether times on the screen count from the line before: small, and not always rising."""
    found = [_SCREEN_TIME.match(line.strip()) for line in lines[:_MOST_HEAD_LINES]]
    times = [float(one[1]) for one in found if one is not None]
    return any(later < earlier < 1e8 for earlier, later in pairwise(times))


def _read_screen(line: str) -> Message | None:
    """A line of candump's screen in the form of its log, which the library reads."""
    found = _SCREEN_LINE.fullmatch(line)
    if found is None:
        raise ValueError("it is no whole frame")
    stamp, channel, identifier, length, rest = found.groups()
    if rest.startswith("remote"):
        return _read_candump(f"({stamp}) {channel} {identifier}#R")
    data = rest.split("'")[0].replace("ERRORFRAME", "").replace(" ", "")
    if len(data) != 2 * int(length):
        raise ValueError(f"its length says {length}")
    return _read_candump(f"({stamp}) {channel} {identifier}#{data}")


def _asc_line_reader(head: Head) -> ReadLine:
    base = "hex" if head.hexadecimal else "dec"
    before = f"base {base}  timestamps absolute\ninternal events logged\n"

    def read_line(line: str) -> Message | None:
        found = next(iter(ASCReader(io.StringIO(before + line))), None)
        if found is None:
            raise ValueError("it is no whole frame")
        return found

    return read_line


def _skip_asc(line: str) -> str | None:
    if line.startswith("//"):
        return "comment line"
    if _ASC_FRAME.match(line):
        return None
    if _ASC_TIME.match(line):
        return "event line"
    return "head line" if line[:1].isalpha() else None


def pause_us(line: str) -> int:
    """Microseconds from the line before to this one, where times count so; 0 without a time."""
    found = _PAUSE.match(line)
    return 0 if found is None else round(float(found[1]) * 1e6)


def asc_start(line: str) -> datetime | None:
    """The wall clock of a `date` or `Begin Triggerblock` line, None where there is none."""
    found = _ASC_DATE.match(line.strip())
    if found is None:
        return None
    words = found[1].split()
    month = _MONTHS.get(words[0].lower()[:3]) if words else None
    if month is None:
        return None
    text = " ".join([f"{month:02d}", *words[1:]]).replace(" am ", " AM ").replace(" pm ", " PM ")
    for clock in _ASC_CLOCKS:
        try:
            return datetime.strptime(text, clock)  # noqa: DTZ007 -- the file names no zone
        except ValueError:
            continue
    return None


def _asc_head(lines: Sequence[str]) -> Head:
    head = Head()
    for line in lines[:_MOST_HEAD_LINES]:
        words = line.lower().split()
        if words[:1] == ["base"] and len(words) > 1:
            head.hexadecimal = words[1] != "dec"
            head.between = words[2:] == ["timestamps", "relative"]
        if _ASC_FRAME.match(line.strip()):
            break
        head.start = asc_start(line) or head.start
    return head


def _trc_line_reader(head: Head) -> ReadLine:
    before = f";$FILEVERSION={head.version}\n" if head.version != "1.0" else ""
    if head.columns:
        before += f";$COLUMNS={head.columns}\n"

    def read_line(line: str) -> Message | None:
        found = next(iter(TRCReader(io.StringIO(f"{before};\n{line}"))), None)
        if found is None and _TRC_OTHER.search(line) is None:
            raise ValueError("it is no whole frame")
        return found

    return read_line


def _skip_trc(line: str) -> str | None:
    return "comment line" if line.startswith(";") else None


def _trc_head(name: str, lines: Sequence[str]) -> Head:
    head = Head(version="1.0")
    for number, line in enumerate(lines[:_MOST_HEAD_LINES], 1):
        if not line.startswith(";"):
            break
        key, _, value = line[1:].strip().partition("=")
        value = value.strip()
        if key == "$FILEVERSION":
            head.version = value
        elif key == "$COLUMNS":
            head.columns = value
        elif key == "$STARTTIME":
            head.start = _ole_time(value)
            if head.start is None:
                need, cure = "days since 1899-12-30", "Correct it, or give --begins."
                raise BadInput(Fault(f"{name}, line {number}", need, value[:40], cure))
    if head.version not in TRC_VERSIONS:
        need = f"version {', '.join(TRC_VERSIONS[:-1])} or {TRC_VERSIONS[-1]} of TRC"
        cure = "Save the trace again in one of these versions."
        raise BadInput(Fault(name, need, f"version {head.version[:20]}", cure))
    if head.version >= "2.0" and not {"N", "O", "T", "I", "d", "D"} <= set(head.columns.split(",")):
        need = "a line $COLUMNS with N, O, T, I, d and D"
        raise BadInput(Fault(name, need, head.columns[:40] or "none", "Take the whole file."))
    return head


def _ole_time(text: str) -> datetime | None:
    try:
        return _OLE_DAY_0 + timedelta(days=float(text))
    except (ValueError, OverflowError):
        return None
