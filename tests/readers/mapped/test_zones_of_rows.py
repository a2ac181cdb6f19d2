"""Which zone a row's clock stands in, and dates that several times share."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from balewright.readers.mapped.map_text import keyed
from balewright.readers.mapped.opening import open_mapped
from balewright.readers.reading import Reading
from balewright.records.bales import concatenate
from balewright.records.column_map import MACHINES_OWN, ZONE, ColumnMap, MappedColumn

pytestmark = pytest.mark.derived

MAP = ColumnMap(
    "",
    "rows",
    (
        *(MappedColumn("m", 0, "machine"), MappedColumn("no", 1, "bale_no")),
        MappedColumn("day", 2, "tipped_at", "date"),
        MappedColumn("from", 3, "closed_at", "clock"),
        *(MappedColumn("to", 4, "tipped_at", "clock"), MappedColumn("tz", 5, ZONE)),
    ),
)  # fmt: skip
ROWS = """m,no,day,from,to,tz
Z-1,1,2031-06-14,09:30,09:31,Europe/Berlin
Z-1,2,2031-06-14,09:32,09:33,-05:00
Z-2,3,2031-06-14,09:34,,
Z-3,4,2031-06-14,09:36,09:37,CEST
Z-4,5,,09:38,09:39,
"""


def told(path: Path, column_map: ColumnMap, reading: Reading) -> tuple[list[list[str]], list[str]]:
    """UTC clocks of each kept bale, and places of refusals."""
    used = replace(reading, maps=(keyed(column_map),))
    batches = list(open_mapped(path, used))
    table = concatenate([batch.bales for batch in batches])
    cells = [
        [
            "-" if (at := table.cell(row, name)) is None
            else f"{datetime.fromtimestamp(at / 1e6, UTC):%H:%M}"
            for name in ("closed_at", "tipped_at")
        ]
        for row in range(table.rows)
    ]  # fmt: skip
    return cells, [one.place for batch in batches for one in batch.refusals]


def test_a_row_says_its_zone_else_the_map_does(tmp_path: Path) -> None:
    """Names and offsets are taken, an abbreviation is refused; one date serves both clocks."""
    path = tmp_path / "a.csv"
    path.write_text(ROWS)
    cells, refused = told(path, replace(MAP, zone="Asia/Kathmandu"), Reading())
    assert cells == [["07:30", "07:31"], ["14:32", "14:33"], ["03:49", "-"]]
    assert refused == ["line 5, column from", "line 6, column from"]


def test_each_machines_own_zone(tmp_path: Path) -> None:
    """The register's zone of the row's machine; a machine that is not in it is refused."""
    path = tmp_path / "a.csv"
    path.write_text(ROWS.replace(",Europe/Berlin", ",").replace(",-05:00", ",").replace("CEST", ""))
    zones = {"Z-1": "Europe/Berlin", "Z-2": "America/Chicago"}
    own = replace(MAP, zone=MACHINES_OWN)
    cells, refused = told(path, own, Reading(zones=zones))
    assert cells == [["07:30", "07:31"], ["07:32", "07:33"], ["14:34", "-"]]
    assert refused == ["line 5, column from", "line 6, column from"]
    one = replace(own, columns=(MappedColumn("m", 0, ""), *MAP.columns[1:]), machine=None)
    cells, refused = told(path, one, Reading(zones=zones, machine="Z-2"))
    assert cells[0] == ["14:30", "14:31"]
    assert len(refused) == 1
