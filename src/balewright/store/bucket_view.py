"""What counts in one bucket at one moment: its files and corrections, as plain values.

A view reads without the register, so it can be handed to a thread or to another computer that
sees the same files.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Final

import pyarrow as pa
import pyarrow.compute as pc

from balewright.quantities.errors import BadInput, Fault
from balewright.records.bales import BaleTable
from balewright.records.corrections import Correction
from balewright.records.doubles import SAID_OF
from balewright.records.identity import TELLING
from balewright.store.arrow import (
    BALE_SCHEMA,
    FILE_SCHEMAS,
    JOURNAL_VERSION,
    bales_from_arrow,
    read_part,
    sort_rows,
)
from balewright.store.entries import Dataset, Part
from balewright.store.resolve import BOOKED, PROVENANCE, resolve, work_out

EVERY: Final[tuple[str, ...]] = tuple(BALE_SCHEMA.names)


@dataclass(frozen=True)
class BucketView:
    """One bucket, or of it one machine.

    root: the journal's folder; parts: every file the manifest lists for the bucket; covered:
    corrections up to this number are in the resolved files; corrections: with their numbers;
    machine: only this one is asked for, None for all.
    """

    root: Path
    bucket: int
    parts: tuple[Part, ...]
    covered: int = 0
    corrections: tuple[tuple[int, Correction], ...] = ()
    machine: str | None = None

    @property
    def is_resolved(self) -> bool:
        """Whether resolved files of this version's schema are there."""
        made = [p for p in self.parts if p.dataset in (Dataset.RESOLVED, Dataset.CONFLICTS)]
        return bool(made) and all(part.schema_version == JOURNAL_VERSION for part in made)

    @cached_property
    def changed(self) -> frozenset[str]:
        """Machines with rows or corrections that the resolved files do not cover; "" for none."""
        later = {one.machine for number, one in self.corrections if number > self.covered}
        names = set(later)
        for part in self.parts:
            if part.dataset is Dataset.BALES and (part.generation == 0 or not self.is_resolved):
                table = read_part(self.path(part), Dataset.BALES, self.machine, ["machine"])
                names |= {name or "" for name in pc.unique(table.column("machine")).to_pylist()}
        return frozenset(names)

    @property
    def resolved_paths(self) -> tuple[Path, ...]:
        """Resolved files; rows of `changed` machines in them do not count any more."""
        if not self.is_resolved:
            return ()
        return tuple(self.path(p) for p in self.parts if p.dataset is Dataset.RESOLVED)

    def path(self, part: Part) -> Path:
        """Where a part is. Raises BadInput when it is missing."""
        path = self.root / part.path
        if not path.is_file():
            cure = "Restore the journal and the register from the same backup."
            need = "every column file that the manifest lists"
            raise BadInput(Fault(str(path), need, "no such file", cure))
        return path

    def read_raw(self, dataset: Dataset, columns: Sequence[str] | None = None) -> pa.Table:
        """Rows as they were taken in, by file and place in it."""
        schema = FILE_SCHEMAS[dataset]
        if columns is not None:
            schema = pa.schema([schema.field(name) for name in dict.fromkeys(columns)])
        tables = [
            read_part(self.path(part), dataset, self.machine, schema.names)
            for part in self.parts
            if part.dataset is dataset
        ]
        rows = pa.concat_tables([schema.empty_table(), *tables])
        return sort_rows(rows, "source", "source_row")

    def read_resolved(self, columns: Sequence[str] = EVERY, more: Sequence[str] = ()) -> pa.Table:
        """One row a bale, by machine and then as made; `columns` of the bale table, and `more`
        of the resolved schema.
        """
        names = [*dict.fromkeys((*columns, *more))]
        if self.machine is not None and self.machine in self.changed:
            return self._work_out(columns).select(names)
        schema = FILE_SCHEMAS[Dataset.RESOLVED]
        wanted = pa.schema([schema.field(name) for name in dict.fromkeys(("machine", *names))])
        tables = [wanted.empty_table()]
        for path in self.resolved_paths:
            table = read_part(path, Dataset.RESOLVED, self.machine, wanted.names)
            tables.append(self._without_changed(table))
        rows = pa.concat_tables(tables)
        if self.machine is None and self.changed:
            fresh = self.read_changed(columns).select(wanted.names)
            # Each machine's rows stand in one of the two, so that their order stays.
            rows = pa.concat_tables([rows, fresh])
            rows = rows.take(_stable_by_machine(rows))
        return rows.select(names)

    def read_changed(self, columns: Sequence[str] = EVERY) -> pa.Table:
        """The bales of `changed` machines, worked out anew."""
        if not self.changed:
            return FILE_SCHEMAS[Dataset.RESOLVED].empty_table()
        return self._work_out(columns)

    def bales(self, columns: Sequence[str] | None = None) -> BaleTable:
        """One row a bale, as a table of those columns; None for all."""
        return bales_from_arrow(self.read_resolved(EVERY if columns is None else columns))

    def _work_out(self, columns: Sequence[str]) -> pa.Table:
        """Resolve the rows of what changed; other machines' rows are left out."""
        raw = [name for name in columns if name in EVERY]
        of = [SAID_OF[name] for name in raw if name in SAID_OF]
        needed = (*TELLING, *raw, *of, *BOOKED, *PROVENANCE)
        rows = self.read_raw(Dataset.BALES, needed)
        if self.machine is None:
            named = pc.fill_null(rows.column("machine"), "")
            rows = rows.filter(pc.is_in(named, pa.array(sorted(self.changed), pa.string())))
        return resolve(work_out(rows, [one for _, one in self.corrections]))

    def _without_changed(self, table: pa.Table) -> pa.Table:
        if not self.changed:
            return table
        named = pc.fill_null(table.column("machine"), "")
        gone = pc.is_in(named, pa.array(sorted(self.changed), pa.string()))
        return table.filter(pc.invert(gone))


def _stable_by_machine(rows: pa.Table) -> pa.Array:
    """Row numbers by machine, those of one machine as they stand; rows without one come first."""
    place = pa.array(range(rows.num_rows), pa.int64())
    keyed = pa.table({"machine": pc.fill_null(rows.column("machine"), ""), "place": place})
    sorted_ = keyed.sort_by([("machine", "ascending"), ("place", "ascending")])
    return sorted_.column("place").combine_chunks()
