"""Merging a bucket's files into one generation: raw rows together, doubles resolved beside them.

Nothing is lost and no answer changes: rows as taken in are only moved, and what is stored beside
them is what reading would work out. One transaction swaps the files; a process that dies before
it leaves the old state, after it the new one, and the next start sweeps what nobody lists.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any, Final

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq

from balewright.store.arrow import (
    FILE_SCHEMAS,
    JOURNAL_VERSION,
    how_to_write,
    sort_rows,
    take_rows,
    versioned,
)
from balewright.store.bucket_view import BucketView
from balewright.store.entries import Compacted, Dataset, Part
from balewright.store.intake_files import flush_folders, settle_file
from balewright.store.journal import Journal
from balewright.store.reading_lease import reading
from balewright.store.refused_writes import NothingKept
from balewright.store.resolve import list_conflicts, resolve, work_out
from balewright.store.running import RunningMark, cannot_write
from balewright.store.views import load_views

TAIL_FILES: Final = 8
"""A bucket with so many files that no generation holds is merged after an intake ..."""

TAIL_ROWS: Final = 2_000
"""... or with so many rows ..."""

TAIL_SHARE: Final = 16
"""... and at least this part of the rows it holds already, so that merging stays cheap."""

ROWS_A_GROUP: Final = 16_384
"""Rows that a reader of one machine must read at once at most."""

Change = Callable[[Dataset, pa.Table], pa.Table]


@dataclass(frozen=True)
class Merged:
    """What one merge did. files: how many became how many."""

    bucket: int
    rows: int
    bales: int
    files: tuple[int, int]


def list_due(journal: Journal, every: bool = False) -> tuple[int, ...]:
    """Buckets worth merging now; with `every`, all in which merging would change a file."""
    views = load_views(journal.root, journal.register)
    return tuple(view.bucket for view in views if (_is_behind if every else _is_due)(view))


def compact_bucket(
    journal: Journal, bucket: int, at: datetime, change: Change | None = None
) -> Merged | None:
    """Merge one bucket; None where there is nothing to do or somebody else was first.

    at: noted as its time; change: what becomes of the rows as taken in, dataset by dataset (an
    erasure), None leaves every one as it is. Raises BadInput when nothing can be written; then
    nothing has changed.
    """
    mark = RunningMark.begin(journal.root / "running")
    written = _Written(journal.root, mark.token)
    try:
        with reading(journal.root):
            views = load_views(journal.root, journal.register, bucket)
            if not views or (change is None and not _is_behind(views[0])):
                return None
            view = views[0]
            merged = _merge(journal, view, written, (at, change))
        if merged is not None:
            journal.retire([part.path for part in view.parts])
        return merged
    finally:
        written.discard()
        mark.end()


def _merge(
    journal: Journal, view: BucketView, written: _Written, how: tuple[datetime, Change | None]
) -> Merged | None:
    at, change = how
    line = journal.register.load_compacted(view.bucket).get(view.bucket, Compacted(view.bucket))
    highest = max((number for number, _ in view.corrections), default=line.correction)
    written.place = (view.bucket, line.generation + 1)
    raw = {name: view.read_raw(name) for name in (Dataset.BALES, Dataset.EVENTS)}
    if change is not None:
        raw = {name: change(name, table) for name, table in raw.items()}
    worked = work_out(raw[Dataset.BALES], [one for _, one in view.corrections])
    resolved = resolve(worked)
    tables = {
        Dataset.BALES: take_rows(raw[Dataset.BALES], worked.order),
        Dataset.EVENTS: _by_machine(raw[Dataset.EVENTS]),
        Dataset.RESOLVED: resolved,
        Dataset.CONFLICTS: _by_machine(list_conflicts(worked)),
    }
    parts = written.write(tables)
    rows, bales = raw[Dataset.BALES].num_rows, resolved.num_rows
    covers = Compacted(view.bucket, line.generation + 1, highest, rows, bales, at)
    written.is_listed = True  # from here on only the manifest knows; a sweep asks it
    old = [part.path for part in view.parts]
    try:
        written.is_listed = journal.register.swap_parts(old, parts, covers, len(view.corrections))
    except NothingKept:
        written.is_listed = False
        raise
    if not written.is_listed:
        return None
    return Merged(view.bucket, rows, bales, (len(old), len(parts)))


def _is_behind(view: BucketView) -> bool:
    """Whether merging would change a file."""
    old = any(part.schema_version != JOURNAL_VERSION for part in view.parts)
    later = any(number > view.covered for number, _ in view.corrections)
    return bool(_tail(view)) or old or later or _lacks_resolved(view)


def _is_due(view: BucketView) -> bool:
    tail = _tail(view)
    new = sum(part.rows for part in tail)
    held = sum(part.rows for part in view.parts if part.dataset is Dataset.BALES) - new
    return len(tail) >= TAIL_FILES or new >= max(TAIL_ROWS, held // TAIL_SHARE)


def _tail(view: BucketView) -> list[Part]:
    raw = (Dataset.BALES, Dataset.EVENTS)
    return [part for part in view.parts if part.generation == 0 and part.dataset in raw]


def _lacks_resolved(view: BucketView) -> bool:
    has_bales = any(part.dataset is Dataset.BALES for part in view.parts)
    return has_bales and not view.is_resolved


def _by_machine(table: pa.Table) -> pa.Table:
    names = ("machine", "at", "source", "source_row")
    return sort_rows(table, *(name for name in names if name in table.column_names))


@dataclass
class _Written:
    """Files of one merge, until the manifest lists them."""

    root: Path
    token: str
    place: tuple[int, int] = (0, 0)
    is_listed: bool = False
    files: list[Path] = field(default_factory=list)

    def write(self, tables: Mapping[Dataset, pa.Table]) -> tuple[Part, ...]:
        """Bring them to the disk under their final names; empty tables make no file."""
        try:
            parts = tuple(
                self._write(dataset, table)
                for dataset, table in tables.items()
                if table.num_rows or dataset is Dataset.RESOLVED
            )
            flush_folders({path.parent for path in self.files}, self.root)
        except OSError as error:
            raise cannot_write(self.root, error) from error
        return parts

    def discard(self) -> None:
        """Take away what the manifest does not list."""
        if not self.is_listed:
            for path in self.files:
                path.unlink(missing_ok=True)
                path.with_name(path.name + ".tmp").unlink(missing_ok=True)

    def _write(self, dataset: Dataset, table: pa.Table) -> Part:
        bucket, generation = self.place
        path = f"{dataset.value}/season=all/bucket={bucket:03d}/{self.token}.g{generation}.parquet"
        target = self.root / path
        target.parent.mkdir(parents=True, exist_ok=True)
        self.files.append(target)
        unfinished = target.with_name(target.name + ".tmp")
        schema = versioned(FILE_SCHEMAS[dataset])
        how = how_to_write(schema)
        pq.write_table(table.cast(schema), unfinished, row_group_size=ROWS_A_GROUP, **how)
        sha256, size_bytes = settle_file(unfinished, target)
        first, last = _span(dataset, table)
        return Part(
            path=path,
            dataset=dataset,
            season=None,
            bucket=bucket,
            rows=table.num_rows,
            sha256=sha256,
            size_bytes=size_bytes,
            schema_version=JOURNAL_VERSION,
            generation=generation,
            first_us=first,
            last_us=last,
        )


def _span(dataset: Dataset, table: pa.Table) -> tuple[int | None, int | None]:
    name = {Dataset.BALES: "bale_us", Dataset.RESOLVED: "bale_us", Dataset.EVENTS: "at"}
    if dataset not in name:
        return None, None
    times: Any = table.column(name[dataset]).cast(pa.int64()).drop_null().to_numpy()
    return (int(np.min(times)), int(np.max(times))) if len(times) else (None, None)
