"""The header of a time log: which position fields and which values stand in its binary part."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from balewright.readers.task_data.attributes import Ledger, Reading
from balewright.readers.task_data.layout import MAX_COLUMNS, POSITION, LoggedValue, LogHeader
from balewright.readers.task_data.log_chain import RecordChain
from balewright.readers.task_data.xml import name_of, parse_xml
from balewright.records.quality import Mark

UNREADABLE_NUMBER: Final = -1
_MOST_TRIED: Final = 8
_RECORDS_TRIED: Final = 64


def read_headers(data: bytes, file: str, ledger: Ledger) -> tuple[LogHeader, ...]:
    """Read a header file: the one layout it gives, or each it may mean where TIM or PTN stand
    repeated and differ (the bytes of the log tell, see `fitting_header`); none, with the refusal
    noted, where it holds no TIM."""
    tree = parse_xml(data, file)
    ledger.refusals.extend(tree.refusals)
    ledger.doubts.extend(tree.doubts)
    tims = [] if tree.root is None else [e for e in tree.root.iter() if name_of(e) == "TIM"]
    if not tims:
        reason = "the header of a time log needs an element TIM; without it the log is not readable"
        ledger.refuse(file, "line 1", data[:60].decode("utf-8", "replace"), reason)
        return ()
    found: list[LogHeader] = []
    for tim in tims[:_MOST_TRIED]:
        reading = Reading(tim, file, ledger)
        found += [each for each in _layouts(reading) if each not in found]
    if len(tims) > 1:
        differ = "they differ: the one that fits the log is taken" if len(found) > 1 else "equal"
        ledger.doubt(file, "TIM", Mark.NAMED_TWICE, f"{len(tims)} elements TIM, {differ}")
    return tuple(found)


def read_header(data: bytes, file: str, ledger: Ledger) -> LogHeader | None:
    """The first layout that a header file gives; None, with the refusal noted, without TIM."""
    return next(iter(read_headers(data, file, ledger)), None)


def fitting_header(data: bytes, headers: Sequence[LogHeader]) -> LogHeader:
    """Of the layouts a header may mean, the first by which the log begins with records that can
    be believed; the first of all where none does. headers: at least one."""
    for header in headers if len(headers) > 1 else ():
        chain = RecordChain(data, header)
        offsets, _ = chain.follow(0, _RECORDS_TRIED)
        if len(offsets) and chain.believable(offsets, chain.heads(offsets)).all():
            return header
    return headers[0]


def _layouts(reading: Reading) -> list[LogHeader]:
    columns = tuple(_column(child) for child in reading.children("DLV"))
    if len(columns) > MAX_COLUMNS:
        said = f"{len(columns)} values; a record can name the first {MAX_COLUMNS} only"
        reading.ledger.doubt(reading.file, reading.place, Mark.ELEMENT_UNKNOWN, said)
        columns = columns[:MAX_COLUMNS]
    if reading.text("A"):
        said = f"the header says the time {reading.text('A')[:40]!r}; each record has its own"
        reading.ledger.doubt(reading.file, reading.place, Mark.ELEMENT_UNKNOWN, said)
    parts = reading.children("PTN")
    if len(parts) < 2:
        return [_layout(parts, columns)]
    said = f"{len(parts)} elements PTN: read as the first, or as all together, as the log fits"
    reading.ledger.doubt(reading.file, reading.place, Mark.NAMED_TWICE, said)
    return [_layout(parts[:1], columns), _layout(parts, columns)]


def _layout(parts: Sequence[Reading], columns: tuple[LoggedValue, ...]) -> LogHeader:
    empty: set[str] = set()
    fixed: dict[str, float] = {}
    for ptn in parts:
        empty |= {letter for letter in POSITION if ptn.element.get(letter) == ""}
        for letter in POSITION:
            if ptn.text(letter) and (value := ptn.number(letter)) is not None:
                fixed.setdefault(letter, value)
    position = "".join(letter for letter in POSITION if letter in empty)
    return LogHeader(position, {k: v for k, v in fixed.items() if k not in empty}, columns)


def _column(reading: Reading) -> LoggedValue:
    number = reading.whole("A", 16)
    bits = (reading.whole("E"), reading.whole("F"))
    return LoggedValue(
        number=UNREADABLE_NUMBER if number is None else number,
        element=reading.text("C"),
        fixed=reading.whole("B"),
        pgn=reading.whole("D"),
        bits=bits,
    )
