"""What a stop (a kill, a power cut) left: what the next start cleared away, and what was begun and
did not end. Kept as notes, so that it is told and not only done.
"""

from __future__ import annotations

import hashlib
from contextlib import suppress
from dataclasses import asdict, dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Final

from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput
from balewright.quantities.reason import because
from balewright.store.health.lines import HealthLine, HealthState, good, wrong

if TYPE_CHECKING:
    from balewright.store.register import Register

_ONE_START: Final = timedelta(minutes=1)
_HEALED: Final = "after_stop.healed"
_BACKUP: Final = "after_stop.backup"
_ERASURE: Final = "after_stop.erasure"


@dataclass(frozen=True)
class Healed:
    """What a start cleared away or took up again. files: column files that nothing lists;
    originals: copies that no ledger line belongs to; work: pieces of the desk's work."""

    files: int = 0
    originals: int = 0
    work: int = 0


def note_healed(register: Register, at: datetime, healed: Healed) -> None:
    """Note it, unless there was nothing; a register that cannot be written now goes without.

    The desk and its worker start together: what they heal is one note.
    """
    if healed == Healed():
        return
    with suppress(BadInput):
        last = register.load_rule(_HEALED)
        if last is not None and abs(at - last.set_at) < _ONE_START:
            told = {name: last.body[name] + count for name, count in asdict(healed).items()}
            healed = Healed(**told)
        register.save_rule(_HEALED, asdict(healed), at)


def note_backup(workplace: Workplace, unfinished: Path | None) -> None:
    """Note that a backup is being written there, or with None that none is any more."""
    body = {} if unfinished is None else {"path": str(unfinished)}
    with suppress(BadInput):  # where there is no room left, a backup is needed all the more
        workplace.register.save_rule(_BACKUP, body, workplace.clock())


def load_erasure(register: Register, kind: str, subject: str) -> str | None:
    """What stands instead of the subject by an erasure that did not end; None for none."""
    found = (one["instead"] for one in _erasures(register) if _is_of(one, kind, subject))
    return next(found, None)


def note_erasure_begun(workplace: Workplace, kind: str, subject: str, instead: str) -> None:
    """Note, before the first change, that something is being erased and what stands instead of
    it: never what it was."""
    at = f"{workplace.clock():%Y-%m-%d %H:%M}"
    sha256 = hashlib.sha256(subject.encode()).hexdigest()
    new = {"kind": kind, "sha256": sha256, "instead": instead, "at": at}
    _save_erasures(workplace, kind, subject, [new])


def note_erasure_ended(workplace: Workplace, kind: str, subject: str) -> None:
    """Note that it is whole."""
    _save_erasures(workplace, kind, subject, [])


def _save_erasures(
    workplace: Workplace, kind: str, subject: str, new: list[dict[str, str]]
) -> None:
    others = [one for one in _erasures(workplace.register) if not _is_of(one, kind, subject)]
    workplace.register.save_rule(_ERASURE, {"begun": others + new}, workplace.clock())


def _erasures(register: Register) -> list[dict[str, str]]:
    begun = register.load_rule(_ERASURE)
    return [] if begun is None else list(begun.body["begun"])


def _is_of(one: dict[str, str], kind: str, subject: str) -> bool:
    return (one["kind"], one["sha256"]) == (kind, hashlib.sha256(subject.encode()).hexdigest())


def look_after_stop(register: Register) -> tuple[HealthLine, ...]:
    """What is to be told of stops: what was healed, and what waits for somebody."""
    lines = []
    healed = register.load_rule(_HEALED)
    if healed is None:
        lines.append(good("healed"))
    else:
        at = f"{healed.set_at:%Y-%m-%d %H:%M}"
        said = because("health.healed.done", at=at, **healed.body)
        lines.append(HealthLine("healed", HealthState.GOOD, said))
    backup = register.load_rule(_BACKUP)
    if backup is not None and backup.body and Path(backup.body["path"]).exists():
        at, path = f"{backup.set_at:%Y-%m-%d %H:%M}", backup.body["path"]
        lines.append(wrong("unended_backup", HealthState.LOOK, "begun", at=at, path=path))
    for one in _erasures(register):
        values = {"at": one["at"], "kind": one["kind"]}
        lines.append(wrong("unended_erasure", HealthState.LOOK, "begun", **values))
    return tuple(lines)
