"""Where questions and kernels run. Both take their files from the manifest: one snapshot.

Questions are ibis expressions, run by DuckDB in this process over the column files; there is no
DuckDB file, so nothing can be locked or corrupted. Kernels are pure functions mapped over buckets.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, TypeVar

import pyarrow as pa

from balewright.records.bales import BaleTable
from balewright.store.arrow import FILE_SCHEMAS, JOURNAL_VERSION, read_part
from balewright.store.entries import Dataset, Part
from balewright.store.intake_files import BUCKETS, bucket_of
from balewright.store.journal import Journal

if TYPE_CHECKING:
    import ibis

Answer = TypeVar("Answer")


@dataclass(frozen=True)
class Question:
    """A question about bales, in the portable subset of ibis.

    build: from the bale rows and the `tables` (by name) to the asked-for expression; schema: what
    the answer looks like on every engine; machine: only this machine's rows are needed.
    """

    build: Callable[[ibis.Table, Mapping[str, ibis.Table]], ibis.Table]
    schema: pa.Schema
    tables: Mapping[str, pa.Table] = field(default_factory=dict)
    machine: str | None = None


class Engine:
    """DuckDB and threads, in process."""

    def __init__(self, journal: Journal) -> None:
        self._journal = journal

    def ask(self, question: Question) -> pa.Table:
        """The answer, with exactly the question's schema, in the order it asks for."""
        import ibis  # noqa: PLC0415  half a second that most commands need not spend

        bucket = None if question.machine is None else bucket_of(question.machine)
        parts = self._journal.register.load_parts(Dataset.BALES, bucket)
        paths = self._journal.list_paths(parts)
        connection: Any = ibis.duckdb.connect()
        try:
            bales = self._bales(connection, parts, [str(path) for path in paths])
            if question.machine is not None:
                bales = bales.filter(bales.machine == question.machine)
            beside = {name: ibis.memtable(table) for name, table in question.tables.items()}
            answer: pa.Table = connection.to_pyarrow(question.build(bales, beside))
        finally:
            connection.disconnect()
        return answer.cast(question.schema)

    def map_buckets(
        self, function: Callable[[BaleTable], Answer], columns: Sequence[str] | None = None
    ) -> Iterator[Answer]:
        """Give each bucket's bales, one row a bale and by machine, to a pure function; its answers
        in the order of the buckets. Memory is bounded by a few buckets.
        """
        used = sorted({part.bucket for part in self._journal.register.load_parts(Dataset.BALES)})

        def one(bucket: int) -> Answer:
            try:
                return function(self._journal.read_bucket(bucket, columns))
            finally:
                self._journal.register.close()  # the thread's own connection

        workers = min(os.cpu_count() or 1, BUCKETS)
        with ThreadPoolExecutor(workers) as pool:
            for start in range(0, len(used), workers):
                yield from pool.map(one, used[start : start + workers])

    def _bales(self, connection: Any, parts: Sequence[Part], paths: Sequence[str]) -> Any:
        """All rows of the parts; those of an older schema are upgraded on the way."""
        import ibis  # noqa: PLC0415

        current = [
            path
            for part, path in zip(parts, paths, strict=True)
            if part.schema_version == JOURNAL_VERSION
        ]
        old = [
            read_part(self._journal.root / part.path, Dataset.BALES)
            for part in parts
            if part.schema_version != JOURNAL_VERSION
        ]
        tables = []
        if current:
            tables.append(
                connection.read_parquet(current, table_name="current", hive_partitioning=False)
            )
        if old or not current:
            # As DuckDB sees the files themselves: it calls every column nullable.
            schema = pa.schema([f.with_nullable(True) for f in FILE_SCHEMAS[Dataset.BALES]])
            rows = pa.concat_tables([schema.empty_table(), *(table.cast(schema) for table in old)])
            tables.append(ibis.memtable(rows))
        return tables[0] if len(tables) == 1 else tables[0].union(tables[1])
