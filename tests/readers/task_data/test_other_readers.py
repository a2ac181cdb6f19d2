"""The same files by libraries that share no code with this reader, row by row, part by part."""

from __future__ import annotations

import hashlib
import shutil
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from balewright.readers.archive import open_archive
from balewright.readers.task_data import TaskData, open_task_data
from balewright.readers.task_data.attributes import Ledger
from balewright.readers.task_data.devices import Device
from balewright.readers.task_data.layout import LogHeader
from balewright.readers.task_data.log_header import read_headers
from balewright.readers.task_data.logged import TimeLog
from balewright.readers.task_data.time_log import decode_log

pytestmark = [pytest.mark.real_data, pytest.mark.reference]

DIGESTS = {
    "01-device-pool-with-round-baler.zip": (
        373,
        "449c48df398ec1073cf2877192ac2485ea15aa23de4800aff07e5e2f0ad17c37",
    ),
    "02-harvest-totals": (
        4_677,
        "e8b92b12e5ea28dc1fc7ccbb1c62c466bf470059a90fdb59e746b0cc80969c06",
    ),
    "05-externals-and-tlg.zip": (
        207,
        "f0b921418295c574f15f7d14abfb81afc5079bb58b3db95aceb62ce95fe41601",
    ),
    "08-malformed": (
        10_637,
        "ca49b88efffc1be51569f0df86398ceaa8d82f5f3535775a20fbbeeced02bf16",
    ),
    "10-square-baler-5-tasks-14-logs": (
        97_932,
        "c1509a4123f127f0c3f9a16178ee2d40fe669880f97e454adcc64445bb29e0ee",
    ),
}
"""Records and SHA-256 of all records of all logs as plain lines, as the npm package isoxml 1.11.2
finds them: `python bench/isoxml/time_logs.py FOLDER --digests` makes them anew, and without the
option that program holds each record against each."""

LETTERS = {
    "C": "up",
    "D": "status",
    "E": "pdop",
    "F": "hdop",
    "G": "satellites",
    "H": "gps_ms",
    "I": "gps_day",
}


@pytest.fixture(scope="module")
def sets(data_dir: Path) -> Path:
    """The folder of task-data sets."""
    return data_dir / "isoxml"


def _logs(path: Path) -> Iterator[tuple[str, TimeLog, LogHeader]]:
    archive = open_archive(path)
    for binary in sorted(archive.sizes):
        folder, _, base = binary.rpartition("/")
        stem = base.rpartition(".")[0]
        if not stem.upper().startswith("TLG") or not base.lower().endswith(".bin"):
            continue
        header_file = archive.find(folder, f"{stem}.xml")
        data = archive.read(binary)
        if header_file is None or not data:
            continue
        headers = read_headers(archive.read(header_file), header_file, Ledger())
        if headers:
            yield stem.upper(), decode_log(stem, data, headers[0], binary), headers[0]


def _lines(name: str, log: TimeLog, header: LogHeader) -> Iterator[str]:
    """Name, milliseconds, nine position fields raw, values by identifier and element."""
    heads = log.receiver.heads
    nothing = [""] * log.rows
    fields: list[list[Any]] = [
        heads["north"].tolist() if "A" in header.position else nothing,
        heads["east"].tolist() if "B" in header.position else nothing,
    ]
    for letter, field in LETTERS.items():
        fields.append(heads[field].tolist() if letter in header.position else nothing)
    written: list[list[str]] = [[] for _ in range(log.rows)]
    keys = [f"{column.number:04X}_{column.element}" for column in log.columns]
    values = zip(
        log.value_row.tolist(), log.value_index.tolist(), log.value_raw.tolist(), strict=True
    )
    for row, index, raw in values:
        written[row].append(f"{keys[index]}={raw}")
    for row, ms in enumerate((log.at_us // 1000).tolist()):
        place = [str(each[row]) for each in fields]
        yield " ".join([name, str(ms), *place, *sorted(written[row])])


@pytest.mark.parametrize("name", DIGESTS)
def test_every_record_of_every_log_is_the_one_another_reader_finds(sets: Path, name: str) -> None:
    """Time, position, receiver and every value of 113,826 records: the digest of the npm package's
    own rows. (Of damaged logs it was given what is left without the bytes that fit no record.)"""
    digest, records = hashlib.sha256(), 0
    for stem, log, header in _logs(sets / name):
        for line in _lines(stem, log, header):
            digest.update((line + "\n").encode())
        records += log.rows
    assert (records, digest.hexdigest()) == DIGESTS[name]


def _by_library(path: Path, folder: Path) -> Any:
    """The set as the Python package isoxml 0.0.4 reads it (upper-case file name at the root)."""
    from isoxml.util.isoxml_io import isoxml_from_path

    if path.suffix == ".zip":
        with zipfile.ZipFile(path) as packed:
            packed.extractall(folder)
    elif path.is_dir():
        shutil.copytree(path, folder, dirs_exist_ok=True)
    else:
        shutil.copy(path, folder / "TASKDATA.XML")
    main = next(each for each in folder.rglob("*") if each.name.upper() == "TASKDATA.XML")
    return isoxml_from_path(main, read_bin_files=False)[0]


def _code(kind: Any) -> int:
    """The number behind a kind; the library holds some in tuples."""
    value = kind.value
    return int(value[0] if isinstance(value, tuple) else value)


def _label(label: bytes | str | None) -> str:
    return label.hex().upper() if isinstance(label, bytes) else label or ""


def _places(stamp: Any) -> int:
    """How many positions a stamp has; version 3 of the library's values holds one at most."""
    if stamp is None:
        return 0
    held = getattr(stamp, "positions", None)
    return len(held) if held is not None else int(getattr(stamp, "position", None) is not None)


def _number(ddi: bytes | None) -> int:
    return int.from_bytes(ddi or b"", "big")


def _their_parts(device: Any) -> list[Any]:
    """Every part of a device with what it refers to, from the library's typed values."""
    shown = {
        each.object_id: (
            *(float(each.offset), float(each.scale), each.number_of_decimals),
            each.unit_designator or "",
        )
        for each in device.value_presentations
    }
    process = {
        each.object_id: (
            *(
                _number(each.ddi),
                (each.designator or "").strip(),
                each.property,
                each.trigger_methods,
            ),
            shown.get(each.device_value_presentation_object_id),
        )
        for each in device.process_data
    }
    fixed = {
        each.object_id: (
            *(_number(each.ddi), each.value, (each.designator or "").strip()),
            shown.get(each.device_value_presentation_object_id),
        )
        for each in device.properties
    }
    found = []
    for part in device.elements:
        objects = [each.device_object_id for each in part.device_object_references]
        found.append(
            (
                (part.id, part.object_id, _code(part.type), (part.designator or "").strip()),
                (part.number, part.parent_object_id),
                [process[number] for number in objects if number in process],
                [fixed[number] for number in objects if number in fixed],
            )
        )
    return found


def _our_parts(device: Device) -> list[Any]:
    def shown(how: Any) -> Any:
        return how and (how.offset, how.scale, how.decimals, how.unit)

    return [
        (
            (part.key, part.object, part.kind, part.designator),
            (part.number, part.parent),
            [
                (e.number, e.designator, e.properties, e.triggers, shown(e.presentation))
                for e in part.process
            ],
            [(e.number, e.raw, e.designator, shown(e.presentation)) for e in part.properties],
        )
        for part in device.elements
    ]


SETS = [
    "01-device-pool-with-round-baler.zip",
    "02-harvest-totals",
    "05-externals-and-tlg.zip",
    "06-every-element.zip",
    "09-device-descriptions/TASKDATA_Devices.XML",
]


@pytest.mark.parametrize("name", SETS)
def test_device_descriptions_agree_part_by_part(sets: Path, tmp_path: Path, name: str) -> None:
    """Parts with parents, process data with property and trigger bits, properties and value
    presentations of every device, against isoxml 0.0.4 for Python (names without the blanks that
    some devices fill them up with)."""
    theirs = _by_library(sets / name, tmp_path)
    ours = open_task_data(sets / name)
    assert len(ours.devices) == len(theirs.devices) > 0
    for mine, other in zip(ours.devices, theirs.devices, strict=True):
        assert (mine.key, mine.software) == (other.id, other.software_version or "")
        older = getattr(other, "working_set_master_name", b"")
        name64 = getattr(other, "client_name", None) or older
        assert mine.name64 == _label(name64)
        labels = (other.structure_label, other.localization_label)
        assert [mine.structure, mine.localization] == [_label(label) for label in labels]
        assert _our_parts(mine) == _their_parts(other)


def _moment_us(at: Any) -> int | None:
    if at is None:
        return None
    moment = at.to_datetime()
    seconds = np.datetime64(moment.replace(tzinfo=None), "us").astype(np.int64)
    offset = moment.utcoffset()
    return int(seconds) - (round(offset.total_seconds()) * 1_000_000 if offset else 0)


def _total(value: Any) -> tuple[Any, ...]:
    number = _number(value.process_data_ddi)
    return number, value.process_data_value, value.device_element_id_ref, value.data_log_pgn


def _their_tasks(tasks: list[Any]) -> list[Any]:
    found = []
    for task in tasks:
        times = [
            (
                _moment_us(each.start),
                _code(each.type),
                [_total(value) for value in each.data_log_values],
            )
            for each in task.times
        ]
        stamps = [
            *((w.worker_id_ref, w.allocation_stamp) for w in task.worker_allocations),
            *((d.device_id_ref, d.allocation_stamp) for d in task.device_allocations),
            *((p.product_id_ref, p.asp) for p in task.product_allocations),
        ]
        allocated = [
            (key, _moment_us(stamp.start) if stamp else None, _places(stamp))
            for key, stamp in stamps
        ]
        comments = [c.free_comment_text for c in task.comment_allocations if c.free_comment_text]
        found.append((task.id, times, allocated, comments, task.responsible_worker_id_ref or ""))
    return found


def _our_tasks(data: TaskData) -> list[Any]:
    found = []
    for task in (record.task for record in data.tasks):
        times = [
            (each.begin_us, each.kind, [(v.number, v.raw, v.element, v.pgn) for v in each.totals])
            for each in task.periods
        ]
        allocated = [
            (
                one.key or None,
                one.stamp.begin_us if one.stamp else None,
                len(one.stamp.places) if one.stamp else 0,
            )
            for kind in ("worker", "device", "product")
            for one in task.allocations
            if one.kind == kind
        ]
        found.append((task.key, times, allocated, list(task.comments), task.worker))
    return found


@pytest.mark.parametrize("name", SETS[:4])
def test_times_totals_and_allocations_agree(sets: Path, tmp_path: Path, name: str) -> None:
    """Periods with each of their totals (65 in the harvest set), who and what was allocated and
    when, and comments of every task, against isoxml 0.0.4 for Python."""
    theirs = _by_library(sets / name, tmp_path)
    assert _our_tasks(open_task_data(sets / name)) == _their_tasks(theirs.tasks)
