"""Which engine answers: DuckDB in this process, or a Spark server."""

from __future__ import annotations

from balewright.store.engine import Engine
from balewright.store.journal import Journal


def open_engine(journal: Journal, address: str | None = None) -> Engine:
    """The engine for a journal.

    address: None for DuckDB in this process, else `sc://host:port` of a Spark Connect server.
    Raises BadInput when that server does not answer or its client is not installed.
    """
    if address is None:
        return Engine(journal)
    from balewright.store.spark import SparkEngine  # noqa: PLC0415  the extra may not be there

    return SparkEngine(journal, address)
