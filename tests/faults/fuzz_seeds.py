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


def _maps_with_tables() -> tuple[bytes, ...]:
    """Date and time in two columns, words, inches and pounds, zones by row and by machine, a
    night that comes twice; thousands signs, seconds since 1970, Windows' letters, quotes."""
    from dataclasses import replace

    from balewright.readers.mapped.map_text import map_to_toml
    from balewright.records.column_map import MACHINES_OWN, MappedColumn, Twice

    said = (("Machine", "machine", ""), ("Bale", "bale_no", ""), ("Day", "tipped_at", "date"),
            ("Time", "tipped_at", "clock"), ("Weight", "mass_kg", "lb"),
            ("Size", "diameter_m", "in"), ("Water", "moisture_frac", "%"), ("Lat", "lat", ""),
            ("Lon", "lon", ""), ("Bound", "binding", ""))  # fmt: skip
    words = {"Bound": (("Netz", "net"), ("Folie", "film"))}
    columns = tuple(
        MappedColumn(heading, place, target, unit, words.get(heading, ()))
        for place, (heading, target, unit) in enumerate(said)
    )
    whole = replace(map_of(), columns=columns, zone=MACHINES_OWN, twice=Twice.BY_ORDER,
                    unknown=("", "-"))  # fmt: skip
    rows = (
        [heading for heading, _, _ in said],
        ["H-1", "1", "26.10.2031", "01:10", "1100,5", "48", "14", "53,1", "-6,2", "Netz"],
        ["H-1", "2", "26.10.2031", "01:50:10", "-", "49,2", "15,5", "53,1", "-6,2", "Folie"],
        ["H-1", "3", "26.10.2031", "01:05", "990", "50", "16", "53,1", "-6,2", "Seil"],
        ["H-2", "4", "6/10/2031", "2:15 pm", "1 100", "50", "160", "95", "-6,2", ""],
    )
    zoned = (("When", "closed_at", "epoch_s"), ("Zone", "zone", ""), ("Weight", "mass_kg", "t"),
             ("Field", "job", ""))  # fmt: skip
    plain = replace(
        whole,
        columns=tuple(MappedColumn(h, place, t, u) for place, (h, t, u) in enumerate(zoned)),
        machine="H-1", zone="UTC", thousands=".", encoding="cp1252", twice=Twice.SECOND,
    )  # fmt: skip
    few = b'When;Zone;Weight;Field\n1939198200;Europe/Dublin;0,5;"Gr\xfcner; Weg"\n'
    few += b'1939198260;+02:00;1.000,25;"two\nlines"\n1939198320;nowhere;x;\n'
    table = "\n".join(";".join(row) for row in rows).encode()
    return (
        map_to_toml(whole).encode() + ODD + table,
        map_to_toml(plain).encode() + ODD + few,
    )


def task_xml() -> bytes:
    """Task data of one task."""
    return (SEEDS / "task-xml" / "1.xml").read_bytes()


def _log_xml() -> bytes:
    return (SEEDS / "time-log" / "header.xml").read_bytes()


def _rich_set() -> bytes:
    """A set with a device that describes itself, people, products and times, and a log of bales
    with what a baler says of the last one."""
    said = (91, 651, 536, 644, 360, 212, 258, 112, 99, 214, 223, 650)
    columns = "".join(f'<DLV A="{number:04X}" B="" C="DET1"/>' for number in said)
    head = f'<TIM A="" D="4"><PTN A="" B="" C="" D="" E="" F="" G=""/>{columns}</TIM>'
    records = b""
    for second in range(24):
        values = {0: second // 8, 1: 9_000 * second, 2: 500 * second, 6: 345_150, 7: 50 * second,
                  8: 150_000 + second, 9: 1_200 + second // 8}  # fmt: skip
        if second % 8 == 0:
            values |= {3: 1, 4: 1_250, 5: 160_000, 10: 640_000, 11: 75}
        at = struct.pack("<IHiiiBHHB", 34_200_000 + 10_000 * second, 18_792, 481_000_000 + second,
                         91_000_000, 0, 1, 80, 90, 9)  # fmt: skip
        body = b"".join(struct.pack("<Bi", index, raw) for index, raw in values.items())
        records += at + struct.pack("<B", len(values)) + body
    xml = (SEEDS / "task-xml" / "2-rich.xml").read_bytes()
    return ODD.join((xml, head.encode(), records))


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
            _rich_set(),
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
        "map-and-table": _maps_with_tables,
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
