"""Who speaks on the bus: addresses and the names that claimed them (ISO 11783-5)."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Final

import numpy as np

from balewright.readers.can.frames import Frames
from balewright.readers.can.notes import Notes
from balewright.records.quality import Mark

ADDRESS_CLAIM: Final = 60928
FORAGE: Final = 9
"""Device class of forage machines, balers among them, ISO 11783-1."""

_AGRICULTURE: Final = 2
_NO_ADDRESS: Final = 254


@dataclass(frozen=True)
class Name:
    """A NAME by ISO 11783-5, its 64 bits taken apart.

    identity: the maker's own number, 21 bits; maker: the maker's number, 11 bits; the rest are
    the standard's numbers. raw: all of it.
    """

    raw: int
    identity: int
    maker: int
    ecu_instance: int
    function_instance: int
    function: int
    device_class: int
    class_instance: int
    industry: int
    configurable: bool

    @property
    def is_baler(self) -> bool:
        """Whether it is a forage machine of agriculture."""
        return self.industry == _AGRICULTURE and self.device_class == FORAGE


def read_name(data: bytes) -> Name:
    """The NAME in the eight bytes of an address claim."""
    raw = int.from_bytes(data[:8], "little")

    def bits(start: int, count: int) -> int:
        return (raw >> start) & ((1 << count) - 1)

    return Name(
        raw=raw,
        identity=bits(0, 21),
        maker=bits(21, 11),
        ecu_instance=bits(32, 3),
        function_instance=bits(35, 5),
        function=bits(40, 8),
        device_class=bits(49, 7),
        class_instance=bits(56, 4),
        industry=bits(60, 3),
        configurable=bool(bits(63, 1)),
    )


@dataclass(frozen=True)
class Node:
    """Who spoke from one address. name: the last that claimed it, None where no claim was heard;
    frames: how many it sent; first_us, last_us: of them."""

    address: int
    name: Name | None
    frames: int
    first_us: int
    last_us: int

    @property
    def is_baler(self) -> bool:
        """Whether a forage machine claimed the address."""
        return self.name is not None and self.name.is_baler


class Nodes:
    """Gathers who spoke, block by block."""

    def __init__(self, notes: Notes) -> None:
        self._notes = notes
        self._frames: Counter[int] = Counter()
        self._first_us: dict[int, int] = {}
        self._last_us: dict[int, int] = {}
        self._names: dict[int, Name] = {}

    def see(self, frames: Frames) -> None:
        """Count the senders of extended frames."""
        counts = np.bincount(frames.source, minlength=256)
        for address in np.flatnonzero(counts).tolist():
            mine = np.flatnonzero(frames.source == address)
            self._frames[address] += int(counts[address])
            self._first_us.setdefault(address, int(frames.at_us[mine[0]]))
            self._last_us[address] = int(frames.at_us[mine[-1]])

    def claim(self, frames: Frames) -> None:
        """Hear address claims."""
        for row in range(frames.rows):
            address, number = int(frames.source[row]), int(frames.number[row])
            data = frames.data[row, : frames.length[row]].tobytes()
            if address == _NO_ADDRESS:
                said = "a control could not get an address"
                self._notes.doubt(f"message {number}", Mark.SENDER_DOUBTED, said)
                continue
            if len(data) < 8:
                said = "An address claim has eight bytes."
                self._notes.refuse(f"message {number}", data.hex(), said)
                continue
            name, before = read_name(data), self._names.get(address)
            if before is not None and before.raw != name.raw:
                said = f"address {address:#04x} changed hands"
                self._notes.doubt(f"message {number}", Mark.SENDER_DOUBTED, said)
            self._names[address] = name

    def all(self) -> tuple[Node, ...]:
        """Everybody who spoke, by address."""
        return tuple(
            Node(one, self._names.get(one), count, self._first_us[one], self._last_us[one])
            for one, count in sorted(self._frames.items())
        )
