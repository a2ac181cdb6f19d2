"""What is fuzzed: each reader of bytes that comes from outside, and files to begin with.

A target takes bytes, lays them where its reader looks, and reads to the end. Only errors of the
house may come out of it.
"""

from __future__ import annotations

import gzip
import hashlib
import io
import json
import sqlite3
import struct
import tarfile
import zipfile
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

MAKES: Final = Path(__file__).parents[2] / "src/balewright/readers/makes"
BOOK: Final = MAKES / "signals" / "mossgrinder_m2.toml"
ODD: Final = b"\x00|\x00"
"""Parts one input into several files."""

SEEDS: Final = Path(__file__).with_name("seeds")
"""A folder for each target; the first file by name is one its reader understands."""

BROKEN: Final = {
    "bale-csv": ("csv_broken", "*.csv*"),
    "profile": ("profiles_broken", "*.toml"),
}
"""Collections of broken files that other tests hold; they are seeds too."""

LOG_BIN: Final = b"".join(
    struct.pack("<IHiiBB", 34_200_000 + 1000 * n, 18_792, 481_000_000, 91_000_000, 1, 1)
    + struct.pack("<Bi", n % 2, n)
    for n in range(6)
)


@dataclass(frozen=True)
class Target:
    """name: of the target; package: modules whose branches are counted; read: takes the bytes and
    a folder of its own."""

    name: str
    package: str
    read: Callable[[bytes, Path], Any]

    @property
    def seeds(self) -> tuple[bytes, ...]:
        """Inputs to begin with; the first one is understood."""
        return _seeds(self.name)


def _to_file(name: str, read: Callable[[Path], Any]) -> Callable[[bytes, Path], Any]:
    def lay(data: bytes, folder: Path) -> Any:
        path = folder / name
        path.write_bytes(data)
        return read(path)

    return lay


def _records(path: Path) -> None:
    from balewright.readers.open_records import open_records
    from balewright.readers.reading import Reading

    _drain(open_records(path, Reading(machine="H-1")).batches)


def _drain(batches: Iterator[Any]) -> None:
    for batch in batches:
        assert batch.bales.rows <= 65_536


def _map(sheet: str | None = None) -> Any:
    from balewright.records.column_map import ColumnMap, MappedColumn

    names = (
        ("Maschine", "machine", ""),
        ("Datum", "tipped_at", ""),
        ("Gewicht [kg]", "mass_kg", "kg"),
    )
    columns = tuple(MappedColumn(h, place, t, u) for place, (h, t, u) in enumerate(names))
    return ColumnMap(
        "k1", "june", columns, sheet=sheet, head_row=0, separator=";", decimal=",",
        day_order="dmy", zone="Europe/Dublin",
    )  # fmt: skip


def _by_map(path: Path) -> None:
    from balewright.readers.open_records import open_records
    from balewright.readers.reading import Reading

    one = _map("Sheet" if path.suffix == ".xlsx" else None)
    _drain(open_records(path, Reading(maps=(one,), map_key="k1")).batches)


def _guess(path: Path) -> None:
    from balewright.readers.mapped.guess import guess

    guess(path)


def _task_set(data: bytes, folder: Path) -> None:
    names = ("TASKDATA.XML", "TLG00001.XML", "TLG00001.BIN", "LINKLIST.XML")
    for name, content in zip(names, data.split(ODD), strict=False):
        (folder / name).write_bytes(content)
    _records(folder)


def _log(data: bytes, folder: Path) -> None:
    header, _, binary = data.partition(ODD)
    _task_set(ODD.join((_task_xml(), header, binary)), folder)


def _profile(path: Path) -> None:
    from balewright.readers.profile import read_profile

    read_profile(path)


def _settings(path: Path) -> None:
    from balewright.readers.settings_list import read_settings_file

    read_settings_file(path)


def _geojson(data: bytes, _: Path) -> None:
    from balewright.readers.geojson import read_geojson

    read_geojson(data, "places.json")


def _column_map(path: Path) -> None:
    from balewright.readers.mapped.map_text import read_map_file

    read_map_file(path)


def _signal_book(data: bytes, folder: Path) -> None:
    from balewright.readers.can.signal_book import read_signal_book

    table, _, dbc = data.partition(ODD)
    (folder / f"{BOOK.stem}.dbc").write_bytes(dbc)
    (folder / BOOK.name).write_bytes(table)
    read_signal_book(folder / BOOK.name)


def _restore(path: Path) -> None:
    from balewright.store.restore import restore

    restore(path, path.with_name("home"), lambda *_: None)


def _task_xml() -> bytes:
    return (SEEDS / "task-xml" / "1.xml").read_bytes()


def _log_xml() -> bytes:
    return (SEEDS / "time-log" / "header.xml").read_bytes()


def _zipped(**files: bytes) -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            archive.writestr(name.replace("_", "."), content)
    return packed.getvalue()


def _workbook() -> bytes:
    import openpyxl

    book = openpyxl.Workbook()
    sheet = book.active
    for row in (["Maschine", "Datum", "Gewicht [kg]"], ["H-1", "14.06.2031 09:30", 512.5]):
        sheet.append(row)
    packed = io.BytesIO()
    book.save(packed)
    return packed.getvalue()


def _map_text() -> bytes:
    from balewright.readers.mapped.map_text import map_to_toml

    return map_to_toml(_map()).encode()


def _backup() -> bytes:
    """A register with an empty manifest, and the list of contents that belongs to it."""
    packed = io.BytesIO()
    with closing(sqlite3.connect(":memory:")) as register:
        register.execute("create table store_part(path text)")
        register.commit()
        content = register.serialize()
    sha256 = hashlib.sha256(content).hexdigest()
    member = {"name": "register.sqlite3", "sha256": sha256, "size_bytes": len(content)}
    body = {"form": "balewright backup", "version": 1, "members": [member]}
    listed = json.dumps(body).encode()
    with tarfile.open(fileobj=packed, mode="w") as tar:
        for name, held in (("register.sqlite3", content), ("contents.json", listed)):
            info = tarfile.TarInfo(name)
            info.size = len(held)
            tar.addfile(info, io.BytesIO(held))
    return packed.getvalue()


def _made(name: str) -> tuple[bytes, ...]:
    """Seeds that are no plain files."""
    bales = (SEEDS / "bale-csv" / "1.csv").read_bytes()
    log = _log_xml() + ODD + LOG_BIN
    made: dict[str, Callable[[], tuple[bytes, ...]]] = {
        "bale-csv": lambda: (gzip.compress(bales), bales.decode().encode("utf-16")),
        "workbook": lambda: (_workbook(),),
        "task-set": lambda: (_task_xml() + ODD + log,),
        "time-log": lambda: (log, _log_xml() + ODD),
        "zip": lambda: (
            _zipped(TASKDATA_XML=_task_xml(), TLG00001_XML=_log_xml(), TLG00001_BIN=LOG_BIN),
        ),
        "signal-book": lambda: (BOOK.read_bytes() + ODD + BOOK.with_suffix(".dbc").read_bytes(),),
        "profile": lambda: tuple(path.read_bytes() for path in sorted(MAKES.glob("*.toml"))),
        "column-map": lambda: (_map_text(),),
        "backup": lambda: (_backup(),),
    }
    return made[name]() if name in made else ()


def _seeds(name: str) -> tuple[bytes, ...]:
    """Inputs to begin with; the first one is understood."""
    files = sorted((SEEDS / name).glob("*")) if name != "time-log" else []
    folder, pattern = BROKEN.get(name, ("csv_broken", "nothing"))
    broken = sorted((SEEDS.parents[1] / "readers" / folder).glob(pattern))
    return (
        *(path.read_bytes() for path in files),
        *_made(name),
        *(path.read_bytes() for path in broken),
    )


def targets() -> dict[str, Target]:
    """Every target by its name."""
    readers = "balewright.readers"
    mapped, tasks, can = (f"{readers}.{room}" for room in ("mapped", "task_data", "can"))
    found = (
        Target("bale-csv", readers, _to_file("a.csv", _records)),
        Target("other-table", mapped, _to_file("a.csv", _by_map)),
        Target("guess", mapped, _to_file("a.csv", _guess)),
        Target("workbook", mapped, _to_file("a.xlsx", _by_map)),
        Target("task-xml", tasks, _to_file("TASKDATA.XML", _records)),
        Target("task-set", tasks, _task_set),
        Target("time-log", tasks, _log),
        Target("zip", readers, _to_file("a.zip", _records)),
        Target("trace", can, _to_file("a.log", _records)),
        Target("signal-book", can, _signal_book),
        Target("bale-lines", readers, _to_file("a.jsonl", _records)),
        Target("profile", readers, _to_file("a.toml", _profile)),
        Target("settings", readers, _to_file("a.csv", _settings)),
        Target("geojson", readers, _geojson),
        Target("column-map", mapped, _to_file("a.toml", _column_map)),
        Target("backup", "balewright.store", _to_file("a.tar", _restore)),
    )
    return {target.name: target for target in found}
