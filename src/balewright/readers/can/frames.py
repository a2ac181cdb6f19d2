"""Frames of a bus as columns, in blocks. Only classic data frames: eight bytes at most."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

BLOCK_FRAMES: Final = 65_536
MOST_IDENTIFIER: Final = 0x1FFF_FFFF
GLOBAL: Final = 0xFF
"""Destination address of a message to all, ISO 11783-3."""


@dataclass(frozen=True, eq=False)
class Frames:
    """Some frames, in the order recorded.

    at_us: (n,) int64 microseconds; identifier: (n,) uint32, 29 bits where extended, else 11;
    extended: (n,) bool; length: (n,) uint8, 0 to 8; data: (n, 8) uint8, 0 beyond the length;
    number: (n,) int64, the frame's number in its file, from 1.
    """

    at_us: NDArray[np.int64]
    identifier: NDArray[np.uint32]
    extended: NDArray[np.bool_]
    length: NDArray[np.uint8]
    data: NDArray[np.uint8]
    number: NDArray[np.int64]

    @property
    def rows(self) -> int:
        """How many there are."""
        return len(self.at_us)

    @property
    def pgn(self) -> NDArray[np.uint32]:
        """(n,) parameter group number by ISO 11783-3: the low byte is 0 where it is an address.
        Meaningless where not extended."""
        group = (self.identifier >> 8) & 0x3FFFF
        addressed = ((group >> 8) & 0xFF) < 240
        return np.where(addressed, group & 0x3FF00, group).astype(np.uint32)

    @property
    def source(self) -> NDArray[np.uint8]:
        """(n,) address of the sender."""
        return (self.identifier & 0xFF).astype(np.uint8)

    @property
    def destination(self) -> NDArray[np.uint8]:
        """(n,) address of the receiver, GLOBAL for all."""
        low = (self.identifier >> 8) & 0xFF
        addressed = ((self.identifier >> 16) & 0xFF) < 240
        return np.where(addressed, low, GLOBAL).astype(np.uint8)

    def take(self, rows: NDArray[np.bool_] | NDArray[np.intp]) -> Frames:
        """The frames that a mask or an index picks."""
        return Frames(
            self.at_us[rows],
            self.identifier[rows],
            self.extended[rows],
            self.length[rows],
            self.data[rows],
            self.number[rows],
        )

    def moved(self, at_us: NDArray[np.int64]) -> Frames:
        """The same frames at other times."""
        return Frames(at_us, self.identifier, self.extended, self.length, self.data, self.number)


@dataclass(frozen=True)
class OneFrame:
    """A frame by itself, as the slow paths give it; at_us as in Frames."""

    at_us: int
    identifier: int
    extended: bool
    data: bytes


def frames_of(some: Sequence[OneFrame], numbers: NDArray[np.int64]) -> Frames:
    """Columns of frames given one by one; numbers: (n,) of each."""
    count = len(some)
    data = np.zeros((count, 8), np.uint8)
    for row, one in enumerate(some):
        data[row, : len(one.data)] = list(one.data)
    return Frames(
        np.fromiter((one.at_us for one in some), np.int64, count),
        np.fromiter((one.identifier for one in some), np.uint32, count),
        np.fromiter((one.extended for one in some), np.bool_, count),
        np.fromiter((len(one.data) for one in some), np.uint8, count),
        data,
        numbers,
    )
