"""A folder that is watched: what is put there is taken in once it has stopped growing.

Looked at again and again, with no help of the file system: that works on network folders too.
"""

from __future__ import annotations

import fcntl
import hashlib
import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from balewright.flows.reading_of import reading_of
from balewright.flows.take_in_file import Handed
from balewright.flows.take_in_report import IntakeReport
from balewright.flows.take_in_then_review import take_in_then_review
from balewright.flows.watched_memory import Memory, Signature
from balewright.flows.watched_names import Found, find_files
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.store.running import cannot_write

FIRST_RETRY_S: Final = 60.0
LONGEST_RETRY_S: Final = 3600.0
"""What cannot be read is tried again after so long, each time twice as long, up to an hour."""


@dataclass(frozen=True)
class Watch:
    """What is watched, and how.

    settle_s: how long a file must stay as it is; done: where files go once they are kept, None to
    move nothing; machine, map_key: how files are read that do not say it themselves.
    """

    folder: Path
    settle_s: float = 10.0
    done: Path | None = None
    machine: str | None = None
    map_key: str | None = None


@dataclass(frozen=True)
class Outcome:
    """What became of one file. report: None where it could not be taken in, which `why` says."""

    name: str
    report: IntakeReport | None
    why: str = ""
    moved_to: Path | None = None


@dataclass
class _Waiting:
    signature: Signature
    since_s: float


@dataclass
class _Failing:
    signature: Signature
    why: str
    again_s: float
    pause_s: float


@dataclass
class FolderWatch:
    """One watched folder; only one of them a folder and home, see `watching`."""

    workplace: Workplace
    watch: Watch
    memory: Memory
    _waiting: dict[str, _Waiting] = field(default_factory=dict)
    _failing: dict[str, _Failing] = field(default_factory=dict)
    _unfinished: set[int] = field(default_factory=set)

    @property
    def pending(self) -> tuple[str, ...]:
        """Files that may still grow."""
        return tuple(sorted(self._waiting))

    def look(self, clock: Callable[[], float]) -> Iterator[Outcome]:
        """Look once, and take in what has settled. clock: seconds that only go forward.

        Raises BadInput where the folder cannot be looked at.
        """
        found = find_files(self.watch.folder, self.watch.done)
        present = {one.name for one in found.files}
        for gone in set(self._waiting) - present:
            del self._waiting[gone]
        for one in found.files:
            if self._is_settled(one, clock()):
                self._waiting.pop(one.name, None)
                outcome = self._take(one, clock())
                if outcome is not None:
                    yield outcome
        self._unfinished = set(found.unfinished)

    def _is_settled(self, one: Found, now_s: float) -> bool:
        """Whether it is new and has been as it is for long enough."""
        failing = self._failing.get(one.name)
        if failing is not None and failing.signature == one.signature:
            return now_s >= failing.again_s
        if self.memory.knows(one.name, one.signature) or one.signature.size_bytes == 0:
            self._waiting.pop(one.name, None)
            return False
        if one.inode in self._unfinished:  # it was written under another name, and renamed
            return True
        waiting = self._waiting.get(one.name)
        if waiting is None or waiting.signature != one.signature:
            self._waiting[one.name] = _Waiting(one.signature, now_s)
            return self.watch.settle_s <= 0
        return now_s - waiting.since_s >= self.watch.settle_s

    def _take(self, one: Found, now_s: float) -> Outcome | None:
        """Take it in; None where nothing new is to be said."""
        reading = reading_of(self.workplace, self.watch.machine, self.watch.map_key)
        handed = Handed(one.path, one.name.rpartition("/")[2], reading=reading)
        try:
            report = take_in_then_review(self.workplace, handed)
        except BadInput as error:
            why = " ".join(str(fault) for fault in error.faults)
            return self._fail(one, why, now_s)
        self._failing.pop(one.name, None)
        self.memory.note(one.name, one.signature, report.sha256)
        if self.watch.done is None or report.state == "refused":
            return Outcome(one.name, report)
        try:
            moved = _move(one.path, self.watch.done)
        except OSError as error:
            return Outcome(one.name, report, f"{self.watch.done}: {error.strerror or error}")
        return Outcome(one.name, report, moved_to=moved)

    def _fail(self, one: Found, why: str, now_s: float) -> Outcome | None:
        before = self._failing.get(one.name)
        pause_s = FIRST_RETRY_S if before is None else min(2 * before.pause_s, LONGEST_RETRY_S)
        self._failing[one.name] = _Failing(one.signature, why, now_s + pause_s, pause_s)
        return None if before is not None and before.why == why else Outcome(one.name, None, why)


@contextmanager
def watching(workplace: Workplace, watch: Watch) -> Iterator[FolderWatch]:
    """Watch a folder, alone. What was taken in before, also by an earlier watch, is remembered.

    Raises BadInput for a folder that is not there, or that another watch of this home holds.
    """
    if not watch.folder.is_dir():
        need, cure = "a folder", "Check the path, and that the network folder is there."
        raise BadInput(Fault(str(watch.folder), need, "none such", cure))
    kept = workplace.home / "watched"
    name = hashlib.sha256(os.fsencode(watch.folder.resolve())).hexdigest()[:24]
    try:
        kept.mkdir(mode=0o700, parents=True, exist_ok=True)
        lock = (kept / f"{name}.lock").open("a")
    except OSError as error:
        raise cannot_write(kept, error) from error
    with lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as error:
            need, cure = "a folder nobody watches yet", "End the other `watch-folder` first."
            raise BadInput(Fault(str(watch.folder), need, "one that is watched", cure)) from error
        yield FolderWatch(workplace, watch, Memory.load(kept / f"{name}.json"))


def _move(path: Path, done: Path) -> Path:
    """Move what was taken in out of the way; one of the same name stays beside it."""
    done.mkdir(parents=True, exist_ok=True)
    target = done / path.name
    number = 2
    while target.exists():
        target = done / f"{path.stem} ({number}){path.suffix}"
        number += 1
    shutil.move(path, target)
    return target
