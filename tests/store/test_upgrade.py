"""A register that any earlier version made comes up with everything in it."""

from __future__ import annotations

import sqlite3
from pathlib import Path
from typing import Any, Final

import pytest

from balewright.store.databases import database_for
from balewright.store.register import open_register

STEPS: Final = Path(__file__).parents[2] / "src/balewright/store/migrations"
VERSIONS: Final = sorted(path.stem for path in STEPS.glob("0*.py"))

FIRST_ROWS: Final = (
    "insert into store_customer(id, name) values (1, 'Mossy Hollow')",
    "insert into store_machine(serial, name, profile_key, zone, customer_id)"
    " values ('HAZE-1', 'Hazel one', 'amble-f', 'Europe/Dublin', 1)",
    "insert into store_job(job, source, customer_id, farm, field, crop)"
    " values ('upper', '', 1, null, 'Upper lea', null)",
    "insert into store_sheet(key, machine, profile_key, made_at, body)"
    " values ('s1', 'HAZE-1', 'amble-f', '2031-06-01 12:00:00', '{\"turns\": 16}')",
    "insert into store_counterspan(machine, epoch, lowest_no, highest_no)"
    " values ('HAZE-1', 0, 1, 4060)",
    "insert into store_finding(review_id, place, kind, weight, body)"
    " values (1, 0, 'few layers', 'high', '{}')",
)
"""What a register of the first version may hold; every later version holds it too."""
FIRST_EPISODES: Final = "0006_episodes"
"""The version whose step makes episodes of the findings there are."""


def _review(database: sqlite3.Connection) -> None:
    """A review; of what a later version knows of it, nothing."""
    later = {row[1] for row in database.execute("pragma table_info(store_review)")}
    names = ["id", "machine", "reviewed_at", *sorted(later & {"charts", "mark"})]
    values = [1, "HAZE-1", "2031-06-02 12:00:00", 0, ""][: len(names)]
    marks = ", ".join("?" for _ in names)
    database.execute(f"insert into store_review({', '.join(names)}) values ({marks})", values)


def _take_in(database: sqlite3.Connection) -> None:
    """A taken file with one part; columns that a version adds must have a value of their own."""
    columns = {
        *("sha256", "name", "form", "state", "at", "kept", "events", "refused", "doubtful"),
        *("details", "first_us", "last_us"),
    }
    values: dict[str, Any] = dict.fromkeys(columns, 0) | {
        "sha256": "a" * 64,
        "name": "june.csv",
        "form": "bale csv",
        "state": "taken",
        "at": "2031-06-02 12:00:00",
        "kept": 3,
        "details": "{}",
        "first_us": None,
    }
    told = {row[1]: row for row in database.execute("pragma table_info(store_intake)")}
    values |= {name: "" for name, row in told.items() if name not in columns and row[3]}
    values.pop("id", None)
    names = ", ".join(values)
    marks = ", ".join("?" for _ in values)
    database.execute(
        f"insert into store_intake({names}) values ({marks})",
        tuple(values.values()),
    )
    database.execute(
        "insert into store_part(path, dataset, season, bucket, rows, sha256, size_bytes,"
        " schema_version, generation, first_us, last_us, intake_id) values"
        " ('bales/season=2031/bucket=007/x.parquet', 'bales', 2031, 7, 3, 'b', 10, 1, 0,"
        " null, null, 1)"
    )


def _register_of(version: str, path: Path) -> None:
    """A register as that version made and filled it: its own steps, then plain SQL."""
    from django.db import connections
    from django.db.migrations.executor import MigrationExecutor

    alias = f"as_of_{version}"
    connections.databases[alias] = connections.configure_settings(
        {"default": {}, alias: database_for(path)}
    )[alias]
    MigrationExecutor(connections[alias]).migrate([("store", version)])
    connections[alias].close()
    del connections.databases[alias]
    database = sqlite3.connect(path)
    with database:
        _review(database)
        for row in FIRST_ROWS:
            database.execute(row)
        _take_in(database)
    database.close()


def _rows(path: Path) -> dict[str, list[dict[str, Any]]]:
    """Every row of every table of ours, by column."""
    database = sqlite3.connect(path)
    database.row_factory = sqlite3.Row
    named = database.execute("select name from sqlite_master where type = 'table'").fetchall()
    kept = {
        name: [dict(row) for row in database.execute(f"select * from {name} order by 1")]
        for (name,) in named
        if name.startswith("store_")
    }
    database.close()
    return kept


@pytest.mark.law
@pytest.mark.parametrize("version", VERSIONS[:-1])
def test_a_register_of_an_earlier_version_comes_up_whole(version: str, tmp_path: Path) -> None:
    """All rows keep their values, new tables are there and empty but for the episodes of the
    findings there were, and it opens again."""
    path = tmp_path / "register.sqlite3"
    with open_register(tmp_path / "other.sqlite3"):
        pass  # sets Django up
    _register_of(version, path)
    before = _rows(path)
    assert sum(map(len, before.values())) == len(FIRST_ROWS) + 3
    with open_register(path) as register:
        assert register.load_lifetime("HAZE-1") == 4060
        machine = register.load_machine("HAZE-1")
        assert machine is not None
        assert (machine.name, machine.customer) == ("Hazel one", "Mossy Hollow")
    after = _rows(path)
    for table, rows in before.items():
        kept = [{name: row[name] for name in rows[0]} for row in after[table]] if rows else []
        assert kept == rows, table
    episodes = [row["key"] for row in after.pop("store_episode")]
    assert episodes == (["HAZE-1:few layers:::1"] if version < FIRST_EPISODES else [])
    assert all(not rows for table, rows in after.items() if table not in before)
    with open_register(path) as register:
        assert register.load_taken() == {"a" * 64}


@pytest.mark.law
def test_every_version_is_tried() -> None:
    """The steps on disk follow each other without a gap, so that none is left out above."""
    assert [int(version[:4]) for version in VERSIONS] == list(range(1, len(VERSIONS) + 1))
