"""One journal with every case, one that is empty, and the engines that are asked."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from tests.store.conformance import cases, spark_server
from tests.store.conftest import open_journal, take

from balewright.store.compaction import compact_bucket, list_due
from balewright.store.journal import Journal
from balewright.store.spark import close_sessions


@pytest.fixture(scope="session")
def spark_address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a Spark server of this machine; the test is skipped where there is none."""
    missing = spark_server.why_not()
    if missing is not None:
        pytest.skip(missing)
    with spark_server.running(tmp_path_factory.mktemp("spark")) as address:
        yield address
        close_sessions()  # before its server: else the process would wait for it at its end


@pytest.fixture(scope="session")
def full(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Journal]:
    """The journal of every case, in a folder whose name is full of what patterns are made of.

    Half of the buckets are merged before the last file comes: both kinds of rows are asked.
    """
    journal = open_journal(tmp_path_factory.mktemp("home") / "barn [1] *{a,b}? 50%20 é")
    for number, rows in enumerate(cases.files()):
        if number == 2:
            for bucket in list_due(journal, every=True)[::2]:
                compact_bucket(journal, bucket, datetime(2031, 7, 1, tzinfo=UTC))
        take(journal, f"{number}" * 64, cases.as_table(rows))
    yield journal
    journal.register.close()


@pytest.fixture(scope="session")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Journal]:
    """A journal that never took anything in."""
    journal = open_journal(tmp_path_factory.mktemp("empty"))
    yield journal
    journal.register.close()


@pytest.fixture(scope="session")
def home_of_both(full: Journal, empty: Journal) -> dict[str, Journal]:
    """Both journals by name."""
    return {"full": full, "empty": empty}


@pytest.fixture(scope="session")
def root() -> Path:
    """The checkout."""
    return Path(__file__).parents[3]
