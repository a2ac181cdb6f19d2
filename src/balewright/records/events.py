"""Events and settings beside the bale table."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


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


@dataclass(frozen=True)
class Event:
    """One event. at_us: UTC microseconds, None when unknown; bale_no: the bale it came before.

    item: which roll, part or service item (a key of the profile); value: a number that belongs
    to it (roll metres, software version as text goes into `note`).
    """

    machine: str
    kind: EventKind
    bale_no: int | None = None
    at_us: int | None = None
    item: str = ""
    value: float | None = None
    note: str = ""


@dataclass(frozen=True)
class Setting:
    """A setting in force from a bale or a time on, by the sheet or as the machine reports it."""

    machine: str
    name: str
    value: float
    since_bale: int | None = None
    since_us: int | None = None
    sheet: str | None = None
