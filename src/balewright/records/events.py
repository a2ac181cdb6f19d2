"""Events and settings beside the bale table."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from balewright.records.columns import Column, Kind

EVENT_SCHEMA_VERSION: Final = 2


class EventKind(StrEnum):
    """What can happen beside the bales."""

    FILM_ROLL_CHANGED = "film roll changed"
    NET_ROLL_CHANGED = "net roll changed"
    CARTRIDGE_CHANGED = "cartridge changed"
    SERVICED = "serviced"
    KNIVES_TURNED = "knives turned"
    PART_REPLACED = "part replaced"
    SOFTWARE_SET = "software set"
    CONTROL_SWAPPED = "control swapped"
    CODE_CAME = "code came"
    CODE_WENT = "code went"


@dataclass(frozen=True)
class Event:
    """One event. at_us: UTC microseconds, None when unknown; bale_no: the bale it came before.

    item: which roll, part or service item (a key of the profile); value: a number that belongs
    to it (roll metres, software version as text goes into `note`); batch: the maker's batch or lot
    of the roll or cartridge that was put on, "" when nobody noted it.
    """

    machine: str
    kind: EventKind
    bale_no: int | None = None
    at_us: int | None = None
    item: str = ""
    value: float | None = None
    note: str = ""
    batch: str = ""


EVENT_COLUMNS: Final[tuple[Column, ...]] = (
    Column("machine", Kind.TEXT, "the machine's serial in the register"),
    Column("bale", Kind.INT, "the machine's own number of the bale it came before", 0, 10_000_000),
    Column("at", Kind.TIME, "when it happened"),
    Column("kind", Kind.TEXT, "what happened", choices=tuple(kind.value for kind in EventKind)),
    Column("item", Kind.TEXT, "which roll, part or service item"),
    Column("value", Kind.FLOAT, "a number that belongs to it", -1e9, 1e9),
    Column("note", Kind.TEXT, "anything else worth keeping"),
    Column("batch", Kind.TEXT, "batch or lot of the roll or cartridge that was put on"),
)
"""The CSV form of events, version 2. `machine` and `kind` are needed in every row.

Version 1 had no `batch`; a file of it is read as one whose batches nobody noted.
"""


@dataclass(frozen=True)
class Setting:
    """A setting in force from a bale or a time on, by the sheet or as the machine reports it."""

    machine: str
    name: str
    value: float
    since_bale: int | None = None
    since_us: int | None = None
    sheet: str | None = None
