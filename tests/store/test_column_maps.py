"""Column maps in the register: versions, withdrawal, nothing changed."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from balewright.records.column_map import ColumnMap, MappedColumn, Twice
from balewright.store.entries import ColumnMapEntry
from balewright.store.register import open_register

pytestmark = pytest.mark.own

NOON = datetime(2031, 6, 14, 12, tzinfo=UTC)
MAP = ColumnMap(
    "M-1",
    "report",
    (MappedColumn("Gewicht", 0, "mass_kg", "lb"),
     MappedColumn("Bindung", 1, "binding", "", (("Netz", "net"), ("?", "")))),
    sheet="Blatt 1", head_row=3, head_rows=2, decimal=",", thousands=".", day_order="dmy",
    zone="Europe/Berlin", twice=Twice.BY_ORDER, machine="Z-1", unknown=("", "k.A."),
)  # fmt: skip


def entry(key: str, minutes: int, name: str = "report") -> ColumnMapEntry:
    """A version that was made some minutes after noon."""
    kept = replace(MAP, key=key, name=name)
    return ColumnMapEntry(kept, "0" * 64, NOON + timedelta(minutes=minutes), "tove")


def test_a_map_comes_back_whole(tmp_path: Path) -> None:
    """Every part of it, and who made it when."""
    with open_register(tmp_path / "register.sqlite3") as register:
        assert register.save_map(entry("M-1", 0))
        assert register.load_map("M-1") == entry("M-1", 0)
        assert register.load_map("M-2") is None
        assert not register.save_map(entry("M-1", 5))
        assert register.load_map("M-1") == entry("M-1", 0)


def test_the_newest_version_of_a_name_counts_until_it_is_withdrawn(tmp_path: Path) -> None:
    """A withdrawn name does not fall back to an older version; another name stays."""
    with open_register(tmp_path / "register.sqlite3") as register:
        for one in (entry("M-1", 0), entry("M-2", 1), entry("M-3", 2, "other")):
            register.save_map(one)
        assert [one.map.key for one in register.load_maps()] == ["M-3", "M-2"]
        assert [one.map.key for one in register.load_map_versions("report")] == ["M-2", "M-1"]
        assert register.withdraw_map("M-2", NOON)
        assert [one.map.key for one in register.load_maps()] == ["M-3"]
        assert not register.withdraw_map("M-1", NOON)
        assert not register.withdraw_map("M-gone", NOON)
        assert register.save_map(entry("M-1", 9))
        assert [one.map.key for one in register.load_maps()] == ["M-1", "M-3"]
