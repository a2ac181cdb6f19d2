"""What a reader hands over: batches of kept rows, refused rows, and doubts. Nothing is silent."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from balewright.records.bales import BaleTable
from balewright.records.events import Event

MAX_BATCH_ROWS: Final = 65_536


@dataclass(frozen=True)
class Refusal:
    """One thing that could not be read.

    file: name inside the folder or archive; place: `line 12`, `byte 4711`, `element TSK[3]`;
    text: what stood there, shortened; reason: plain words, with the cure.
    """

    file: str
    place: str
    text: str
    reason: str


@dataclass(frozen=True)
class Doubt:
    """Something odd that was read and kept. kind: a `quality` mark; the rest as in Refusal."""

    file: str
    place: str
    kind: str
    text: str


@dataclass(frozen=True)
class JobSeen:
    """An order as a file names it: `job` is the word its bales carry; the rest None if unsaid."""

    job: str
    customer: str | None = None
    farm: str | None = None
    field: str | None = None


class PlaceUnit(StrEnum):
    """What a place in a file counts."""

    LINE = "line"
    ROW = "row"
    BYTE = "byte"
    MESSAGE = "message"


@dataclass(frozen=True, eq=False)
class Places:
    """Where each bale of a batch stands in its original, so that a value can be traced.

    file: name inside the folder or archive, shape (rows,), text, "" for the file itself; at:
    number of the line, row or message (from 1) or offset of the byte (from 0), shape (rows,).
    A bale read from several places (a log, a trace) names the one where it was counted.
    """

    file: NDArray[Any]
    at: NDArray[np.int64]
    unit: PlaceUnit


@dataclass(frozen=True)
class Batch:
    """At most MAX_BATCH_ROWS bales with what was refused and doubted on the way.

    places: where the bales stand in the file, None where the reader cannot say.
    """

    bales: BaleTable
    events: tuple[Event, ...] = ()
    refusals: tuple[Refusal, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    places: Places | None = None
