"""Which rows of the journal hold something personal, and the same rows without it.

Only the cell goes: the row, its bale, its time and its file stay, and so does what decides which
row of a bale counts. So no total changes.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import pyarrow as pa
import pyarrow.compute as pc

from balewright.store.entries import Dataset

Hits = Callable[[pa.Table], pa.Array]


@dataclass(frozen=True)
class Strike:
    """hits: which rows of a bales table, as booleans without nulls; columns: what their cells
    become, None for unknown; subject: a name that notes of events may hold, None for none."""

    hits: Hits
    columns: Mapping[str, str | None]
    subject: str | None = None

    def change(self, dataset: Dataset, table: pa.Table) -> pa.Table:
        """The table without it."""
        if dataset is Dataset.EVENTS:
            return self._change_notes(table)
        hits = self.hits(table)
        for name, value in self.columns.items():
            kind = table.schema.field(name).type
            cells = pc.if_else(hits, pa.scalar(value, kind), table.column(name))
            table = table.set_column(
                table.column_names.index(name), table.schema.field(name), cells
            )
        return table

    def count(self, dataset: Dataset, table: pa.Table) -> int:
        """Rows that hold it."""
        if dataset is Dataset.EVENTS:
            return sum(_count(self._says(table, name)) for name in ("note", "item"))
        return _count(self.hits(table))

    def sources(self, dataset: Dataset, table: pa.Table) -> set[str]:
        """Hashes of the files that these rows came from."""
        if dataset is Dataset.EVENTS:
            hits = pc.or_(self._says(table, "note"), self._says(table, "item"))
        else:
            hits = self.hits(table)
        return set(pc.unique(table.column("source").filter(hits)).to_pylist())

    def _change_notes(self, table: pa.Table) -> pa.Table:
        for name in ("note", "item"):
            cells = pc.if_else(self._says(table, name), pa.scalar(""), table.column(name))
            field = table.schema.field(name)
            table = table.set_column(table.column_names.index(name), field, cells)
        return table

    def _says(self, table: pa.Table, column: str) -> Any:
        if self.subject is None:
            return pa.array([False] * table.num_rows, pa.bool_())
        said = pc.match_substring(table.column(column), self.subject, ignore_case=True)
        return pc.fill_null(said, False)


def _count(hits: Any) -> int:
    return int(pc.sum(hits).as_py() or 0)


def strike_operator(name: str) -> Strike:
    """Every bale that names this operator."""

    def hits(table: pa.Table) -> Any:
        return pc.fill_null(pc.equal(table.column("operator"), name), False)

    return Strike(hits, {"operator": None}, name)


def strike_positions(machine: str | None, before_us: int | None) -> Strike:
    """Where bales of a machine, or of all (None), lie; made before a time (bales without a time
    too), or ever (None)."""

    def hits(table: pa.Table) -> Any:
        placed = pc.or_(table.column("lat").is_valid(), table.column("lon").is_valid())
        if machine is not None:
            placed = pc.and_(
                placed, pc.fill_null(pc.equal(table.column("machine"), machine), False)
            )
        if before_us is not None:
            early = pc.fill_null(pc.less(table.column("bale_us"), before_us), True)
            placed = pc.and_(placed, early)
        return placed

    return Strike(hits, {"lat": None, "lon": None})


def strike_jobs(words: Mapping[tuple[str, str], str], name: str) -> tuple[Strike, ...]:
    """Job words of one customer. words: (word, file's hash) to what stands there instead, the
    hash "" for every file; name: the customer's, for notes."""

    def of(word: str, source: str) -> Hits:
        def hits(table: pa.Table) -> Any:
            same = pc.fill_null(pc.equal(table.column("job"), word), False)
            return pc.and_(same, pc.equal(table.column("source"), source)) if source else same

        return hits

    return tuple(
        Strike(of(word, source), {"job": instead}, name)
        for (word, source), instead in words.items()
    )
