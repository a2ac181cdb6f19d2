"""Every real set, read for real. Counts by hand and by libraries of others stand beside."""

from __future__ import annotations

import shutil
import struct
import zipfile
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from lxml import etree

from balewright.quantities.errors import BadInput
from balewright.readers.task_data import TaskData, open_task_data, task_bales
from balewright.records.bales import concatenate

pytestmark = pytest.mark.real_data

SEASON = "10-square-baler-5-tasks-14-logs"
BY_TASK = {
    "Ballenpressen Nord": (3, 16_922, 20, 16_020.0),
    "Quaderballen 2": (2, 23_671, 9, 6_370.0),
    "Quaderballen 43": (1, 27_524, 56, 43_420.0),
    "Quaderballen 44": (1, 15_597, 72, 58_570.0),
    "Quaderballen 1": (7, 14_218, 76, 40_470.0),
}
"""Logs, records, bales, kg. By hand: docs/real-season.md. The npm package isoxml 1.11.2 gives the
same records, counts and masses once the five damaged bytes of two logs are cut out for it."""


@pytest.fixture(scope="module")
def sets(data_dir: Path) -> Path:
    """The folder of task-data sets."""
    return data_dir / "isoxml"


@pytest.fixture(scope="module")
def season(sets: Path) -> TaskData:
    """The real season of a square baler."""
    return open_task_data(sets / SEASON)


@pytest.mark.reference
def test_season_is_read_to_the_last_bale(season: TaskData) -> None:
    """Five tasks, fourteen logs: records, bales and mass of each task, 233 bales in all."""
    found = {
        each.task.name: (len(each.logs), each.rows, each.bales, each.mass_kg)
        for each in season.tasks
    }
    assert found == BY_TASK
    assert sum(batch.bales.rows for batch in task_bales(season)) == 20 + 9 + 56 + 72 + 76


def _plain_walk(folder: Path, number: int) -> dict[int, list[tuple[int, int]]]:
    """A log read another way: one struct call a record, no checks, the five damaged bytes of
    logs 6 and 7 skipped where a hex dump shows them. Gives (offset, raw) by identifier."""
    stem = folder / f"TLG{number:04d}"
    columns = [int(dlv.get("A", ""), 16) for dlv in etree.parse(f"{stem}.xml").iter("DLV")]
    data = stem.with_suffix(".bin").read_bytes()
    found: dict[int, list[tuple[int, int]]] = {}
    at = 0
    while at < len(data):
        if at == 16 and number in (6, 7):
            at = 21
        count = struct.unpack_from("<IHiiBB", data, at)[-1]
        for place in range(count):
            index, raw = struct.unpack_from("<Bi", data, at + 16 + 5 * place)
            found.setdefault(columns[index], []).append((at, raw))
        at += 16 + 5 * count
    assert at == len(data)
    return found


@pytest.mark.derived
def test_every_log_agrees_value_by_value_with_a_plain_walk(sets: Path, season: TaskData) -> None:
    """All 14 logs, each value of each identifier with the byte of its record."""
    for record in season.tasks:
        for log in (kept.decoded() for kept in record.logs):
            plain = _plain_walk(sets / SEASON, int(log.name[3:]))
            for place, column in enumerate(log.columns):
                rows, raws = log.written(place)
                found = list(zip(log.offsets[rows].tolist(), raws.tolist(), strict=True))
                assert found == plain.get(column.number, []), (log.name, column.number)


@pytest.mark.derived
def test_every_damaged_and_doubtful_record_of_the_season_is_named(season: TaskData) -> None:
    """Two damaged records by byte; the log that starts at another task's value; 810 and 350 kg
    that no counted bale carries; steps too close; new starts of counters; the first machine's
    moisture at 60.1 %, the end of its scale, most of the time."""
    refused = [
        (each.task.name, fault.file, fault.place) for each in season.tasks for fault in each.refused
    ]
    assert refused == [
        ("Quaderballen 43", "TLG0006.bin", "byte 16"),
        ("Quaderballen 44", "TLG0007.bin", "byte 16"),
    ]
    named = {
        (doubt.file[:7], str(doubt.kind)) for each in season.tasks for doubt in each.doubtful
    } - {(f"TLG{n:04d}", "unit contradicted") for n in range(15)}
    at_end_of_scale = {(f"TLG{n:04d}", "value unbelievable") for n in (1, 3, 4, 5, 6, 7)}
    assert named == at_end_of_scale | {
        ("TLG0002", "counter stepped back"),
        ("TLG0004", "counted twice"),
        ("TLG0004", "bale without mass"),
        ("TLG0005", "counter stepped back"),
        ("TLG0006", "record damaged"),
        ("TLG0006", "counter leapt"),
        ("TLG0006", "counted twice"),
        ("TLG0006", "bale without mass"),
        ("TLG0007", "record damaged"),
        ("TLG0007", "counter carried over"),
        ("TLG0007", "mass without bale"),
        ("TLG0012", "bale without mass"),
        ("TLG0013", "counter stepped back"),
        ("TLG0013", "mass without bale"),
        ("TLG0014", "bale without mass"),
    }
    bare = {
        doubt.file: doubt.text.partition(": ")[2].partition(" kg")[0]
        for each in season.tasks
        for doubt in each.doubtful
        if doubt.kind == "mass without bale"
    }
    assert bare == {"TLG0007.bin": "810", "TLG0013.bin": "350"}


@pytest.mark.derived
def test_masses_on_bales_and_masses_of_nobody_are_all_the_mass(season: TaskData) -> None:
    """Where the counter steps by tens and no finer mass is said (first four tasks): the bales'
    masses and what nobody carries add up to what the counter gained."""
    table = concatenate([batch.bales for batch in task_bales(season)])
    for record in season.tasks[:4]:
        mine = table.take(table.column("job") == record.task.name)
        carried_kg = np.nansum(mine.floats("mass_kg"))
        alone_kg = 810.0 if record.task.name == "Quaderballen 44" else 0.0
        assert carried_kg + alone_kg == record.mass_kg


@pytest.mark.derived
def test_lifetime_numbers_of_the_second_machine_run_without_a_gap(season: TaskData) -> None:
    """The lifetime counter goes from 5039 to 5115: bales 5040 to 5115, each once."""
    table = concatenate([batch.bales for batch in task_bales(season)])
    second = table.take(table.column("machine") == "SN0002")
    assert second.column("bale_no").tolist() == list(range(5040, 5116))


@pytest.mark.practice
def test_bales_of_the_season_look_like_bales(season: TaskData) -> None:
    """Common practice, no source: square bales of 300 to 1,100 kg, moisture of hay to haylage."""
    table = concatenate([batch.bales for batch in task_bales(season)])
    mass_kg = table.floats("mass_kg")
    assert np.nanmin(mass_kg) > 300
    assert np.nanmax(mass_kg) < 1100
    moisture = table.floats("moisture_frac")
    assert np.nanmin(moisture) > 0.05
    assert np.nanmax(moisture) < 0.65


def _by_library(path: Path, folder: Path) -> Any:
    """The set as the Python package isoxml 0.0.4 reads it (upper-case file name at the root)."""
    from isoxml.util.isoxml_io import isoxml_from_path

    if path.suffix == ".zip":
        with zipfile.ZipFile(path) as packed:
            packed.extractall(folder)
    else:
        shutil.copytree(path, folder, dirs_exist_ok=True)
    main = next(each for each in folder.rglob("*") if each.name.upper() == "TASKDATA.XML")
    return isoxml_from_path(main, read_bin_files=False)[0]


@pytest.mark.reference
@pytest.mark.parametrize(
    "name",
    [
        "01-device-pool-with-round-baler.zip",
        "02-harvest-totals",
        "05-externals-and-tlg.zip",
        "06-every-element.zip",
    ],
)
def test_elements_agree_with_an_independent_library(sets: Path, tmp_path: Path, name: str) -> None:
    """Devices, customers, farms, fields and tasks with their names, against isoxml 0.0.4."""
    theirs = _by_library(sets / name, tmp_path)
    ours = open_task_data(sets / name)
    assert [(d.key, d.name, d.serial) for d in ours.devices] == [
        (d.id, d.designator or "", d.serial_number or "") for d in theirs.devices
    ]
    assert [f.key for f in ours.fields] == [f.id for f in theirs.partfields]
    assert [f.area_m2 for f in ours.fields] == [f.area for f in theirs.partfields]
    assert [c.key for c in ours.customers] == [c.id for c in theirs.customers]
    assert [f.key for f in ours.farms] == [f.id for f in theirs.farms]
    assert [(r.task.key, r.task.name) for r in ours.tasks] == [
        (t.id, t.designator or "") for t in theirs.tasks
    ]
    assert [len(d.elements) for d in ours.devices] == [len(d.elements) for d in theirs.devices]


@pytest.mark.derived
def test_round_baler_stands_in_the_device_pool(sets: Path) -> None:
    """Set 01: 18 devices (one a baler with its own log of 373 records), 3 customers, 3 farms,
    6 fields, 2 tasks, as its list of sources says."""
    data = open_task_data(sets / "01-device-pool-with-round-baler.zip")
    counts = [len(each) for each in (data.devices, data.customers, data.farms, data.fields)]
    assert counts == [18, 3, 3, 6]
    assert [(each.task.name, len(each.logs), each.rows) for each in data.tasks] == [
        ("73.67ac Field", 1, 373),
        ("25.77ha with holes", 0, 0),
    ]


@pytest.mark.derived
@pytest.mark.parametrize("name", ["02-harvest-totals", "02-harvest-totals/TASKDATA.zip"])
def test_harvest_logs_in_local_time_are_set_to_the_periods(sets: Path, name: str) -> None:
    """Set 02: the periods are in UTC, the logs two hours ahead; 4,677 records, no bales."""
    record = open_task_data(sets / name).tasks[0]
    assert (len(record.logs), record.rows, record.bales) == (3, 4677, None)
    assert [str(doubt.kind) for doubt in record.doubtful] == ["clock jumped"] * 3


@pytest.mark.derived
def test_externals_and_links_are_followed(sets: Path) -> None:
    """Set 05: everything stands in 13 external files; the log has 207 records with all nine
    position fields."""
    data = open_task_data(sets / "05-externals-and-tlg.zip")
    assert [(each.task.key, each.rows) for each in data.tasks] == [("TSK-1", 207)]
    assert len(data.links) == 45
    assert not data.refusals


@pytest.mark.derived
@pytest.mark.parametrize(
    ("name", "refused", "doubted"),
    [
        ("MissingExternals", "this external file is not there", None),
        ("duplicate-xmlid.zip", None, "stands twice"),
        ("MultiplyTaskdataXML.zip", None, "a second set of task data"),
        ("MultipleExternalsSubFolder.zip", None, None),
        ("task_with_warnings.zip", None, None),
        ("grid-without-binary.zip", None, None),
        ("MultiSubFolderAndMac.zip", None, "no time names its zone"),
    ],
)
def test_malformed_sets_are_read_and_their_defect_is_said(
    sets: Path, name: str, refused: str | None, doubted: str | None
) -> None:
    """Set 08: what can be read is read; each defect that loses something is named."""
    data = open_task_data(sets / "08-malformed" / name)
    assert [refused in each.reason for each in data.refusals if refused] == (
        [True] if refused else []
    )
    assert [doubted in each.text for each in data.doubts if doubted][:1] == (
        [True] if doubted else []
    )


@pytest.mark.derived
def test_set_with_lost_and_cut_off_logs_is_read_as_far_as_it_goes(sets: Path) -> None:
    """BrokenBinFile: of 21 logs two can be read (1,599 and 187 records), one by a header cut off
    before its end; the other 19 are named under their tasks."""
    data = open_task_data(sets / "08-malformed" / "BrokenBinFile")
    rows = [log.rows for each in data.tasks for log in each.logs]
    assert rows == [1599, 187]
    lost = [fault for each in data.tasks for fault in each.refused if fault.place == "whole log"]
    assert len(lost) == sum(len(each.task.logs) for each in data.tasks) - 2
    assert [
        fault.file for each in data.tasks for fault in each.refused if "broken XML" in fault.reason
    ] == ["TLG00003.xml"]


@pytest.mark.derived
def test_log_named_by_two_tasks_goes_to_the_one_whose_period_fits(sets: Path) -> None:
    """DuplicatedTimeLog: TLG00001 is named three times and belongs to 2 January, 17:30."""
    data = open_task_data(sets / "08-malformed" / "DuplicatedTimeLog")
    assert [[log.name for log in each.logs] for each in data.tasks] == [["TLG00001"], ["TLG00002"]]
    kinds = [[str(doubt.kind) for doubt in each.doubtful] for each in data.tasks]
    assert ["log repeated" in each for each in kinds] == [True, True]


@pytest.mark.derived
def test_archive_without_task_data_is_refused(sets: Path) -> None:
    """InvalidArchive.zip holds a link list only: bad input, with what was found and the cure."""
    with pytest.raises(BadInput, match=r"was given LINKLIST\.xml\. Give the folder"):
        open_task_data(sets / "08-malformed" / "InvalidArchive.zip")


@pytest.mark.derived
@pytest.mark.parametrize(
    "name",
    [
        "DeviceOnly.xml",
        "Device_Description_Unit.xml",
        "Device_description.xml",
        "TASKDATA_Devices.XML",
    ],
)
def test_descriptions_alone_give_their_device(sets: Path, name: str) -> None:
    """Set 09: a device description without tasks is read, and said to be only that."""
    data = open_task_data(sets / "09-device-descriptions" / name)
    assert len(data.devices) == 1
    assert data.devices[0].elements
    assert not data.tasks


@pytest.mark.derived
def test_every_set_is_read_or_refused_with_a_cure(sets: Path) -> None:
    """Whatever lies in the folder of real sets, whole, malformed or no task data at all: an answer
    whose bales have a time and a place in the file, or bad input that says what to do."""
    paths = [each for each in sets.iterdir() if each.name != "LICENSES"]
    paths += [*(sets / "08-malformed").iterdir(), *(sets / "09-device-descriptions").iterdir()]
    refused, bales = [], 0
    for path in paths:
        try:
            data = open_task_data(path)
        except BadInput as error:
            refused += [(path.name, fault.cure) for fault in error.faults]
            continue
        for batch in task_bales(data):
            assert batch.places is not None
            assert len(batch.places.at) == batch.bales.rows
            assert batch.bales.rows == 0 or batch.bales.mask("tipped_at").all()
            bales += batch.bales.rows
    cure = "Give the folder that holds TASKDATA.XML, or a zip of it."
    assert refused == [("InvalidArchive.zip", cure)]
    assert bales == 233


@pytest.mark.own
def test_the_page_about_the_season_says_what_is_read(season: TaskData) -> None:
    """The table of docs/real-season.md, figure by figure, mass of nobody and sums included."""
    page = (Path(__file__).parents[3] / "docs" / "real-season.md").read_text("utf-8")
    cells = [[cell.strip() for cell in line.strip("|").split("|")] for line in page.splitlines()]
    shown = {row[0]: row[1:] for row in cells if len(row) == 7 and row[1].isdigit()}
    table = concatenate([batch.bales for batch in task_bales(season)])
    found = {}
    for record in season.tasks:
        mine = table.take(table.column("job") == record.task.name)
        alone = [each for each in record.doubtful if each.kind == "mass without bale"]
        alone_kg = sum(int(each.text.partition(": ")[2].partition(" kg")[0]) for each in alone)
        assert record.mass_kg is not None
        found[record.task.name] = [
            *(len(record.logs), record.rows, record.bales, round(record.mass_kg), alone_kg),
            int((~mine.mask("mass_kg")).sum()),
        ]
    found["all"] = [sum(column) for column in zip(*found.values(), strict=True)]
    assert shown == {name: [str(value) for value in row] for name, row in found.items()}


@pytest.mark.derived
def test_bales_lie_in_their_tasks_field(sets: Path, season: TaskData) -> None:
    """Every bale with a place lies within some hundred metres (0.004 degrees) of the bounding
    box of the field its task names."""
    root = etree.parse(sets / SEASON / "TaskData.xml").getroot()
    table = concatenate([batch.bales for batch in task_bales(season)])
    for record in season.tasks:
        points = root.findall(f"PFD[@A='{record.task.field}']//PNT")
        mine = table.take(table.column("job") == record.task.name)
        for letter, name in (("C", "lat"), ("D", "lon")):
            corners = [float(point.get(letter, "")) for point in points]
            places = mine.floats(name)
            assert np.nanmin(places) > min(corners) - 0.004
            assert np.nanmax(places) < max(corners) + 0.004
