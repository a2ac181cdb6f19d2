"""Column files of one intake, written beside the journal's others until they are listed."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq

from balewright.records.bales import BaleTable
from balewright.records.events import Event
from balewright.records.identity import bale_times, count_known
from balewright.records.intake import Places
from balewright.records.text_codes import code_texts
from balewright.store.arrow import (
    FILE_SCHEMAS,
    JOURNAL_VERSION,
    bales_to_arrow,
    events_to_arrow,
    how_to_write,
    versioned,
)
from balewright.store.entries import Dataset, Part
from balewright.store.flushing import flush_folder
from balewright.store.running import cannot_write

BUCKETS: Final = 128
HELD_ROWS: Final = 131_072
"""Rows held in memory before they go to their files."""

OPEN_FILES: Final = 512
"""Files open at once: a process may have about a thousand."""

SEASONS: Final = 8
"""Seasons one file is spread over. A clock that went mad names more: those lie together."""

_UNKNOWN_SEASON: Final = -1


def bucket_of(machine: str | None) -> int:
    """The bucket of a machine, 0..127: the same on every computer and in every year."""
    return hashlib.sha256((machine or "").encode()).digest()[0] % BUCKETS


Place = tuple[Dataset, int, int]  # dataset, season, bucket


@dataclass
class _File:
    place: Place
    path: str
    target: Path
    writer: Any
    rows: int = 0
    times: list[int] = field(default_factory=list)

    @property
    def unfinished(self) -> Path:
        return self.target.with_name(self.target.name + ".tmp")


class IntakeFiles:
    """Takes rows, spreads them over season and bucket, and gives the parts at the end.

    root: the journal's folder; token: unique to this intake, in each file's name; source: hash
    of the file the rows come from.
    """

    def __init__(self, root: Path, token: str, source: str) -> None:
        self._root, self._token, self._source = root, token, source
        self._held: dict[Place, list[pa.Table]] = {}
        self._held_rows = 0
        self._open: dict[Place, _File] = {}
        self._seasons: set[int] = set()
        self._files: list[_File] = []
        self._bales = self._events = 0

    def add(
        self, bales: BaleTable, events: tuple[Event, ...] = (), places: Places | None = None
    ) -> None:
        """Take some rows. Raises BadInput when they cannot be written."""
        for place, table in self._spread_bales(bales, places):
            self._hold(place, table)
        for place, table in self._spread_events(events):
            self._hold(place, table)
        if self._held_rows >= HELD_ROWS:
            self._write_held()

    def finish(self) -> tuple[Part, ...]:
        """Bring every file to the disk under its final name. They count once they are listed."""
        self._write_held()
        try:
            parts = tuple(self._finish(file) for file in self._files)
            flush_folders({file.target.parent for file in self._files}, self._root)
        except OSError as error:
            raise cannot_write(self._root, error) from error
        return parts

    def discard(self) -> None:
        """Remove every file of this intake. Only before they are listed."""
        for file in self._files:
            try:
                if file.writer is not None:
                    file.writer.close()
            except (OSError, pa.ArrowException):
                pass  # the disk is full: the file goes anyway
            finally:
                file.unfinished.unlink(missing_ok=True)
                file.target.unlink(missing_ok=True)
        self._files.clear()
        self._open.clear()

    def _hold(self, place: Place, table: pa.Table) -> None:
        self._held.setdefault(place, []).append(table)
        self._held_rows += table.num_rows

    def _spread_bales(
        self, bales: BaleTable, places: Places | None
    ) -> Iterator[tuple[Place, pa.Table]]:
        times, timed = bale_times(bales)
        source_row = np.arange(self._bales, self._bales + bales.rows, dtype=np.int64)
        self._bales += bales.rows
        table = bales_to_arrow(bales)
        for name, column in (
            ("bale_us", pa.array(times, mask=~timed)),
            ("known_cells", pa.array(count_known(bales))),
            *self._provenance(source_row),
            *_stood(places, bales.rows),
        ):
            table = table.append_column(name, column)
        table = table.cast(FILE_SCHEMAS[Dataset.BALES])
        buckets = _buckets(bales.column("machine"))
        yield from _split(Dataset.BALES, table, self._season(times, timed), buckets)

    def _spread_events(self, events: tuple[Event, ...]) -> Iterator[tuple[Place, pa.Table]]:
        if not events:
            return
        timed = np.array([event.at_us is not None for event in events])
        times = np.array([event.at_us or 0 for event in events], dtype=np.int64)
        source_row = np.arange(self._events, self._events + len(events), dtype=np.int64)
        self._events += len(events)
        table = events_to_arrow(events)
        for name, column in self._provenance(source_row):
            table = table.append_column(name, column)
        table = table.cast(FILE_SCHEMAS[Dataset.EVENTS])
        machines = np.array([event.machine for event in events], dtype=object)
        yield from _split(Dataset.EVENTS, table, self._season(times, timed), _buckets(machines))

    def _season(self, times: Any, timed: Any) -> Any:
        """UTC year of each row, -1 where it is unknown or one season too many."""
        years = times.astype("datetime64[us]").astype("datetime64[Y]").astype(np.int64) + 1970
        for year in np.unique(years[timed]).tolist():
            if len(self._seasons) < SEASONS:
                self._seasons.add(year)
        return np.where(timed & np.isin(years, list(self._seasons)), years, _UNKNOWN_SEASON)

    def _provenance(self, source_row: Any) -> tuple[tuple[str, Any], ...]:
        source = pa.repeat(pa.scalar(self._source, pa.string()), len(source_row))
        return (("source", source), ("source_row", pa.array(source_row)))

    def _write_held(self) -> None:
        try:
            for place, tables in self._held.items():
                table = pa.concat_tables(tables)
                file = self._open.get(place) or self._begin(place)
                file.writer.write_table(table)
                file.rows += table.num_rows
                name = "bale_us" if place[0] is Dataset.BALES else "at"
                known = table.column(name).cast(pa.int64()).drop_null().to_numpy()
                file.times += [int(known.min()), int(known.max())] if len(known) else []
        except OSError as error:
            raise cannot_write(self._root, error) from error
        self._held.clear()
        self._held_rows = 0

    def _begin(self, place: Place) -> _File:
        if len(self._open) >= OPEN_FILES:
            for file in self._open.values():
                file.writer.close()
            self._open.clear()
        dataset, season, bucket = place
        shown = "unknown" if season == _UNKNOWN_SEASON else str(season)
        name = f"{self._token}.{len(self._files)}.parquet"
        path = f"{dataset.value}/season={shown}/bucket={bucket:03d}/{name}"
        target = self._root / path
        target.parent.mkdir(parents=True, exist_ok=True)
        file = _File(place, path, target, None)
        schema = versioned(FILE_SCHEMAS[dataset])
        self._files.append(file)  # first: a full disk may leave an empty file behind
        file.writer = pq.ParquetWriter(file.unfinished, schema, **how_to_write(schema, lasts=False))
        self._open[place] = file
        return file

    def _finish(self, file: _File) -> Part:
        file.writer.close()
        sha256, size_bytes = settle_file(file.unfinished, file.target)
        dataset, season, bucket = file.place
        return Part(
            path=file.path,
            dataset=dataset,
            season=None if season == _UNKNOWN_SEASON else season,
            bucket=bucket,
            rows=file.rows,
            sha256=sha256,
            size_bytes=size_bytes,
            schema_version=JOURNAL_VERSION,
            first_us=min(file.times, default=None),
            last_us=max(file.times, default=None),
        )


def _stood(places: Places | None, rows: int) -> tuple[tuple[str, Any], ...]:
    """The columns that say where each row stands in its file; a file itself has no inner name."""
    if places is None:
        file, at = pa.nulls(rows, pa.string()), pa.nulls(rows, pa.int64())
        return (("source_file", file), ("source_at", at), ("source_unit", file))
    file = pa.array(places.file, pa.string(), mask=places.file == "")
    unit = pa.repeat(pa.scalar(places.unit.value, pa.string()), rows)
    return (("source_file", file), ("source_at", pa.array(places.at)), ("source_unit", unit))


def _split(dataset: Dataset, table: pa.Table, season: Any, bucket: Any) -> Iterator[Any]:
    order = np.lexsort((bucket, season))
    changed = (np.diff(season[order]) != 0) | (np.diff(bucket[order]) != 0)
    for rows in np.split(order, np.flatnonzero(changed) + 1):
        if not len(rows):
            continue
        first, together = int(rows[0]), rows[-1] - rows[0] == len(rows) - 1
        part = table.slice(first, len(rows)) if together else table.take(pa.array(rows))
        yield (dataset, int(season[first]), int(bucket[first])), part


def _buckets(machines: Any) -> Any:
    place, names = code_texts(machines)
    return np.array([bucket_of(name) for name in names], dtype=np.int64)[place]


def settle_file(unfinished: Path, target: Path) -> tuple[str, int]:
    """Bring a written file to the disk and give it its name; its sha-256 and bytes."""
    with unfinished.open("rb") as written:
        os.fsync(written.fileno())
        sha256 = hashlib.file_digest(written, "sha256").hexdigest()
        size_bytes = written.tell()
    unfinished.rename(target)
    return sha256, size_bytes


def flush_folders(folders: Iterable[Path], root: Path) -> None:
    """Bring the new names to the disk, up to where the journal lies: a rename may be lost.

    folders: below `root`; what several of them lie in is flushed once.
    """
    levels = {level for folder in folders for level in (folder, *folder.parents)}
    for level in sorted(levels, reverse=True):  # each before what it lies in
        if level.is_relative_to(root.parent):
            flush_folder(level)
