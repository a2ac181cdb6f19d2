"""What is fuzzed: each reader of bytes that comes from outside, and files to begin with.

A target takes bytes, lays them where its reader looks, and reads to the end. Only errors of the
house may come out of it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from faults.fuzz_pieces import send_pieces
from faults.fuzz_seeds import BOOK, ODD, load_seeds, map_of, task_xml


@dataclass(frozen=True)
class Target:
    """name: of the target; packages: modules whose branches are counted; read: takes the bytes and
    a folder of its own."""

    name: str
    packages: tuple[str, ...]
    read: Callable[[bytes, Path], Any]

    @property
    def seeds(self) -> tuple[bytes, ...]:
        """Inputs to begin with; the first one is understood."""
        return load_seeds(self.name)


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


def _own_trace(path: Path) -> None:
    """A trace of a machine whose own signals are known, so that bales are cut."""
    from balewright.readers.open_records import open_records
    from balewright.readers.profile import shipped_profiles
    from balewright.readers.reading import Reading

    profile = shipped_profiles()["mossgrinder-m2"]
    _drain(open_records(path, Reading(machine="H-1", profile=profile)).batches)


def _drain(batches: Iterator[Any]) -> None:
    for batch in batches:
        assert batch.bales.rows <= 65_536


def _by_map(path: Path) -> None:
    from balewright.readers.open_records import open_records
    from balewright.readers.reading import Reading

    one = map_of("Sheet" if path.suffix == ".xlsx" else None)
    _drain(open_records(path, Reading(maps=(one,), map_key="k1")).batches)


def _map_and_table(data: bytes, folder: Path) -> None:
    """The map is of the input too, so that every unit, clock and sign of maps can be met."""
    from dataclasses import replace

    from balewright.readers.mapped.map_text import read_map_file
    from balewright.readers.open_records import open_records
    from balewright.readers.reading import Reading

    written, _, table = data.partition(ODD)
    (folder / "map.toml").write_bytes(written)
    (folder / "a.csv").write_bytes(table)
    one = replace(read_map_file(folder / "map.toml"), key="k1")
    zones = {"H-1": "Europe/Dublin", "H-2": "Pacific/Auckland"}
    _drain(open_records(folder / "a.csv", Reading(maps=(one,), map_key="k1", zones=zones)).batches)


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
    _task_set(ODD.join((task_xml(), header, binary)), folder)


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


def _case_lines(data: bytes, _: Path) -> None:
    """What a phone may send, read to the end: each case folded, and what it knows as evidence."""
    from balewright.cause.case.evidence import evidence_before_repair, evidence_of
    from balewright.cause.case.read_case import read_case
    from balewright.readers.case_lines import read_case_lines

    lines = read_case_lines(data)
    for key in {one.case for one in lines.entries}:
        case = read_case(one for one in lines.entries if one.case == key)
        assert len(case.entries) <= len(lines.entries)
        evidence_of(case)
        evidence_before_repair(case)


def _fault_network(path: Path) -> None:
    """Another house's network; what is taken can be laid out and weighed (compiled parts of an
    answer cannot be traced)."""
    from balewright.cause.laid_out import lay_out
    from balewright.readers.fault_network import read_network

    network = read_network(path.parent)
    lay_out(network)
    for one in network.observations:
        if one.check is not None and one.check.reading is not None:
            assert max(one.check.reading.weights(0.0)) == 1.0


def _restore(path: Path) -> None:
    from balewright.store.restore import restore

    restore(path, path.with_name("home"), lambda *_: None)


def targets() -> dict[str, Target]:
    """Every target by its name."""
    csv = _in(
        "readers", "bale_csv event_csv csv_form csv_rows csv_split csv_text cells lines times"
    )
    mapped, tasks, can = (_in("readers", room) for room in ("mapped", "task_data", "can"))
    found = (
        Target("bale-csv", csv, _to_file("a.csv", _records)),
        Target("other-table", mapped, _to_file("a.csv", _by_map)),
        Target("map-and-table", mapped, _map_and_table),
        Target("guess", mapped, _to_file("a.csv", _guess)),
        Target("guess-workbook", mapped, _to_file("a.xlsx", _guess)),
        Target("workbook", mapped, _to_file("a.xlsx", _by_map)),
        Target("task-xml", tasks, _to_file("TASKDATA.XML", _records)),
        Target("task-set", tasks, _task_set),
        Target("time-log", tasks, _log),
        Target("zip", (*tasks, *_in("readers", "archive")), _to_file("a.zip", _records)),
        Target("trace", can, _to_file("a.log", _records)),
        Target("own-trace", can, _to_file("a.log", _own_trace)),
        Target("blf", can, _to_file("a.blf", _records)),
        Target("signal-book", _in("readers", "can.signal_book can.layouts"), _signal_book),
        Target(
            "bale-lines", _in("readers", "bale_lines cells lines"), _to_file("a.jsonl", _records)
        ),
        Target(
            "profile",
            _in("readers", "profile") + _in("plan", "profile"),
            _to_file("a.toml", _profile),
        ),
        Target("settings", _in("readers", "settings_list"), _to_file("a.csv", _settings)),
        Target("geojson", _in("readers", "geojson"), _geojson),
        Target("column-map", _in("readers", "mapped.map_text"), _to_file("a.toml", _column_map)),
        Target(
            "case-lines",
            _in("readers", "case_lines") + _in("cause", "case.read_case case.payload case.answers"),
            _case_lines,
        ),
        Target(
            "fault-network",
            _in("readers", "fault_network") + _in("cause", "knowledge"),
            _to_file("a.toml", _fault_network),
        ),
        Target("backup", _in("store", "restore"), _to_file("a.tar", _restore)),
        Target("pieces", _in("flows", "take_in_pieces"), send_pieces),
    )
    return {target.name: target for target in found}


def _in(room: str, names: str) -> tuple[str, ...]:
    return tuple(f"balewright.{room}.{name}" for name in names.split())
