"""The header of a time log: which position fields and which values stand in its binary part."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from balewright.readers.task_data.attributes import Ledger, Reading
from balewright.readers.task_data.layout import MAX_COLUMNS, POSITION
from balewright.readers.task_data.values import LoggedValue
from balewright.readers.task_data.xml import name_of, parse_xml
from balewright.records.quality import Mark

UNREADABLE_NUMBER: Final = -1


@dataclass(frozen=True)
class LogHeader:
    """position: letters of `layout.POSITION` that stand in the binary, in its order; fixed: those
    that the header itself gives; columns: the values, addressed by their place."""

    position: str
    fixed: dict[str, float]
    columns: tuple[LoggedValue, ...]


def read_header(data: bytes, file: str, ledger: Ledger) -> LogHeader | None:
    """Read a header file; None, with the refusal noted, where it holds no TIM."""
    tree = parse_xml(data, file)
    ledger.refusals.extend(tree.refusals)
    ledger.doubts.extend(tree.doubts)
    tim = None
    if tree.root is not None:
        tim = next((each for each in tree.root.iter() if name_of(each) == "TIM"), None)
    if tim is None:
        reason = "the header of a time log needs an element TIM; without it the log is not readable"
        ledger.refuse(file, "line 1", data[:60].decode("utf-8", "replace"), reason)
        return None
    reading = Reading(tim, file, ledger)
    position, fixed = "", {}
    for ptn in reading.children("PTN")[:1]:
        position = "".join(letter for letter in POSITION if ptn.element.get(letter) == "")
        for letter in POSITION:
            if ptn.text(letter) and (value := ptn.number(letter)) is not None:
                fixed[letter] = value
    columns = tuple(_column(child) for child in reading.children("DLV"))
    if len(columns) > MAX_COLUMNS:
        said = f"{len(columns)} values; a record can name the first {MAX_COLUMNS} only"
        ledger.doubt(file, reading.place, Mark.ELEMENT_UNKNOWN, said)
    return LogHeader(position, fixed, columns[:MAX_COLUMNS])


def _column(reading: Reading) -> LoggedValue:
    number = reading.whole("A", 16)
    return LoggedValue(
        UNREADABLE_NUMBER if number is None else number, reading.text("C"), reading.whole("B")
    )
