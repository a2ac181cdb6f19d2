"""Process data (ISO 11783-10): values of the data dictionary as the bus carries them.

Only measured values sent by a machine become signals; what else was said is counted by identifier.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.readers.can.frames import Frames

PROCESS_DATA: Final = 51968
VALUE: Final = 3
"""Command of a message that carries a value."""

RANK: Final = 1
MOST_KINDS: Final = 5000


@dataclass(frozen=True)
class Meaning:
    """The signal that an identifier is, and what one step is worth in its unit."""

    signal: str
    factor: float


MEANINGS: Final = {
    91: Meaning("job_bale_no", 1.0),
    99: Meaning("moisture_frac", 1e-6),
    102: Meaning("diameter_m", 1e-3),
    214: Meaning("bale_no", 1.0),
    216: Meaning("chamber_bar", 1e-5),
    223: Meaning("mass_kg", 1e-3),
}
"""By identifier of ISO 11783-11; units and resolutions of its dictionary."""


@dataclass(frozen=True)
class ProcessValue:
    """What one machine said under one identifier: identifier and element of the device, sender,
    how often, and the last value as it stood, in the dictionary's steps."""

    identifier: int
    element: int
    source: int
    messages: int
    last_raw: int


@dataclass(frozen=True, eq=False)
class ProcessRows:
    """Values of many messages: (n,) each; raw as they stood."""

    identifier: NDArray[np.int64]
    element: NDArray[np.int64]
    source: NDArray[np.uint8]
    raw: NDArray[np.int64]
    at_us: NDArray[np.int64]
    number: NDArray[np.int64]


def process_rows(frames: Frames) -> ProcessRows:
    """The values in frames of PROCESS_DATA; other commands and short frames are left out."""
    data = frames.data
    said = (frames.length == 8) & ((data[:, 0] & 0x0F) == VALUE)
    data = np.ascontiguousarray(data[said])
    return ProcessRows(
        data[:, 2].astype(np.int64) | data[:, 3].astype(np.int64) << 8,
        (data[:, 0] >> 4).astype(np.int64) | data[:, 1].astype(np.int64) << 4,
        frames.source[said],
        data[:, 4:8].copy().view("<i4")[:, 0].astype(np.int64),
        frames.at_us[said],
        frames.number[said],
    )


class ProcessCount:
    """Counts what was said, by identifier, element and sender."""

    def __init__(self) -> None:
        self._said: dict[tuple[int, int, int], tuple[int, int]] = {}

    def see(self, rows: ProcessRows) -> None:
        """Count some values; more kinds than MOST_KINDS are not held apart."""
        key = rows.identifier << 24 | rows.element << 8 | rows.source
        found, last, counts = np.unique(key[::-1], return_index=True, return_counts=True)
        for kind, at, count in zip(found.tolist(), last.tolist(), counts.tolist(), strict=True):
            which = (kind >> 24, (kind >> 8) & 0xFFF, kind & 0xFF)
            if which in self._said or len(self._said) < MOST_KINDS:
                before = self._said.get(which, (0, 0))[0]
                self._said[which] = (before + count, int(rows.raw[::-1][at]))

    def all(self) -> tuple[ProcessValue, ...]:
        """All that was said, by identifier."""
        return tuple(
            ProcessValue(*which, messages, last)
            for which, (messages, last) in sorted(self._said.items())
        )
