"""An entry of a case: one thing somebody did or saw, written once and never changed."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Final

from balewright.cause.case.payload import Fields, spelled

SCHEMA_VERSION: Final = 1
"""Of what an entry's payload holds."""


class EntryKind(StrEnum):
    """What this version understands; entries of other kinds are kept and counted."""

    OPENED = "opened"
    REPORTED = "reported"
    CHECK_READ = "check read"
    WENT_BACK = "went back"
    NOTE = "note"
    PHOTO = "photo"
    CAUSE_FOUND = "cause found"
    REPAIRED = "repaired"
    SWAPPED = "swapped"
    CLOSED = "closed"
    REOPENED = "reopened"
    PROVED = "cured proof"
    SHARED = "shared"
    CLAIM_NOTED = "claim noted"


class Said(StrEnum):
    """How a question was answered. skipped: it was asked and left."""

    YES = "yes"
    NO = "no"
    CANNOT_TELL = "cannot tell"
    SKIPPED = "skipped"


@dataclass(frozen=True)
class Entry:
    """One entry.

    id: made where it was written, by chance; case: key of its case; device: that wrote it;
    sequence: its number on that device; clock: logical, higher than every entry the device knew
    of; kind: of EntryKind, or of a newer version; payload: what it says (docs/cases.md);
    made_us: the device's own time, UTC microseconds, shown and never trusted; by: who says it,
    as written there, "" unknown.
    """

    id: str
    case: str
    device: str
    sequence: int
    clock: int
    kind: str
    payload: Fields = field(default_factory=Fields)
    schema_version: int = SCHEMA_VERSION
    made_us: int | None = None
    by: str = ""

    @property
    def known_kind(self) -> EntryKind | None:
        """The kind, None for one that this version does not understand."""
        if self.schema_version > SCHEMA_VERSION or self.kind not in _KINDS:
            return None
        return EntryKind(self.kind)


_KINDS: Final = frozenset(one.value for one in EntryKind)

Order = tuple[int, str, int, str, str]


def content_of(entry: Entry) -> str:
    """SHA-256 of all that an entry says: two entries of one content are one."""
    said = (
        *(entry.id, entry.case, entry.device, entry.sequence, entry.clock, entry.kind),
        *(entry.schema_version, entry.made_us, entry.by),
    )
    whole = f"{said!r}{spelled(entry.payload)}"
    return hashlib.sha256(whole.encode("utf-8", "surrogatepass")).hexdigest()


def order_of(entry: Entry) -> Order:
    """The order entries are read in: what a device knew of comes before what it then wrote;
    between devices that knew nothing of each other it is settled, not true.
    """
    return (entry.clock, entry.device, entry.sequence, entry.id, content_of(entry))
