"""A sheet as task data: read back by our reader and by a library, number by number."""

from __future__ import annotations

import re
from dataclasses import fields, is_dataclass, replace
from enum import Enum
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import pytest
from lxml import etree

from balewright.cards.task_data import (
    FILE_IN_ZIP,
    LONGEST,
    PRESSURE,
    SETPOINTS,
    TaskNames,
    planned_values,
    task_data_xml,
    task_data_zip,
)
from balewright.plan.sheet.sheet import HowSure, Sheet, SheetLine
from balewright.quantities.errors import BadInput
from balewright.quantities.reason import Reason
from balewright.readers.profile import shipped_profiles
from balewright.readers.task_data import TaskData, open_task_data
from balewright.readers.task_data.dictionary import identifiers, worth_of
from cards.examples import ASKED, LONG, sheet_for

JOB = TaskNames(
    "Tinhen & Son", "Low <Farm>", "Long Acre", "A. Driver", "Bales for Tinhen", 31_400.0
)
MAKES = sorted(shipped_profiles())
PUBLISHED = {111: ("mm", 1.0), 396: ("mm/s", 1.0), 475: ("Pa", 1.0), 532: ("mm³/kg", 1.0)}
"""Units and steps of ISO 11783-11 as published."""
SI_OF = {"mm": 1e-3, "mm/s": 1e-3, "Pa": 1e-5, "mm³/kg": 1e-3}
"""One of the dictionary's units in the unit of the sheet's line: m, m/s, bar, l/t."""
LINE_OF = {setpoint.number: key for key, setpoint in SETPOINTS.items()} | {475: "chamber_bar"}


def dosed(sheet: Sheet) -> Sheet:
    """The sheet with an additive of 2.35 l/t, whatever else it says."""
    rest = tuple(line for line in sheet.lines if line.key != "additive_l_t")
    dose = SheetLine(
        "additive_l_t", 2.35, None, 0.0, 5.0, Reason("sheet.windrow"), "label", HowSure.SETTLED
    )
    return replace(sheet, lines=(*rest, dose))


def read_back(tmp_path: Path, sheet: Sheet, job: TaskNames | None = JOB) -> TaskData:
    """What our own reader finds in the zip."""
    file = tmp_path / "sheet.zip"
    file.write_bytes(task_data_zip(sheet, job, with_pressure=True))
    return open_task_data(file)


every_sheet = pytest.mark.parametrize(
    ("make", "asked"), [(make, asked) for make in MAKES for asked in ASKED]
)


@pytest.mark.published
@pytest.mark.check(model="sheet.task-data", source="iso-11783-11")
@every_sheet
def test_raw_values_are_the_settings_in_the_dictionarys_units(make: str, asked: str) -> None:
    """Raw value x published step x unit is the line's value, to half a step; what a terminal
    shows is the same number in the unit it names."""
    sheet = dosed(sheet_for(make, ASKED[asked]))
    values = planned_values(sheet, with_pressure=True)
    assert {LINE_OF[value.setpoint.number] for value in values} == {v.key for v in values}
    assert {v.key for v in values} == {
        key for key in (*SETPOINTS, "chamber_bar") if sheet.number(key) is not None
    }
    assert len(values) >= 3
    shown_in = {"m": 1.0, "km/h": 1 / 3.6, "l/t": 1.0, "bar": 1.0}
    for value in values:
        unit, step = PUBLISHED[value.setpoint.number]
        line = sheet.number(value.key)
        assert line is not None
        one_step = step * SI_OF[unit]
        assert value.raw * one_step == pytest.approx(line, abs=0.5001 * one_step)
        shown = value.raw * value.setpoint.shown_factor * shown_in[value.setpoint.unit]
        assert shown == pytest.approx(line, abs=0.5001 * one_step)


@pytest.mark.own
def test_identifiers_are_those_our_reader_knows() -> None:
    """Every setpoint stands in the reader's table with the published unit and step."""
    table = identifiers()
    for setpoint in (*SETPOINTS.values(), PRESSURE):
        known = table[setpoint.number]
        assert (known.unit, known.step_factor) == PUBLISHED[setpoint.number]


@pytest.mark.derived
@every_sheet
def test_our_reader_finds_every_number(tmp_path: Path, make: str, asked: str) -> None:
    """The planned task with its zone, values, presentations, places and comments; nothing
    refused and nothing doubtful."""
    sheet = dosed(sheet_for(make, ASKED[asked]))
    data = read_back(tmp_path, sheet)
    assert data.version == "4.3"
    assert data.refusals == data.doubts == ()
    (record,) = data.tasks
    task = record.task
    assert (task.name, task.status, task.default_zone) == ("Bales for Tinhen", 1, 1)
    assert (record.customer, record.farm, record.field) == (
        "Tinhen & Son",
        "Low <Farm>",
        "Long Acre",
    )
    assert task.worker == data.workers[0].key
    assert data.fields[0].area_m2 == 31_400
    sent = planned_values(sheet, with_pressure=True)
    assert [(v.number, v.raw) for v in task.planned] == [(v.setpoint.number, v.raw) for v in sent]
    assert {planned.zone for planned in task.planned} == {task.default_zone}
    for planned, value in zip(task.planned, sent, strict=True):
        shown = data.presentations[planned.shown_as]
        assert (shown.scale, shown.offset) == (value.setpoint.shown_factor, 0.0)
        assert (shown.decimals, shown.unit) == (value.setpoint.decimals, value.setpoint.unit)
    size = next((v for v in task.planned if v.number == 111), None)
    if size is not None:
        import numpy as np

        worth = worth_of(111, None, np.array([size.raw], dtype=np.int32))
        assert worth.si(size.raw) == pytest.approx(sheet.number("diameter_m"), abs=0.0005)


def valid(value: Any) -> None:
    """Every attribute within the length, pattern and bounds that the library holds for it."""
    for field in fields(value):
        held, rules = getattr(value, field.name), field.metadata
        if isinstance(held, list):
            for each in held:
                if is_dataclass(each):
                    valid(each)
            continue
        if held is None:
            assert not rules.get("required"), f"{type(value).__name__}.{field.name} is missing"
            continue
        if isinstance(held, str):
            assert len(held) <= rules.get("max_length", 1000), held
            assert re.fullmatch(rules.get("pattern", ".*"), held), held
        if isinstance(held, int | float) and not isinstance(held, bool | Enum):
            assert rules.get("min_inclusive", held) <= held <= rules.get("max_inclusive", held)


@pytest.mark.reference
@pytest.mark.check(model="sheet.task-data", source="isoxml-py")
@every_sheet
def test_an_independent_library_reads_the_same(tmp_path: Path, make: str, asked: str) -> None:
    """isoxml reads the file into its version-4 types without a loss: identifiers, raw values,
    presentations, places and comments; and all of it keeps within its rules."""
    from isoxml.util.isoxml_io import isoxml_from_path

    sheet = dosed(sheet_for(make, ASKED[asked], winded=asked == "long"))
    file = tmp_path / "sheet.zip"
    file.write_bytes(task_data_zip(sheet, JOB, with_pressure=True))
    with ZipFile(file) as archive:
        archive.extractall(tmp_path)
    data, _ = isoxml_from_path(tmp_path / FILE_IN_ZIP)
    valid(data)
    (task,) = data.tasks
    assert task.status.name == "Planned"
    sent = planned_values(sheet, with_pressure=True)
    (zone,) = task.treatment_zones
    assert zone.code == task.default_treatment_zone_code
    shown = {each.id: each for each in data.value_presentations}
    assert len(zone.process_data_variables) == len(sent)
    for theirs, value in zip(zone.process_data_variables, sent, strict=True):
        number = int.from_bytes(theirs.process_data_ddi, "big")
        assert (number, theirs.process_data_value) == (value.setpoint.number, value.raw)
        presentation = shown[theirs.value_presentation_id_ref]
        assert float(presentation.scale) == value.setpoint.shown_factor
        assert presentation.unit_designator == value.setpoint.unit
    assert data.customers[0].last_name == "Tinhen & Son"
    assert data.farms[0].designator == "Low <Farm>"
    assert (data.partfields[0].designator, data.partfields[0].area) == ("Long Acre", 31_400)
    comments = [each.free_comment_text for each in task.comment_allocations]
    assert comments[0] == "Manual first. PTO off, key out."
    said = [line for line in sheet.lines if line.value not in (None, "not used")]
    assert len(comments) == 1 + len(said) - len(sent)


@pytest.mark.own
def test_nobody_is_named_who_was_not_given() -> None:
    """Without a job there is no customer, farm, field or worker, and no machine's serial."""
    sheet = replace(sheet_for("mossgrinder-m2"), machine_serial="TIN-7")
    text = task_data_xml(sheet).decode()
    root = etree.fromstring(text.encode())
    assert not list(root.iter("CTR", "FRM", "PFD", "WKR", "WAN", "DVC", "DAN"))
    assert "TIN-7" not in text
    (task,) = root.iter("TSK")
    assert set(task.attrib) == {"A", "B", "G", "H"}


@pytest.mark.own
def test_pressure_goes_out_only_where_it_is_wanted() -> None:
    """Identifier 475 speaks of a square baler's pressing: by itself the pressure is a comment."""
    sheet = sheet_for("mossgrinder-m2", LONG)
    assert 475 not in {value.setpoint.number for value in planned_values(sheet)}
    root = etree.fromstring(task_data_xml(sheet))
    assert "86 bar bale firmness 3" in {each.get("C") for each in root.iter("CAN")}
    asked = etree.fromstring(task_data_xml(sheet, with_pressure=True))
    assert asked.xpath("//PDV[@A='01DB']/@B") == ["8600000"]
    assert "86 bar bale firmness 3" not in {each.get("C") for each in asked.iter("CAN")}


@pytest.mark.own
def test_unknown_is_left_out() -> None:
    """A line without a value is no value of zero and no comment."""
    sheet = sheet_for("mossgrinder-m2")
    lines = tuple(
        replace(line, value=None) if line.key in ("speed_m_s", "knives_in") else line
        for line in sheet.lines
    )
    text = task_data_xml(replace(sheet, lines=lines)).decode()
    assert 'A="018C"' not in text
    assert "unknown" not in text
    assert "Knives in" not in text


@pytest.mark.law
def test_the_same_sheet_gives_the_same_bytes() -> None:
    """No clock in the zip; one file in its folder."""
    sheet = sheet_for("thistlewick-t1")
    assert task_data_zip(sheet, JOB) == task_data_zip(sheet, JOB)


@pytest.mark.own
@pytest.mark.parametrize("name", ["customer", "farm", "field", "worker", "task"])
@pytest.mark.parametrize("wrong", ["", "  ", "x" * (LONGEST + 1), "two\nlines", "bell\x07"])
def test_a_name_that_cannot_be_written_is_refused(name: str, wrong: str) -> None:
    """Names are never cut in silence."""
    with pytest.raises(BadInput, match=f"{name}: needs 1 to 32 printable signs"):
        TaskNames(**{name: wrong})


@pytest.mark.own
@pytest.mark.parametrize("area", [float("nan"), float("inf"), -1.0, 1e12])
def test_an_area_that_cannot_be_is_refused(area: float) -> None:
    """NaN, infinity, negative and absurd areas."""
    with pytest.raises(BadInput, match="field_m2"):
        TaskNames(field="Long Acre", field_m2=area)
