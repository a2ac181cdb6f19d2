"""What a device hands over: received once under the key it gives it, then taken in.

Received under the same key with the same content it is the same delivery, however often it comes
and in whatever order: the journal tells bales apart by what they are, never by when they came.
"""

from __future__ import annotations

import hashlib
import os
import secrets
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from datetime import timedelta
from enum import StrEnum
from pathlib import Path
from typing import Any, Final

from balewright.flows.reading_of import reading_of
from balewright.flows.take_in_file import Handed
from balewright.flows.take_in_pieces import KEPT_DAYS, make_room
from balewright.flows.take_in_report import report_of, report_to_json
from balewright.flows.take_in_then_review import take_in_then_review
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.store.arriving import DeliveryEntry, DeliveryState, SenderEntry
from balewright.store.entries import IntakeState
from balewright.store.running import cannot_write

MOST_BYTES: Final = 64 << 20
"""The largest delivery; what is larger comes by the desk, a folder or the shell."""

LONGEST_KEY: Final = 100

REMEMBERED_DAYS: Final = 400
"""How long a delivery's key is remembered: a device laid up over a winter may replay its queue.
What comes again after that is known by its content."""

MOST_WAITING: Final = 500
MOST_WAITING_OF_ONE: Final = 50
"""Deliveries that may wait to be taken in: of all senders, of one."""

FULL_WAIT_S: Final = 60
OWN_WAIT_S: Final = 30
DISK_WAIT_S: Final = 600
"""After how long to come again: the whole queue is full, its own is, the disk is."""


class Later(Exception):
    """Nothing is taken now. is_own: whether this sender alone is too quick; wait_s: how long."""

    def __init__(self, why: str, is_own: bool, wait_s: int) -> None:
        super().__init__(why)
        self.why, self.is_own, self.wait_s = why, is_own, wait_s


class Verdict(StrEnum):
    """Of a delivery that came: new, the same once more, or another under a key that is taken."""

    NEW = "new"
    SAME = "same"
    OTHER = "other"


@dataclass(frozen=True)
class Staged:
    """A delivery that has come whole and does not count yet."""

    entry: DeliveryEntry
    path: Path


def require_room(workplace: Workplace, sender: SenderEntry, size_bytes: int) -> None:
    """Pass where a delivery can be received now; Later where the queue or the disk is full.

    size_bytes: as it was said, MOST_BYTES where it was not.
    """
    if workplace.register.count_waiting(sender.key) >= MOST_WAITING_OF_ONE:
        raise Later("this sender's deliveries still wait to be taken in", True, OWN_WAIT_S)
    if workplace.register.count_waiting() >= MOST_WAITING:
        raise Later("many deliveries still wait to be taken in", False, FULL_WAIT_S)
    try:
        make_room(_folder(workplace), size_bytes)
    except BadInput as error:
        raise Later("the desk's disk is nearly full", False, DISK_WAIT_S) from error


def stage_delivery(
    workplace: Workplace, sender: SenderEntry, key: str, suffix: str, chunks: Iterable[bytes]
) -> Staged | None:
    """Receive a delivery's bytes and hash them.

    key: the sender's own for it; suffix: of its name, by what it holds. None where more came than
    MOST_BYTES. Raises BadInput for a key that cannot be one and where nothing can be written.
    """
    if not 0 < len(key) <= LONGEST_KEY or not key.isprintable():
        need = f"a key of 1 to {LONGEST_KEY} printable characters"
        cure = "Give each batch its own, and the same when it is sent again."
        raise BadInput(Fault("Idempotency-Key", need, f"{len(key)} characters", cure))
    path = _folder(workplace) / f"incoming-{secrets.token_hex(12)}"
    hashed, size_bytes = hashlib.sha256(), 0
    try:
        with path.open("xb") as file:
            for chunk in chunks:
                size_bytes += len(chunk)
                if size_bytes > MOST_BYTES:
                    break
                hashed.update(chunk)
                file.write(chunk)
            file.flush()
            os.fsync(file.fileno())
    except BaseException as error:
        path.unlink(missing_ok=True)
        if isinstance(error, OSError):
            raise cannot_write(path.parent, error) from error
        raise
    if size_bytes > MOST_BYTES:
        path.unlink()
        return None
    name = f"{sender.label} {key}{suffix}".replace("/", "-")
    at = workplace.clock()
    return Staged(
        DeliveryEntry(0, sender.key, key, hashed.hexdigest(), name[-255:], size_bytes, at), path
    )


def keep_delivery(workplace: Workplace, staged: Staged) -> tuple[DeliveryEntry, Verdict]:
    """Make a staged delivery count, once; one that failed here may come again.

    Best called in one transaction with the queueing of its work, so that neither is without the
    other.
    """
    entry, is_new = workplace.register.add_delivery(staged.entry)
    place = delivery_place(workplace, entry.id)
    lost = entry.state is DeliveryState.WAITING and not place.exists()
    if entry.sha256 != staged.entry.sha256:
        staged.path.unlink()
        return entry, Verdict.OTHER
    if is_new or lost or entry.state is DeliveryState.FAILED:
        staged.path.rename(place)
        workplace.register.end_delivery(entry.id, DeliveryState.WAITING)
        return workplace.register.load_delivery(entry.id) or entry, Verdict.NEW
    staged.path.unlink()
    return entry, Verdict.SAME


def take_in_delivery(workplace: Workplace, delivery: int) -> DeliveryEntry | None:
    """Take a waiting delivery in; what became of it, None where there is none such.

    One that is not waiting any more is left as it is, so that work done again does no harm.
    """
    entry = workplace.register.load_delivery(delivery)
    sender = None if entry is None else workplace.register.load_sender(entry.sender)
    if entry is None or sender is None or entry.state is not DeliveryState.WAITING:
        return entry
    path = delivery_place(workplace, delivery)
    handed = Handed(
        path,
        entry.name,
        reading=reading_of(workplace, sender.machine),
        only_machine=sender.machine,
    )
    more_waits = workplace.register.count_waiting(sender.key) > 1
    try:
        report = take_in_then_review(workplace, handed, reviewing=not more_waits)
    except BaseException:
        workplace.register.end_delivery(delivery, DeliveryState.FAILED)
        raise
    states = {
        IntakeState.TAKEN: DeliveryState.TAKEN,
        IntakeState.ALREADY_TAKEN: DeliveryState.ALREADY_TAKEN,
        IntakeState.REFUSED: DeliveryState.REFUSED,
    }
    workplace.register.end_delivery(delivery, states[report.state], report.sha256)
    path.unlink(missing_ok=True)
    ended = workplace.register.load_delivery(delivery)
    if not more_waits:
        sweep_deliveries(workplace)  # one that came by a clock years behind is forgotten already
    return ended


def sweep_deliveries(workplace: Workplace) -> int:
    """Remove files older than KEPT_DAYS that do not wait: what came in part, what failed and was
    not sent again; how many. Deliveries that ended REMEMBERED_DAYS ago are forgotten.
    """
    workplace.register.forget_deliveries(workplace.clock() - timedelta(days=REMEMBERED_DAYS))
    before = (workplace.clock() - timedelta(days=KEPT_DAYS)).timestamp()
    waiting = {str(entry.id) for entry in workplace.register.load_waiting()}
    dead = [
        path
        for path in _folder(workplace).iterdir()
        if path.name not in waiting and path.stat().st_mtime < before
    ]
    for path in dead:
        path.unlink(missing_ok=True)
    return len(dead)


def delivery_to_json(workplace: Workplace, entry: DeliveryEntry) -> dict[str, Any]:
    """What a sender is told of its delivery; with the report once it has been judged."""
    ledger = workplace.register.load_intake(entry.intake_sha256) if entry.intake_sha256 else None
    told = {**asdict(entry), "state": entry.state.value, "at": entry.at.isoformat()}
    told["report"] = None if ledger is None else report_to_json(report_of(workplace, ledger))
    return told


def delivery_place(workplace: Workplace, delivery: int) -> Path:
    """Where a delivery waits for the worker."""
    return _folder(workplace) / str(delivery)


def _folder(workplace: Workplace) -> Path:
    folder = workplace.home / "deliveries"
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise cannot_write(folder, error) from error
    return folder
