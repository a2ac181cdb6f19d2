"""What the register keeps, as plain values. Nothing here knows of a database."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Any

from balewright.records.column_map import ColumnMap
from balewright.records.intake import Doubt, Refusal
from balewright.store.noted import NO_NOTES, IntakeNotes


@dataclass(frozen=True)
class MachineEntry:
    """One machine. serial: its name for ever; profile_key: its make's type; zone: IANA name that
    says what "a day" is; customer: whose it is, None when nobody's name is known.
    """

    serial: str
    name: str
    profile_key: str
    zone: str = "UTC"
    customer: str | None = None


@dataclass(frozen=True)
class JobEntry:
    """One order: who it is for and where. `job` is the word that bales carry.

    source: hash of the file that says so, None for what somebody entered. Two files may mean two
    orders by one word, so a word is never enough by itself.
    """

    job: str
    customer: str | None = None
    farm: str | None = None
    field: str | None = None
    crop: str | None = None
    source: str | None = None


@dataclass(frozen=True)
class SheetEntry:
    """A kept setup sheet: `json` is the whole of it, so that it can be read and made again."""

    id: str
    machine: str | None
    profile_key: str
    made_at: datetime
    json: Mapping[str, Any]


class IntakeState(StrEnum):
    """What became of a file. Only a taken one has bales in the journal."""

    TAKEN = "taken"
    ALREADY_TAKEN = "already taken"
    REFUSED = "refused"


@dataclass(frozen=True)
class IntakeEntry:
    """One line of the intake ledger.

    sha256: of the content, the file's identity; form: what it was read as; kept, events, refused,
    doubtful: totals; refusals, doubts: the first of each; machines: serials seen; first_us,
    last_us: span of the bales' times, None when no bale has one; at: when it was committed;
    notes: reasons in groups, and machine by machine.
    """

    sha256: str
    name: str
    form: str
    state: IntakeState
    at: datetime
    kept: int = 0
    events: int = 0
    refused: int = 0
    doubtful: int = 0
    refusals: tuple[Refusal, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    machines: tuple[str, ...] = ()
    first_us: int | None = None
    last_us: int | None = None
    notes: IntakeNotes = NO_NOTES

    @property
    def holds(self) -> bool:
        """Whether anything of it was kept; what holds nothing may be read anew."""
        return self.kept + self.events > 0


class Dataset(StrEnum):
    """The tables of the journal.

    Bales and events are what was taken in, and are never lost. Resolved bales (one row a bale)
    and conflicts are worked out from them by compaction, and can be worked out again.
    """

    BALES = "bales"
    EVENTS = "events"
    RESOLVED = "resolved"
    CONFLICTS = "conflicts"


@dataclass(frozen=True)
class Part:
    """One column file, as the manifest lists it.

    path: below the journal's root; season: UTC year of its times, None when unknown or odd;
    sha256, size_bytes: of the file as written; generation: 0 as taken in, higher once merged.
    """

    path: str
    dataset: Dataset
    season: int | None
    bucket: int
    rows: int
    sha256: str
    size_bytes: int
    schema_version: int
    generation: int = 0
    first_us: int | None = None
    last_us: int | None = None


@dataclass(frozen=True)
class Compacted:
    """What a bucket's newest generation covers.

    correction: corrections up to this number of theirs are in it; rows: as taken in; bales: rows
    once doubles are one. Generation 0 covers nothing.
    """

    bucket: int
    generation: int = 0
    correction: int = 0
    rows: int = 0
    bales: int = 0
    at: datetime | None = None


@dataclass(frozen=True)
class LinkEntry:
    """A link to one sheet, without its token, which is kept nowhere.

    id: of the link, for its own people; made_by: who made it; opened: how often the page was
    fetched while the link was good, by people and by scanners alike; names_machine: whether the
    page says the machine's name and serial; note: what its maker wrote above the sheet.
    """

    id: int
    sheet_id: str
    made_at: datetime
    made_by: str
    valid_until: datetime
    withdrawn_at: datetime | None = None
    opened: int = 0
    names_machine: bool = False
    note: str = ""

    def is_good(self, now: datetime) -> bool:
        """Whether the link opens at that time."""
        return self.withdrawn_at is None and now < self.valid_until


class Outcome(StrEnum):
    """What somebody says of a sheet they worked by."""

    WORKED = "worked"
    DID_NOT = "did not"
    CHANGED = "changed"


@dataclass(frozen=True)
class Change:
    """A setting that was not left as the sheet has it: key of its line, what was set instead."""

    line: str
    value: str


@dataclass(frozen=True)
class FeedbackEntry:
    """One answer to a sheet.

    mark: made where the answer was given, so that sending it twice gives one; given_by: who, None
    for whoever opened a link; at: when it arrived here.
    """

    sheet_id: str
    mark: str
    outcome: Outcome
    at: datetime
    changes: tuple[Change, ...] = ()
    text: str = ""
    given_by: str | None = None


@dataclass(frozen=True)
class SnapshotEntry:
    """A machine's settings as they stood at one time.

    settings: names with their values as they were read, in their order; origin: where they come
    from, in a word or two; kept_by: None for the command line.
    """

    id: str
    machine: str
    kept_at: datetime
    settings: tuple[tuple[str, str], ...]
    origin: str
    note: str = ""
    kept_by: str | None = None


@dataclass(frozen=True)
class HouseRuleEntry:
    """A rule of the house. body: what it says; set_by: None for the command line."""

    key: str
    body: Mapping[str, Any]
    set_at: datetime
    set_by: str | None = None


@dataclass(frozen=True)
class ColumnMapEntry:
    """A saved column map: one version of it.

    headings_sha256: the same for all maps of the same headings; made_by: None for the command
    line; withdrawn_at: None while it may be used.
    """

    map: ColumnMap
    headings_sha256: str
    made_at: datetime
    made_by: str | None = None
    withdrawn_at: datetime | None = None


@dataclass(frozen=True)
class ErasureEntry:
    """That something personal was erased. subject_sha256: hash of what it was about, so that the
    same request can be known again; counts: by place."""

    kind: str
    subject_sha256: str
    at: datetime
    by: str | None
    counts: Mapping[str, int]


@dataclass(frozen=True)
class AccessEntry:
    """That somebody looked at personal data or took it out. who: None for the command line."""

    at: datetime
    who: str | None
    deed: str
    subject: str
