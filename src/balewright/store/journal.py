"""The journal: column files in a folder, of which only those in the manifest count."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import numpy as np

from balewright.quantities.errors import BadInput, Fault
from balewright.records.bales import BaleTable
from balewright.records.columns import BY_NAME
from balewright.records.corrections import Correction
from balewright.records.counters import CounterSpan, Remarked
from balewright.records.events import Event
from balewright.records.intake import JobSeen, Places
from balewright.records.traced import Conflict, TracedBale
from balewright.store.arrow import bales_from_arrow, events_from_arrow
from balewright.store.bucket_view import BucketView
from balewright.store.entries import Dataset, IntakeEntry, Part
from balewright.store.intake_files import IntakeFiles, bucket_of
from balewright.store.named_bales import NAMING, Named, mark_anew, name_bales
from balewright.store.reading_lease import alone, reading
from balewright.store.refused_writes import NothingKept
from balewright.store.running import RunningMark, cannot_write, is_running
from balewright.store.trace import read_conflicts, trace_bale
from balewright.store.views import load_views

if TYPE_CHECKING:
    from balewright.store.register import Register

Answer = TypeVar("Answer")


@dataclass(frozen=True, eq=False)
class SourcedBales:
    """Rows as they were taken in, doubles and all, each with the hash of its file and its row."""

    bales: BaleTable
    source: tuple[str, ...]
    source_row: np.ndarray[Any, np.dtype[np.int64]]


@dataclass(frozen=True, eq=False)
class KeyedBales:
    """Bales with the key of each (`records.bale_keys`) and its files' hashes, spaced."""

    bales: BaleTable
    keys: tuple[str, ...]
    sources: tuple[str, ...]


class Journal:
    """Bales and events, kept for good. root: the folder of the column files."""

    def __init__(self, root: Path, register: Register) -> None:
        self.root = root
        self.register = register

    @contextmanager
    def intake(self, source: str = "") -> Iterator[Intake]:
        """Take rows in; leaving without `commit` leaves nothing behind.

        source: sha-256 of the content, if it is known already; else set it on the intake before
        the first row.
        """
        mark = RunningMark.begin(self._running)
        intake = Intake(self, mark.token, source)
        try:
            yield intake
        finally:
            intake.close()
            mark.end()

    def read_bales(
        self, machine: str, columns: Sequence[str] | None = None, last: int | None = None
    ) -> BaleTable:
        """One machine's bales, one row a bale, in the order they were made.

        columns: only these, None for all; last: only the last so many. Two files' rows of one
        bale are one row (`records.doubles`), corrections are laid over them.
        """
        return self.read_keyed_bales(machine, columns, last).bales

    def read_keyed_bales(
        self, machine: str, columns: Sequence[str] | None = None, last: int | None = None
    ) -> KeyedBales:
        """As `read_bales`, with the key of each bale: what a correction names it by."""
        for name in columns or ():
            BY_NAME[name]
        wanted = tuple(BY_NAME) if columns is None else tuple(columns)
        more = ("bale_key", "sources")
        table = self._read(machine, lambda view: view.read_resolved(wanted, more))
        if last is not None and last < table.num_rows:
            table = table.slice(table.num_rows - last)
        keys, sources = (tuple(table.column(name).to_pylist()) for name in more)
        return KeyedBales(bales_from_arrow(table), keys, sources)

    def read_bale(self, machine: str, key: str) -> TracedBale | None:
        """One bale with where each value comes from; None when no bale answers to that key."""
        rows, corrections = self._read(
            machine, lambda view: (view.read_raw(Dataset.BALES), view.corrections)
        )
        found = trace_bale(rows, machine, key, [one for _, one in corrections])
        if found is None:
            return None
        names = {source.sha256 for source in found.sources}
        ledger = {sha256: self.register.load_intake(sha256) for sha256 in names}
        return found.named({sha: line.name for sha, line in ledger.items() if line is not None})

    def read_names(self, machine: str) -> Named:
        """Every key that a machine's bales answer to."""
        rows, corrections = self._read(
            machine, lambda view: (view.read_raw(Dataset.BALES, NAMING), view.corrections)
        )
        return name_bales(rows, [one for _, one in corrections])

    def mark_anew(self, machine: str, coming: Correction | None = None) -> Remarked:
        """A machine's counter marks once its corrections, and one that is coming, count."""
        rows, corrections = self._read(
            machine, lambda view: (view.read_raw(Dataset.BALES, NAMING), view.corrections)
        )
        every = [one for _, one in corrections] + ([] if coming is None else [coming])
        before = self.register.load_spans(machine).get(machine, ())
        return Remarked(before, mark_anew(before, rows, every))

    def read_conflicts(self, machine: str) -> tuple[Conflict, ...]:
        """Where two files say different things of one bale of a machine, and which counts."""
        return self._read(machine, read_conflicts)

    def read_sources(self, machine: str) -> SourcedBales:
        """One machine's rows as they were taken in, so that a value can be traced."""
        table = self._read(machine, lambda view: view.read_raw(Dataset.BALES))
        row = table.column("source_row").to_numpy()
        return SourcedBales(bales_from_arrow(table), tuple(table.column("source").to_pylist()), row)

    def read_events(self, machine: str) -> tuple[Event, ...]:
        """One machine's events by time (unknown first); the same event of two files once."""
        table = self._read(machine, lambda view: view.read_raw(Dataset.EVENTS))
        order = [("at", "ascending"), ("source", "ascending"), ("source_row", "ascending")]
        events = events_from_arrow(table.sort_by(order))
        once = dict.fromkeys(events)
        batched = {replace(event, batch="") for event in once if event.batch}
        # Told with its batch by one file and without by another, it is still one event.
        told = [event for event in once if event.batch or event not in batched]
        return tuple(sorted(told, key=lambda event: event.at_us is not None))

    def read_bucket(self, bucket: int, columns: Sequence[str] | None = None) -> BaleTable:
        """Every machine's bales of one bucket, one row a bale, by machine."""
        for name in columns or ():
            BY_NAME[name]
        return self._read(bucket, lambda view: view.bales(columns))

    @contextmanager
    def snapshot(self, machine: str | None = None) -> Iterator[tuple[BucketView, ...]]:
        """Every bucket that holds something, as it stands now, or the bucket of one machine.

        While this is held, no file in it is taken away. For questions: the rows of all
        `view.resolved_paths`, without those of the machines in `view.changed` ("" stands for
        rows without a machine), and beside them `view.read_changed(columns)`.
        """
        with reading(self.root):
            bucket = None if machine is None else bucket_of(machine)
            yield load_views(self.root, self.register, bucket, machine)

    def list_paths(self, parts: Sequence[Part]) -> tuple[Path, ...]:
        """Where these parts are. Raises BadInput when a listed one is missing."""
        paths = tuple(self.root / part.path for part in parts)
        missing = [str(path) for path in paths if not path.is_file()]
        if missing:
            cure = "Restore the journal and the register from the same backup."
            need = "every column file that the manifest lists"
            raise BadInput(*(Fault(path, need, "no such file", cure) for path in missing))
        return paths

    def sweep(self) -> tuple[str, ...]:
        """Clear away files that no intake will ever list; their paths below the root.

        Files of an intake that is still running, here or in another process, stay.
        """
        found = [
            path
            for dataset in Dataset
            for path in sorted((self.root / dataset.value).rglob("*.parquet*"))
        ]
        # Order matters: files first, then who is alive, then the manifest. An intake that ended
        # in between stands in the manifest by then.
        dead = [path for path in found if not is_running(self._running, path.name.split(".")[0])]
        listed = self.register.load_part_paths() if dead else frozenset()
        orphans = [path for path in dead if str(path.relative_to(self.root)) not in listed]
        names = [str(path.relative_to(self.root)) for path in orphans]
        gone = self.retire(names) if names else ()
        self.running()  # takes dead marks away
        return gone

    def retire(self, paths: Sequence[str]) -> tuple[str, ...]:
        """Take files away that no manifest lists any more, unless somebody reads just now; then
        the next sweep does. paths: below the root. Those that were taken away.
        """
        with alone(self.root) as may:
            if not may:
                return ()
            try:
                for path in paths:
                    (self.root / path).unlink(missing_ok=True)
            except OSError as error:
                raise cannot_write(self.root, error) from error
        return tuple(paths)

    def running(self) -> frozenset[str]:
        """Tokens of the intakes that are alive, here or in another process."""
        if not self._running.is_dir():
            return frozenset()
        marks = sorted(path.name for path in self._running.iterdir())
        return frozenset(mark for mark in marks if is_running(self._running, mark))

    @property
    def _running(self) -> Path:
        return self.root / "running"

    def _read(self, place: str | int, read: Callable[[BucketView], Answer]) -> Answer:
        """Read a machine or a bucket as it stands now."""
        machine = place if isinstance(place, str) else None
        bucket = bucket_of(place) if isinstance(place, str) else place

        def view() -> BucketView:
            views = load_views(self.root, self.register, bucket, machine)
            return views[0] if views else BucketView(self.root, bucket, (), machine=machine)

        with reading(self.root):
            first = view()
            try:
                return read(first)
            except BadInput:
                # A file may have been merged away between listing and opening it, where the
                # lock could not be had. What is still listed is really missing.
                again = view()
                if again.parts == first.parts:
                    raise
                return read(again)


class Intake:
    """One file being taken in. Rows added count only after `commit` said so."""

    def __init__(self, journal: Journal, token: str, source: str) -> None:
        self.token = token
        self.source = source
        self._journal = journal
        self._files: IntakeFiles | None = None
        self._listed = False

    def add(
        self, bales: BaleTable, events: tuple[Event, ...] = (), places: Places | None = None
    ) -> None:
        """Take some rows; memory stays bounded however many there are.

        places: where the bales stand in the file, None where the reader cannot say.
        """
        if self._files is None:
            self._files = IntakeFiles(self._journal.root, self.token, self.source)
        self._files.add(bales, events, places)

    def commit(
        self,
        entry: IntakeEntry,
        spans: Mapping[str, tuple[CounterSpan, ...]],
        jobs: Sequence[JobSeen] = (),
        before: Callable[[], None] = lambda: None,
    ) -> bool:
        """List files, ledger line, counters' marks and orders in one transaction.

        before: done once everything is on the disk and before anything counts. False, and
        nothing taken, when this content was taken in by somebody else meanwhile.
        """
        parts = self._files.finish() if self._files is not None else ()
        before()
        # From here on only the manifest knows whether the files count; a sweep asks it.
        self._listed = True
        try:
            self._listed = self._journal.register.commit_intake(entry, parts, spans, jobs)
        except NothingKept:
            self._listed = False
            raise
        return self._listed

    def close(self) -> None:
        """Remove what was not committed."""
        if self._files is not None and not self._listed:
            self._files.discard()
