"""Where questions and kernels run. Both take their files from the manifest: one snapshot.

Questions are ibis expressions. Here DuckDB runs them in this process over the column files; there
is no DuckDB file, so nothing can be locked or corrupted. Kernels are pure functions mapped over
buckets. `store.spark` is the same seam over a Spark server.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Final, Protocol, TypeVar

import pyarrow as pa

from balewright.records.bales import BaleTable
from balewright.store.arrow import FILE_SCHEMAS
from balewright.store.bucket_view import BucketView
from balewright.store.entries import Dataset
from balewright.store.intake_files import BUCKETS
from balewright.store.journal import Journal

if TYPE_CHECKING:
    import ibis

Answer = TypeVar("Answer")

_WORKERS: Final = min(os.cpu_count() or 1, BUCKETS)

BOOK_COLUMNS: Final = (
    *("machine", "is_first", "counts", "passes", "bale_us"),
    *("book_job", "book_source", "book_status", "book_mass_kg"),
)
"""What the book and counts ask of the resolved schema."""


@dataclass(frozen=True)
class Question:
    """A question about bales, in the portable subset of ibis.

    build: from the bales, one row a bale, and the `tables` (by name) to the asked-for expression;
    schema: what the answer looks like on every engine; tables: handed in beside the bales; machine:
    only this machine's rows are needed; columns: of the resolved schema, `machine` among them.
    """

    build: Callable[[ibis.Table, Mapping[str, ibis.Table]], ibis.Table]
    schema: pa.Schema
    tables: Mapping[str, pa.Table] = field(default_factory=dict)
    machine: str | None = None
    columns: tuple[str, ...] = BOOK_COLUMNS


class Connection(Protocol):
    """What an engine can do for one question."""

    def scan(self, paths: Sequence[str], schema: pa.Schema) -> ibis.Table:
        """The rows of these column files, all of this schema; at least one file."""

    def hold(self, table: pa.Table) -> ibis.Table:
        """A table of this process as one that can be asked beside the files."""

    def fetch(self, expression: ibis.Table) -> pa.Table:
        """The rows of an expression, in its order."""


class Engine:
    """DuckDB and threads, in process. A subclass runs the same elsewhere."""

    def __init__(self, journal: Journal) -> None:
        self._journal = journal

    def ask(self, question: Question) -> pa.Table:
        """The answer, with exactly the question's schema, in the order it asks for."""
        with self._journal.snapshot(question.machine) as views, self._connect() as connection:
            bales = self._rows(connection, views, question.columns)
            if question.machine is not None:
                bales = bales.filter(bales.machine == question.machine)
            beside = {name: connection.hold(table) for name, table in question.tables.items()}
            answer = connection.fetch(question.build(bales, beside))
        return answer.cast(question.schema)

    def map_buckets(
        self, function: Callable[[BaleTable], Answer], columns: Sequence[str] | None = None
    ) -> Iterator[Answer]:
        """Give each bucket's bales, one row a bale and by machine, to a pure function; its answers
        in the order of the buckets. Memory is bounded by a few buckets.
        """
        with self._journal.snapshot() as views, ThreadPoolExecutor(_WORKERS) as pool:
            for start in range(0, len(views), _WORKERS):
                at_once = views[start : start + _WORKERS]
                yield from pool.map(lambda view: function(view.bales(columns)), at_once)

    def _connect(self) -> AbstractContextManager[Connection]:
        return _connect_duckdb()

    def _rows(
        self, connection: Connection, views: Sequence[BucketView], columns: Sequence[str]
    ) -> Any:
        """One row a bale: from the resolved files, but of machines that changed since from their
        rows, worked out here.
        """
        # As the engines see the files themselves: they call every column nullable.
        resolved = FILE_SCHEMAS[Dataset.RESOLVED]
        whole = pa.schema([f.with_nullable(True) for f in resolved])
        asked = pa.schema([whole.field(name) for name in columns])
        paths = [str(path) for view in views for path in view.resolved_paths]
        changed = sorted({name for view in views for name in view.changed})
        with ThreadPoolExecutor(_WORKERS) as pool:
            worked_out = list(pool.map(lambda view: view.read_changed(), views))
        fresh = [rows.select(columns).cast(asked) for rows in worked_out if rows.num_rows]
        tables: list[Any] = []
        if paths:
            kept = connection.scan(paths, whole)
            if changed:
                kept = kept.filter(kept.machine.fill_null("").notin(changed))
            tables.append(kept.select(*columns))
        if fresh or not paths:
            tables.append(connection.hold(pa.concat_tables([asked.empty_table(), *fresh])))
        return tables[0] if len(tables) == 1 else tables[0].union(tables[1])


@contextmanager
def _connect_duckdb() -> Iterator[Connection]:
    import ibis  # noqa: PLC0415  half a second that most commands need not spend

    backend = ibis.duckdb.connect()
    try:
        yield _DuckDB(backend)
    finally:
        backend.disconnect()


class _DuckDB:
    """One question's own DuckDB, in memory."""

    def __init__(self, backend: Any) -> None:
        self._backend = backend

    def scan(self, paths: Sequence[str], schema: pa.Schema) -> Any:  # noqa: ARG002
        return self._backend.read_parquet(list(paths), hive_partitioning=False)

    def hold(self, table: pa.Table) -> Any:
        import ibis  # noqa: PLC0415

        return ibis.memtable(table)

    def fetch(self, expression: Any) -> pa.Table:
        answer: pa.Table = self._backend.to_pyarrow(expression)
        return answer
