"""Frames of an invented machine, and traces of them written by python-can's own writers."""

from __future__ import annotations

import struct
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

import can

from balewright.readers.can.frames import Frames

T0 = 1_938_763_800.0
"""2031-06-09T09:30:00Z."""

BALER = 0x2A
TRACTOR = 0xF0
WRITERS = {
    "candump": (".log", can.CanutilsLogWriter),
    "asc": (".asc", can.ASCWriter),
    "blf": (".blf", can.BLFWriter),
    "trc": (".trc", can.TRCWriter),
    "csv": (".csv", can.CSVWriter),
}


def identifier(pgn: int, source: int, destination: int = 0xFF, priority: int = 6) -> int:
    """The 29 bits of a message by ISO 11783-3."""
    if (pgn >> 8) & 0xFF < 240:
        pgn |= destination
    return priority << 26 | pgn << 8 | source


@dataclass
class Bus:
    """A bus that somebody listens to: frames as (seconds since T0, identifier, data)."""

    frames: list[tuple[float, int, bytes]] = field(default_factory=list)

    def say(self, at_s: float, pgn: int, data: bytes, source: int = BALER, to: int = 0xFF) -> None:
        """One frame of at most eight bytes."""
        self.frames.append((at_s, identifier(pgn, source, to), data))

    def broadcast(
        self, at_s: float, pgn: int, data: bytes, source: int = BALER, skip: Iterable[int] = ()
    ) -> None:
        """A long message to all, 50 ms between packets; `skip`: packets that get lost."""
        packets = -(-len(data) // 7)
        head = struct.pack("<BHBB", 32, len(data), packets, 0xFF) + pgn.to_bytes(3, "little")
        self.say(at_s, 60416, head, source)
        for number in range(1, packets + 1):
            if number not in skip:
                part = data[7 * number - 7 : 7 * number].ljust(7, b"\xff")
                self.say(at_s + 0.05 * number, 60160, bytes([number]) + part, source)

    def messages(self) -> list[can.Message]:
        """All frames in the order of time, as python-can has them."""
        return [
            can.Message(timestamp=T0 + at_s, arbitration_id=number, is_extended_id=True, data=data)
            for at_s, number, data in sorted(self.frames, key=lambda frame: frame[0])
        ]

    def write(self, folder: Path, form: str = "candump", name: str = "trace") -> Path:
        """A trace of that form, by python-can's own writer."""
        return write_messages(folder, form, self.messages(), name)


def write_messages(
    folder: Path, form: str, messages: Iterable[can.Message], name: str = "trace"
) -> Path:
    """Write messages in a form of WRITERS."""
    ending, writer = WRITERS[form]
    path = folder / f"{name}{ending}"
    with writer(str(path)) as out:
        for message in messages:
            out.on_message_received(message)
    return path


Row = tuple[int, int, bool, bytes, int]


def rows_of(blocks: Iterable[Frames]) -> list[Row]:
    """Frames as plain rows: microseconds, identifier, extended, data, number."""
    return [
        (
            int(one.at_us[row]),
            int(one.identifier[row]),
            bool(one.extended[row]),
            one.data[row, : one.length[row]].tobytes(),
            int(one.number[row]),
        )
        for one in blocks
        for row in range(one.rows)
    ]


def rows_by_library(messages: Iterable[can.Message], start_s: float = 0.0) -> list[Row]:
    """The same rows from python-can's messages, data frames only."""
    kept = [one for one in messages if not (one.is_error_frame or one.is_remote_frame or one.is_fd)]
    return [
        (
            round((one.timestamp - start_s) * 1e6),
            one.arbitration_id,
            one.is_extended_id,
            bytes(one.data),
            number,
        )
        for number, one in enumerate(kept, 1)
    ]
