"""Values of real sets traced by hand: file, byte, what stands there, and what the reader gives.

Each row was found in a hex dump; the bytes are decoded here by `struct` with the layout of
ISO 11783-10 spelled out, and by the reader on its own way.
"""

from __future__ import annotations

import struct
import zipfile
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from balewright.readers.task_data import TaskData, open_task_data, task_bales
from balewright.readers.task_data.dictionary import worth_of
from balewright.records.bales import BaleTable, concatenate
from balewright.records.intake import PlaceUnit

pytestmark = [pytest.mark.real_data, pytest.mark.derived]

SEASON = "10-square-baler-5-tasks-14-logs"
MIDNIGHT = datetime(1980, 1, 1, tzinfo=UTC)

JOB = "Quaderballen 1"
POOL = "01-device-pool-with-round-baler.zip"
HARVEST = "02-harvest-totals"
EXTERNALS = "05-externals-and-tlg.zip"
EVERY = "06-every-element.zip"
MAIN = "TASKDATA.XML"
LINKS = "TASKDATA/LINKLIST.XML"

BALES = [
    # log, byte, the record's head, its first values, column of the bale, its value
    ("TLG0001", 23960, "30312902302ec6f42d1f371c65040f01", "0a01000000", "bale_no", 1),
    ("TLG0001", 23960, "30312902302ec6f42d1f371c65040f01", "0a01000000", "lat", 52.3105478),
    ("TLG0001", 23960, "30312902302ec6f42d1f371c65040f01", "0a01000000", "lon", 7.3735223),
    ("TLG0002", 22194, "307a8502302eb5162e1fb94b65040f01", "0a04000000", "bale_no", 4),
    ("TLG0005", 120956, "000494032f2eaf8b2e1f35fe64040f01", "0a04000000", "bale_no", 4),
    ("TLG0006", 38679, "58054503322eec2e411f91b483040f02", "00530200000a02000000", "bale_no", 1),
    ("TLG0006", 486935, "e8dd9a03322efe32411f3eab83040f01", "0a38000000", "bale_no", 56),
    ("TLG0006", 486935, "e8dd9a03322efe32411f3eab83040f01", "0a38000000", "lat", 52.436659),
    ("TLG0007", 257932, "b02bd503322e68cd3d1f848786040f01", "0a7e000000", "bale_no", 126),
    ("TLG0012", 41623, "a517430303307ea1411f42fb7a040f06", "010c000000", "job", "Quaderballen 1"),
    ("TLG0012", 100516, "790661030330ff87411f51b77a040f06", "011a000000", "lon", 7.5151185),
    ("TLG0014", 87316, "98aabb03033023b1411fc4587a040f09", "008a430000", "lat", 52.4398883),
]
"""The bales whose count steps in these records: what one of their columns must hold."""

LIFE = [(41623, 3 * 5, 5051), (100516, 3 * 5, 5065), (141209, 7 * 5, 5078)]
"""In TLG0012: byte of the record, how far behind its head the value of identifier 214 stands."""

LAST_MASSES = [
    ("TLG0013", 983, 3 * 5, 223, 357_900, 357.9),
    ("TLG0007", 270224, 5, 90, 101_990, 101_990),
]
"""Log, byte, how far behind the head, identifier, raw value, what it is worth in kilograms."""

OTHER_RECORDS = [
    # set, log, byte, head; north, east, up in mm, status, pdop, hdop, satellites, gps ms, gps day
    (
        EXTERNALS,
        "TASKDATA/TLG00001.BIN",
        0,
        "a98e3203e23adefb221b4a74b5054ea70200020b00060018d7aa5103e23a",
        (455_277_534, 95_777_866, 173_902, 2, 11, 6, 24, 55_683_799, 15_074),
    ),
    (
        POOL,
        "TLG00001.BIN",
        0,
        "88e97103103d9803351f8ce683d7000000000400000000",
        (523_568_024, -679_221_620, 0, 4, None, None, None, 0, None),
    ),
]

TEXTS = [
    # set, file, byte, what stands there
    (POOL, MAIN, 81207, '<DVC A="DVC-18" B="Baler 8" C="1.8" D="A01284000B200005"'),
    (POOL, MAIN, 82093, '<DET A="DET-280" B="20" C="2" D="Baler" E="4" F="16">'),
    (POOL, MAIN, 84022, '<DPD A="51" B="005B" C="2" D="25" E="Yield Total Count" F="3"/>'),
    (POOL, MAIN, 84647, '<DPD A="60" B="0168" C="1" D="8" E="Last Bale Size" F="7"/>'),
    (POOL, MAIN, 85128, '<DPT A="34" B="0043" C="2000" D="Actual Working Width" E="13"/>'),
    (HARVEST, MAIN, 417, '<DLV A="0094" B="1000" C="DET-1"/>'),
    (HARVEST, MAIN, 552, '<DLV A="0076" B="2539000" C="DET-1"/>'),
    (HARVEST, MAIN, 2152, '<TIM A="2022-01-02T17:37:35Z" B="2022-01-02T18:49:54Z" D="4">'),
    (EXTERNALS, LINKS, 283, '<LNK A="CTR1" B="{9db78717-ff87-4754-a106-9704aa3e2684}"/>'),
    (EXTERNALS, LINKS, 819, '<LNK A="PFD5" B="{9d44d183-2584-4001-9be5-6fbf29785c3b}"/>'),
    (EVERY, f"TASKDATA/{MAIN}", 9943, '<PAN A="PDT3" B="0001" C="400" D="1" E="DET-1" F="VPN1">'),
    (EVERY, f"TASKDATA/{MAIN}", 10629, '<DLV A="DFFE" B="568" C="DET-1" D="1424" E="1" F="4"/>'),
]


@pytest.fixture(scope="module")
def sets(data_dir: Path) -> Path:
    """The folder of task-data sets."""
    return data_dir / "isoxml"


@pytest.fixture(scope="module")
def season(sets: Path) -> TaskData:
    """The real season of two square balers."""
    return open_task_data(sets / SEASON)


def _bytes(sets: Path, name: str, file: str) -> bytes:
    if name.endswith(".zip"):
        with zipfile.ZipFile(sets / name) as packed:
            return packed.read(file)
    return (sets / name / file).read_bytes()


def _bales(season: TaskData) -> tuple[BaleTable, Any, Any]:
    batches = list(task_bales(season))
    places = [batch.places for batch in batches if batch.places]
    assert all(each.unit == PlaceUnit.BYTE for each in places)
    files = np.concatenate([each.file for each in places])
    at = np.concatenate([each.at for each in places])
    return concatenate([batch.bales for batch in batches]), files, at


@pytest.mark.parametrize("traced", BALES, ids=lambda traced: f"{traced[0]}-{traced[1]}-{traced[4]}")
def test_a_bale_is_the_record_its_place_names(
    sets: Path, season: TaskData, traced: tuple[Any, ...]
) -> None:
    """At the byte a bale names stands the record its time, place and number come from."""
    log, byte, head, values, column, value = traced
    data = _bytes(sets, SEASON, f"{log}.bin")[byte:]
    assert data[:16].hex() == head
    assert data[16 : 16 + len(values) // 2].hex() == values
    ms, day, north, east, _, _ = struct.unpack_from("<IHiiBB", data)
    table, files, at = _bales(season)
    (rows,) = np.nonzero((files == f"{log}.bin") & (at == byte))
    row = int(rows[0])
    assert table.column(column)[row] == value
    moment = MIDNIGHT + timedelta(days=day, milliseconds=ms)
    assert table.column("tipped_at")[row] == round(moment.timestamp() * 1000) * 1000
    assert [table.column("lat")[row], table.column("lon")[row]] == [north / 1e7, east / 1e7]


@pytest.mark.parametrize(("byte", "behind", "number"), LIFE)
def test_life_numbers_are_the_raw_values_of_their_record(
    sets: Path, season: TaskData, byte: int, behind: int, number: int
) -> None:
    """Identifier 214 of TLG0012, value by value, is the bale's number."""
    data = _bytes(sets, SEASON, "TLG0012.bin")
    index, raw = struct.unpack_from("<Bi", data, byte + 16 + behind)
    assert (index, raw) == (0x0E, number)
    table, files, at = _bales(season)
    (rows,) = np.nonzero((files == "TLG0012.bin") & (at == byte))
    assert number in table.column("bale_no")[rows].tolist()


@pytest.mark.parametrize("traced", LAST_MASSES, ids=lambda traced: f"{traced[0]}-{traced[1]}")
def test_masses_are_the_raw_values_of_their_record(
    sets: Path, season: TaskData, traced: tuple[Any, ...]
) -> None:
    """The last bale's mass in grams, the counter in kilograms."""
    log, byte, behind, identifier, raw, worth_kg = traced
    _, found = struct.unpack_from("<Bi", _bytes(sets, SEASON, f"{log}.bin"), byte + 16 + behind)
    assert found == raw
    kept = next(each for task in season.tasks for each in task.logs if each.name == log)
    read = kept.decoded()
    place = [column.number for column in read.columns].index(identifier)
    rows, raws = read.written(place)
    mine = read.offsets[rows] == byte
    assert raws[mine].tolist() == [raw]
    assert worth_of(identifier, None, raws).si(raw) == pytest.approx(worth_kg, rel=1e-12)


@pytest.mark.parametrize("traced", OTHER_RECORDS, ids=lambda traced: traced[0][:2])
def test_what_a_receiver_said_is_what_stands_in_the_record(
    sets: Path, traced: tuple[Any, ...]
) -> None:
    """Every position field of the first record of two other machines' logs."""
    name, file, byte, head, said = traced
    data = _bytes(sets, name, file)[byte:]
    assert data[: len(head) // 2].hex() == head
    letters = "iiiBHHBIH" if said[4] is not None else "iiiBI"
    found = struct.unpack_from("<IH" + letters, data)
    assert found[2:] == tuple(each for each in said if each is not None)
    log = next(log for task in open_task_data(sets / name).tasks for log in task.logs).decoded()
    north, east, up, status, pdop, hdop, satellites, gps_ms, gps_day = said
    assert [log.lat[0], log.lon[0]] == [north / 1e7, east / 1e7]
    receiver = log.receiver
    assert receiver.up_m()[0] == up / 1000
    assert receiver.status()[0] == status
    if pdop is None:
        assert np.isnan([receiver.pdop()[0], receiver.hdop()[0], receiver.satellites()[0]]).all()
        return
    assert [receiver.pdop()[0], receiver.hdop()[0]] == [pdop / 10, hdop / 10]
    assert receiver.satellites()[0] == satellites
    moment = MIDNIGHT + timedelta(days=gps_day, milliseconds=gps_ms)
    assert receiver.gps_at_us()[0] == round(moment.timestamp() * 1000) * 1000


@pytest.mark.parametrize(("name", "file", "byte", "text"), TEXTS)
def test_what_stands_in_the_xml_is_what_is_read(
    sets: Path, name: str, file: str, byte: int, text: str
) -> None:
    """The element at this byte, attribute by attribute, among the values of the reader."""
    assert _bytes(sets, name, file)[byte : byte + len(text)].decode() == text
    data = open_task_data(sets / name)
    found = _plain(data)
    assert text in found, sorted(each for each in found if each[:4] == text[:4])[:20]


def _plain(data: TaskData) -> set[str]:
    """The reader's values written as their elements, by code of its own."""
    found = set()
    for device in data.devices:
        found.add(
            f'<DVC A="{device.key}" B="{device.name}" C="{device.software}" D="{device.name64}"'
        )
        parents = {each.object for each in device.elements} | {0}
        for part in device.elements:
            assert part.parent in parents
            found.add(
                f'<DET A="{part.key}" B="{part.object}" C="{part.kind}" D="{part.designator}" '
                f'E="{part.number}" F="{part.parent}">'
            )
            for each in part.process:
                shown = {"bale": 3, "mm": 7}.get(
                    each.presentation.unit if each.presentation else ""
                )
                number = {91: 51, 360: 60}.get(each.number)
                found.add(
                    f'<DPD A="{number}" B="{each.number:04X}" C="{each.properties}" '
                    f'D="{each.triggers}" E="{each.designator}" F="{shown}"/>'
                )
            for fixed in part.properties:
                found.add(
                    f'<DPT A="34" B="{fixed.number:04X}" C="{fixed.raw}" D="{fixed.designator}" '
                    f'E="{13 if fixed.presentation and fixed.presentation.scale == 0.001 else 0}"/>'
                )
    for link in data.links:
        found.add(f'<LNK A="{link.key}" B="{link.value}"/>')
    for record in data.tasks:
        for period in record.task.periods:
            begin, end = (_time(each) for each in (period.begin_us, period.end_us))
            found.add(f'<TIM A="{begin}" B="{end}" D="{period.kind}">')
            for total in period.totals:
                pgn = (
                    f' D="{total.pgn}" E="{total.bits[0]}" F="{total.bits[1]}"' if total.pgn else ""
                )
                found.add(f'<DLV A="{total.number:04X}" B="{total.raw}" C="{total.element}"{pgn}/>')
        for one in record.task.allocations:
            if one.kind == "product":
                found.add(
                    f'<PAN A="{one.key}" B="{one.number:04X}" C="{one.raw}" D="{one.mode}" '
                    f'E="{one.element}" F="VPN1">'
                )
    return found


def _time(at_us: int | None) -> str:
    moment = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(microseconds=at_us or 0)
    return moment.strftime("%Y-%m-%dT%H:%M:%SZ")
