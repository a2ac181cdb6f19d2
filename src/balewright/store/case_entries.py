"""What the register says of cases: entries with how they came, links, photos."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from balewright.cause.case.entry import Entry


class Way(StrEnum):
    """How an entry came: written at the desk or by a command, by a phone's line, in a file."""

    DESK = "desk"
    COMMAND = "command"
    LINE = "line"
    FILE = "file"


@dataclass(frozen=True)
class Arrived:
    """An entry and how it came. at_us: when, UTC microseconds by the desk's clock; by: the account
    that handed it in, None for whoever has a link or the command line."""

    entry: Entry
    at_us: int
    way: Way
    by: str | None = None


class CaseLinkKind(StrEnum):
    """What a link to a case opens: the page that guides and takes entries, or reading alone."""

    GUIDE = "guide"
    READ = "read"


@dataclass(frozen=True)
class CaseLinkEntry:
    """A link to one case. withdrawn_at: None while it is in force; opened: how often; note: what
    stands above it for whoever opens it; claim: shared as evidence of a claim."""

    id: int
    case: str
    kind: CaseLinkKind
    made_at: datetime
    made_by: str
    valid_until: datetime
    withdrawn_at: datetime | None = None
    opened: int = 0
    note: str = ""
    claim: bool = False

    def is_good(self, now: datetime) -> bool:
        """Whether it opens anything at that time."""
        return self.withdrawn_at is None and now < self.valid_until


@dataclass(frozen=True)
class PhotoEntry:
    """A photo that arrived. media: its type; gone_at: when its file was let go, None while it is
    there; gone_why: why."""

    sha256: str
    media: str
    size_bytes: int
    at_us: int
    gone_at: datetime | None = None
    gone_why: str = ""


@dataclass(frozen=True)
class CaseRow:
    """A case without its entries. at_us: when its first entry arrived; entries: how many."""

    case: str
    machine: str | None
    at_us: int
    last_us: int
    entries: int
