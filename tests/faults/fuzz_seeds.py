"""Files that fuzzing begins with: those that lie in `seeds`, and those that are no plain files."""

from __future__ import annotations

import gzip
import hashlib
import io
import json
import sqlite3
import struct
import tarfile
import tempfile
import zipfile
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any, Final

from faults.fuzz_pieces import BEGIN, DAYS, DROP, END, FOREIGN, IN_ORDER, NEXT, WRONG_END

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


def map_of(sheet: str | None = None) -> Any:
    """A column map of a small table. sheet: its name in a workbook."""
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


def task_xml() -> bytes:
    """Task data of one task."""
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

    return map_to_toml(map_of()).encode()


def _blf() -> bytes:
    """Some frames of the trace that is text, not packed, so that a changed byte gets in."""
    import can

    lines = (SEEDS / "trace" / "1-candump.log").read_text().splitlines()
    said = [line.split() for line in lines if line.startswith("(")]
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "a.blf"
        writer = can.BLFWriter(path, compression_level=0)
        for at, _, frame in said:
            number, _, data = frame.partition("#")
            stamp = float(at.strip("()"))
            content = bytes.fromhex(data)
            message = can.Message(stamp, int(number, 16), is_extended_id=True, data=content)
            writer.on_message_received(message)
        writer.stop()
        return path.read_bytes()


def _pieces() -> tuple[bytes, ...]:
    """In order; broken off and gone on with; something else; given up; days between."""
    return (
        IN_ORDER,
        bytes([BEGIN, 0, NEXT, 90, BEGIN, 0, *IN_ORDER[4:]]),
        bytes([BEGIN, 0, FOREIGN, 200, END, 0]) + IN_ORDER,
        bytes([BEGIN, 0, NEXT, 90, DROP, 0]) + IN_ORDER[:-2] + bytes([WRONG_END, 0]),
        bytes([BEGIN, 0, NEXT, 90, DAYS, 140]) + IN_ORDER,
    )


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


_PARTS: Final = frozenset({"time-log"})
"""Folders whose files are parts of seeds."""


def _made(name: str) -> tuple[bytes, ...]:
    """Seeds that are no plain files."""
    bales = (SEEDS / "bale-csv" / "1.csv").read_bytes()
    log = _log_xml() + ODD + LOG_BIN
    made: dict[str, Callable[[], tuple[bytes, ...]]] = {
        "bale-csv": lambda: (gzip.compress(bales), bales.decode().encode("utf-16")),
        "workbook": lambda: (_workbook(),),
        "guess-workbook": lambda: (_workbook(),),
        "task-set": lambda: (
            task_xml() + ODD + log,
            ODD.join((task_xml(), log, (SEEDS / "time-log" / "links.xml").read_bytes())),
        ),
        "blf": lambda: (_blf(),),
        "pieces": _pieces,
        "time-log": lambda: (log, _log_xml() + ODD),
        "zip": lambda: (
            _zipped(TASKDATA_XML=task_xml(), TLG00001_XML=_log_xml(), TLG00001_BIN=LOG_BIN),
        ),
        "signal-book": lambda: (BOOK.read_bytes() + ODD + BOOK.with_suffix(".dbc").read_bytes(),),
        "profile": lambda: tuple(path.read_bytes() for path in sorted(MAKES.glob("*.toml"))),
        "column-map": lambda: (_map_text(),),
        "backup": lambda: (_backup(),),
    }
    return made[name]() if name in made else ()


def load_seeds(name: str) -> tuple[bytes, ...]:
    """Inputs to begin with; the first one is understood."""
    files = sorted((SEEDS / name).glob("*")) if name not in _PARTS else []
    folder, pattern = BROKEN.get(name, ("csv_broken", "nothing"))
    broken = sorted((SEEDS.parents[1] / "readers" / folder).glob(pattern))
    return (
        *(path.read_bytes() for path in files),
        *_made(name),
        *(path.read_bytes() for path in broken),
    )
