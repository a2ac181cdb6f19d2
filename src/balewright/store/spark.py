"""The engine's seam over Spark Connect: the same questions and kernels, where a firm's cluster is.

Needs the extra `spark` (a thin client, no Java here). The cluster reads the column files under
the same paths as this machine. Kernels run in its Python workers, which need this package in the
same version and the same minor version of Python.
"""

from __future__ import annotations

import pickle
import re
import socket
import uuid
import warnings
from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Final
from urllib.parse import urlsplit

import pyarrow as pa

from balewright.quantities.errors import BadInput, Fault
from balewright.records.bales import BaleTable
from balewright.store.engine import Answer, Connection, Engine
from balewright.store.journal import Journal

PORT: Final = 15002
"""Where a Spark Connect server listens unless told otherwise."""

PLACE: Final = "BALEWRIGHT_ENGINE"
_WAIT_S: Final = 5.0
_GLOB: Final = re.compile(r"([\\*?\[\]{}])")


class SparkEngine(Engine):
    """Questions and kernels over one Spark server.

    address: `sc://host:port`, with what a Connect address may carry behind it. Raises BadInput
    when nobody answers there or the client is not installed.
    """

    def __init__(self, journal: Journal, address: str) -> None:
        super().__init__(journal)
        self._session, self._backend = _open(address)

    def map_buckets(
        self, function: Callable[[BaleTable], Answer], columns: Sequence[str] | None = None
    ) -> Iterator[Answer]:
        """As in process; function and answers travel by pickle. All answers are held at once."""
        with self._journal.snapshot() as views:
            if not views:
                return
            for view in views:
                self._journal.list_paths(view.parts)  # what is missing is told here
            work = pa.table(
                {
                    "bucket": pa.array([view.bucket for view in views], pa.int64()),
                    "view": pa.array([pickle.dumps(view) for view in views]),
                }
            )
            task = _BucketTask(function, columns)
            frame = self._session.createDataFrame(work).repartition(_tasks(len(views)))
            rows = frame.mapInArrow(task, "bucket bigint, answer binary").toArrow().to_pylist()
        for row in sorted(rows, key=lambda row: int(row["bucket"])):
            # The cluster runs our own code on our own files: its answers are as good as ours.
            yield pickle.loads(row["answer"])  # noqa: S301

    def _connect(self) -> AbstractContextManager[Connection]:
        return _question(self._session, self._backend)


class _Spark:
    """One question's views on a shared session."""

    def __init__(self, session: Any, backend: Any) -> None:
        self._session, self._backend = session, backend
        self._views: list[str] = []

    def scan(self, paths: Sequence[str], schema: pa.Schema) -> Any:
        from pyspark.sql.pandas.types import from_arrow_schema  # noqa: PLC0415

        reader = self._session.read.schema(from_arrow_schema(schema))
        return self._view(reader.parquet(*map(_as_spark_path, paths)))

    def hold(self, table: pa.Table) -> Any:
        if table.num_rows:
            return self._view(self._session.createDataFrame(table))
        from pyspark.sql.pandas.types import from_arrow_schema  # noqa: PLC0415

        # The client cannot tell the columns of an empty table by itself.
        return self._view(self._session.createDataFrame([], from_arrow_schema(table.schema)))

    def fetch(self, expression: Any) -> pa.Table:
        # Not ibis' own way, which goes through pandas: whole numbers beside nulls would become
        # floats there.
        query = str(self._backend.compile(expression))
        answer: pa.Table = self._session.sql(query).toArrow()
        return answer

    def close(self) -> None:
        for name in self._views:
            self._session.catalog.dropTempView(name)

    def _view(self, frame: Any) -> Any:
        name = f"balewright_{uuid.uuid4().hex}"
        frame.createOrReplaceTempView(name)
        self._views.append(name)
        return self._backend.table(name)


@contextmanager
def _question(session: Any, backend: Any) -> Iterator[Connection]:
    connection = _Spark(session, backend)
    try:
        yield connection
    finally:
        connection.close()


@dataclass(frozen=True)
class _BucketTask:
    """What a worker of the cluster does: read a bucket's files, apply the function."""

    function: Callable[[BaleTable], Any]
    columns: Sequence[str] | None

    def __call__(self, batches: Iterator[pa.RecordBatch]) -> Iterator[pa.RecordBatch]:
        for batch in batches:
            for row in batch.to_pylist():
                view = pickle.loads(row["view"])  # noqa: S301  we sent it ourselves
                answer = self.function(view.bales(self.columns))
                bucket = pa.array([row["bucket"]], pa.int64())
                told = pa.array([pickle.dumps(answer)], pa.binary())
                yield pa.record_batch({"bucket": bucket, "answer": told})


def check_address(address: str) -> list[Fault]:
    """What is wrong with the address of an engine; it may carry a token and is not told back."""
    need = "duckdb, or a Spark Connect address such as sc://host:15002"
    cure = "Leave it out to have questions answered in this process."
    try:
        parts = urlsplit(address)
        named = bool(parts.hostname) and ";" not in parts.netloc  # parameters stand behind a slash
        good = parts.scheme == "sc" and named and (parts.port or PORT) > 0
        shown = f"{parts.scheme}://..." if parts.scheme else "no address"
    except ValueError:
        good, shown = False, "an address with a wrong port"
    return [] if good else [Fault(PLACE, need, shown, cure)]


_SESSIONS: Final[list[Any]] = []


def close_sessions() -> None:
    """End every session of this process while its server still answers.

    Left open until the server is gone, the client would go on trying to tell it for minutes when
    the process ends.
    """
    while _SESSIONS:
        _SESSIONS.pop().stop()
    _open.cache_clear()


@lru_cache(maxsize=4)
def _open(address: str) -> tuple[Any, Any]:
    """A session at that address, kept for the life of the process."""
    faults = check_address(address)
    if faults:
        raise BadInput(*faults)
    _require_listener(address)
    try:
        with warnings.catch_warnings():
            # It says that it does not know pandas 3 fully; no row goes through pandas here.
            warnings.filterwarnings("ignore", "PySpark does not yet fully support", FutureWarning)
            import ibis  # noqa: PLC0415
            from pyspark.sql import SparkSession  # noqa: PLC0415

            session = SparkSession.builder.remote(address).create()
            _SESSIONS.append(session)
            backend = ibis.pyspark.connect(session)
    except ImportError as error:
        cure = "Install Balewright with its extra `spark`: pip install 'balewright[spark]'."
        fault = Fault(PLACE, "the client of Spark Connect", "none installed", cure)
        raise BadInput(fault) from error
    except Exception as error:  # the client's and gRPC's own families, which share no base
        raise BadInput(_unanswered(type(error).__name__)) from error
    session.conf.set("spark.sql.ansi.enabled", "true")
    return session, backend


def _require_listener(address: str) -> None:
    """The client would go on trying for minutes where nobody listens."""
    parts = urlsplit(address)
    try:
        socket.create_connection((parts.hostname, parts.port or PORT), _WAIT_S).close()
    except OSError as error:
        raise BadInput(_unanswered(error.strerror or str(error))) from error


def _unanswered(given: str) -> Fault:
    cure = "Start the server or correct the address; leave it out to do without Spark."
    return Fault(PLACE, "a Spark Connect server that answers", given.lower(), cure)


def _as_spark_path(path: str) -> str:
    """A plain path: Spark takes brackets and stars for patterns, and bare paths for a cluster's."""
    return "file://" + _GLOB.sub(r"\\\1", path)


def _tasks(buckets: int) -> int:
    """Few and fat: each task costs more to start than a bucket to read."""
    return max(2, buckets // 8)
