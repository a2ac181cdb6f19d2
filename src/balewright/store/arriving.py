"""What is on its way in: uploads in pieces, devices that send, and what they handed over."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum


class UploadState(StrEnum):
    """Where an upload is. One that has ended is forgotten some days later."""

    COMING = "coming"
    QUEUED = "queued"
    STOPPING = "stopping"
    ENDED = "ended"


@dataclass(frozen=True)
class UploadEntry:
    """A file that comes piece by piece, or waits to be taken in.

    key: names its file too; made_by: whose it is; ticket: of the work that takes it in, None while
    it comes; map_key, machine, begins_us (of a recording, UTC microseconds): how it is to be read,
    None for what it says itself.
    """

    key: str
    name: str
    size_bytes: int
    made_at: datetime
    made_by: str
    state: UploadState = UploadState.COMING
    ticket: str | None = None
    map_key: str | None = None
    machine: str | None = None
    begins_us: int | None = None


@dataclass(frozen=True)
class SenderEntry:
    """A device that sends a machine's records by itself. Its token is kept nowhere.

    key: in its address; machine: the only serial it may speak of; made_by: None for the command
    line; seen_at: when it last came with its token.
    """

    key: str
    machine: str
    label: str
    made_at: datetime
    made_by: str | None
    withdrawn_at: datetime | None = None
    seen_at: datetime | None = None


class DeliveryState(StrEnum):
    """What became of a delivery. `failed` is ours, and the same may be sent again."""

    WAITING = "waiting"
    TAKEN = "taken"
    ALREADY_TAKEN = "already taken"
    REFUSED = "refused"
    FAILED = "failed"


@dataclass(frozen=True)
class DeliveryEntry:
    """One batch a sender handed over.

    id: of the delivery, 0 before it is kept; sender: its key; key: the sender's own for it; sha256:
    of what was sent; intake_sha256: its line in the ledger, None before there is one.
    """

    id: int
    sender: str
    key: str
    sha256: str
    name: str
    size_bytes: int
    at: datetime
    state: DeliveryState = DeliveryState.WAITING
    intake_sha256: str | None = None
