"""Which form of trace a file is: told by its first bytes, never by its name."""

from __future__ import annotations

import re
from enum import StrEnum
from typing import Final

_LOOKED_AT: Final = 4096


class TraceForm(StrEnum):
    """The forms of trace that are read."""

    CANDUMP = "candump"
    CANDUMP_SCREEN = "candump screen"
    ASC = "asc"
    TRC = "trc"
    BLF = "blf"
    CSV = "csv"
    MF4 = "mf4"


CSV_HEADING: Final = b"timestamp,arbitration_id,extended,remote,error,dlc,data"

_HEX: Final = rb"[0-9A-Fa-f]"
_CANDUMP: Final = re.compile(rb"\(\d+\.\d+\)\s+\S+\s+" + _HEX + rb"{3,8}##?" + _HEX + rb"*")
_CANDUMP_SCREEN: Final = re.compile(
    rb"\(\d+\.\d+\)\s+\S+\s+([RT]X\s+\S+\s+\S+\s+)?" + _HEX + rb"{3,8}\s+\[\d+\]"
)
_ASC: Final = re.compile(
    rb"(date\s+\w{3}\s|base\s+(hex|dec)\s+timestamps\s|(no )?internal events logged|"
    rb"begin triggerblock\b|// version \d)",
    re.IGNORECASE,
)
_ASC_FRAME: Final = re.compile(
    rb"\d+\.\d+\s+\d+\s+" + _HEX + rb"+x?\s+(Rx|Tx)\s+[dr]\s", re.IGNORECASE
)
_TRC: Final = re.compile(
    rb";\s*(\$FILEVERSION|\$STARTTIME|---\+--|CAN[- ]message\b)", re.IGNORECASE
)
_TRC_FRAME: Final = re.compile(rb"\d+\)\s+\d+(\.\d+)?\s+((\d\s+)?(Rx|Tx)\s+)?" + _HEX + rb"{4,8}\s")


def tell_form(head: bytes) -> TraceForm | None:
    """The form of trace that begins like this; None where it begins like none.

    head: the first bytes of the file, unpacked; a few kilobytes are enough.
    """
    if head.startswith(b"LOGG"):
        return TraceForm.BLF
    if head.startswith((b"MDF     ", b"UnFinMF ")):
        return TraceForm.MF4
    lines = [line.strip() for line in head[:_LOOKED_AT].removeprefix(b"\xef\xbb\xbf").splitlines()]
    if lines and lines[0].replace(b'"', b"") == CSV_HEADING:
        return TraceForm.CSV
    for line in lines:
        for form, pattern in _BY_LINE:
            if pattern.match(line):
                return form
        if line and not line.startswith((b"#", b";", b"//")):
            return None
    return None


_BY_LINE: Final = (
    (TraceForm.CANDUMP, _CANDUMP),
    (TraceForm.CANDUMP_SCREEN, _CANDUMP_SCREEN),
    (TraceForm.ASC, _ASC),
    (TraceForm.ASC, _ASC_FRAME),
    (TraceForm.TRC, _TRC),
    (TraceForm.TRC, _TRC_FRAME),
)
