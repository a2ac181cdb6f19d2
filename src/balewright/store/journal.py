"""The journal: column files in a folder, of which only those in the manifest count."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import pyarrow as pa

from balewright.quantities.errors import BadInput, Fault
from balewright.records.bales import BaleTable
from balewright.records.columns import BY_NAME
from balewright.records.counters import CounterSpan
from balewright.records.doubles import SAYS_HOW, merge_doubles
from balewright.records.events import Event
from balewright.records.identity import BALE_TIMES, Sources, bale_times
from balewright.records.intake import JobSeen, Places
from balewright.store.arrow import FILE_SCHEMAS, bales_from_arrow, events_from_arrow, read_part
from balewright.store.entries import Dataset, IntakeEntry, Part
from balewright.store.intake_files import IntakeFiles, bucket_of
from balewright.store.running import RunningMark, cannot_write, is_running

if TYPE_CHECKING:
    from balewright.store.register import Register

_NEEDED = ("machine", "bale_no", "counter_epoch", "status", *BALE_TIMES)
"""Columns without which doubles cannot be told."""
_PROVENANCE = ("source", "source_row", "known_cells")


@dataclass(frozen=True, eq=False)
class SourcedBales:
    """Rows as they were taken in, doubles and all, each with the hash of its file and its row."""

    bales: BaleTable
    source: tuple[str, ...]
    source_row: np.ndarray[Any, np.dtype[np.int64]]


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
        bale are one row (`records.doubles`).
        """
        bales = _one_row_a_bale(self._rows(Dataset.BALES, bucket_of(machine), machine, columns))
        if columns is not None:
            bales = _only(bales, columns)
        if last is not None and last < bales.rows:
            bales = bales.take(np.arange(bales.rows - last, bales.rows))
        return bales

    def read_sources(self, machine: str) -> SourcedBales:
        """One machine's rows as they were taken in, so that a value can be traced."""
        table = self._rows(Dataset.BALES, bucket_of(machine), machine, None)
        row = table.column("source_row").to_numpy()
        return SourcedBales(bales_from_arrow(table), tuple(table.column("source").to_pylist()), row)

    def read_events(self, machine: str) -> tuple[Event, ...]:
        """One machine's events by time (unknown first); the same event of two files once."""
        table = self._rows(Dataset.EVENTS, bucket_of(machine), machine, None)
        order = [("at", "ascending"), ("source", "ascending"), ("source_row", "ascending")]
        events = events_from_arrow(table.sort_by(order))
        once = dict.fromkeys(events)
        batched = {replace(event, batch="") for event in once if event.batch}
        # Told with its batch by one file and without by another, it is still one event.
        told = [event for event in once if event.batch or event not in batched]
        return tuple(sorted(told, key=lambda event: event.at_us is not None))

    def read_bucket(self, bucket: int, columns: Sequence[str] | None = None) -> BaleTable:
        """Every machine's bales of one bucket, one row a bale, by machine."""
        bales = _one_row_a_bale(self._rows(Dataset.BALES, bucket, None, columns))
        bales = bales.take(np.argsort(bales.column("machine"), kind="stable"))
        return bales if columns is None else _only(bales, columns)

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
        try:
            for path in orphans:
                path.unlink(missing_ok=True)
        except OSError as error:
            raise cannot_write(self.root, error) from error
        self.running()  # takes dead marks away
        return tuple(str(path.relative_to(self.root)) for path in orphans)

    def running(self) -> frozenset[str]:
        """Tokens of the intakes that are alive, here or in another process."""
        if not self._running.is_dir():
            return frozenset()
        marks = sorted(path.name for path in self._running.iterdir())
        return frozenset(mark for mark in marks if is_running(self._running, mark))

    @property
    def _running(self) -> Path:
        return self.root / "running"

    def _rows(
        self, dataset: Dataset, bucket: int, machine: str | None, columns: Sequence[str] | None
    ) -> pa.Table:
        """Rows of a bucket as they were taken in, by file and place in it."""
        schema = FILE_SCHEMAS[dataset]
        if columns is not None:
            of = [name for name, how in SAYS_HOW.items() if how in columns]
            names = dict.fromkeys([*_NEEDED, *columns, *of, *_PROVENANCE])
            schema = pa.schema([schema.field(name) for name in names])
        parts = self.register.load_parts(dataset, bucket)
        tables = [
            read_part(path, dataset, machine, schema.names) for path in self.list_paths(parts)
        ]
        rows = pa.concat_tables([schema.empty_table(), *tables])
        return rows.sort_by([("source", "ascending"), ("source_row", "ascending")])


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
        self._listed = self._journal.register.commit_intake(entry, parts, spans, jobs)
        return self._listed

    def close(self) -> None:
        """Remove what was not committed."""
        if self._files is not None and not self._listed:
            self._files.discard()


def _one_row_a_bale(table: pa.Table) -> BaleTable:
    bales = bales_from_arrow(table)
    file = np.unique(table.column("source").to_pylist(), return_inverse=True)[1].astype(np.int64)
    row = table.column("source_row").to_numpy()
    order = _as_made(bales, file, row)
    known = table.column("known_cells").to_numpy()
    sources = Sources(file[order], row[order], known[order])
    return merge_doubles(bales.take(order), sources)


def _as_made(bales: BaleTable, file: Any, row: Any) -> Any:
    """Row numbers by time; a row without one follows the row before it in its file."""
    times, timed = bale_times(bales)
    held = np.maximum.accumulate(np.where(timed, np.arange(bales.rows), -1))
    same_file = (held >= 0) & (file == file[np.maximum(held, 0)])
    when = np.where(same_file, times[np.maximum(held, 0)], np.iinfo(np.int64).min)
    return np.lexsort((row, file, when))


def _only(bales: BaleTable, columns: Sequence[str]) -> BaleTable:
    for name in columns:
        BY_NAME[name]
    values = {name: bales.column(name) for name in columns}
    known = {name: bales.mask(name) for name in columns}
    return type(bales)(bales.rows, values, known)
