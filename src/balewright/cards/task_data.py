"""A setup sheet as ISO 11783-10 task data (version 4): what a terminal reads before the job.

One planned task with a customer, farm, field and worker where they are given, a value for every
setting that the data dictionary (ISO 11783-11) has a setpoint for, and a comment for every other
one. Nothing is given a number that means something else, and no machine is described that nobody
has read from its own control.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, fields
from io import BytesIO
from typing import Final
from xml.etree.ElementTree import Element, SubElement, indent, tostring
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from balewright.cards.sheet_data import NOT_USED
from balewright.plan.sheet.sheet import Sheet, SheetLine
from balewright.quantities.checks import require_between
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.reason import Reason, because
from balewright.words import sheet_words
from balewright.words.say import SPACE, say

FILE_IN_ZIP: Final = "TASKDATA/TASKDATA.XML"
LONGEST: Final = 32
"""Signs of a name or comment in version 4 (ISO 11783-10, attribute tables)."""
_MOST_RAW: Final = 2_147_483_647
_PLANNED: Final = "1"
_FROM_OFFICE: Final = "1"
_ZONE: Final = "1"


@dataclass(frozen=True)
class TaskNames:
    """For whom and where, each at most 32 signs; None for what is not to be written.

    field_m2: area of the field, 0 where unknown. Raises BadInput for longer names, control signs
    and areas that cannot be written.
    """

    customer: str | None = None
    farm: str | None = None
    field: str | None = None
    worker: str | None = None
    task: str | None = None
    field_m2: float = 0.0

    def __post_init__(self) -> None:
        require_between("field_m2", self.field_m2, 0.0, 1e8)
        faults = []
        for one in fields(self):
            name = getattr(self, one.name)
            if not isinstance(name, str):
                continue
            if not name.strip() or not name.isprintable() or len(name) > LONGEST:
                need = f"1 to {LONGEST} printable signs"
                faults.append(Fault(one.name, need, repr(name)[:80], "Shorten it."))
        if faults:
            raise BadInput(*faults)


@dataclass(frozen=True)
class Setpoint:
    """An identifier of the data dictionary that a setting goes out under.

    number: of ISO 11783-11; raw_factor: raw steps for one unit of the sheet's line; shown_factor,
    decimals, unit: how a terminal shows a raw value to people.
    """

    number: int
    raw_factor: float
    shown_factor: float
    decimals: int
    unit: str


@dataclass(frozen=True)
class PlannedValue:
    """A setting as it goes out: key of its line, the setpoint, and the raw value."""

    key: str
    setpoint: Setpoint
    raw: int


SETPOINTS: Final = {
    "diameter_m": Setpoint(111, 1000.0, 0.001, 2, "m"),
    "speed_m_s": Setpoint(396, 1000.0, 0.0036, 1, "km/h"),
    "additive_l_t": Setpoint(532, 1000.0, 0.001, 2, "l/t"),
}
"""Line -> setpoint that means it: bale size (a diameter on a round baler), speed, preservative by
mass of crop. Turns, layers, stretch, overlap, binding and knives have identifiers only for the
last bale made; there is none that asks for them."""
PRESSURE: Final = Setpoint(475, 100_000.0, 0.00001, 0, "bar")
"""Bale hydraulic pressure. The dictionary speaks of the sides of the bale in the chamber, which is
a square baler's way of pressing; it goes out only where someone knows that the machine takes it."""


def task_data_zip(
    sheet: Sheet, job: TaskNames | None = None, language: str = "en", *, with_pressure: bool = False
) -> bytes:
    """The task data as a zip with the one file TASKDATA/TASKDATA.XML; the same sheet gives the
    same bytes. with_pressure: send the density pressure under identifier 475 too."""
    out = BytesIO()
    with ZipFile(out, "w") as archive:
        entry = ZipInfo(FILE_IN_ZIP, date_time=(1980, 1, 1, 0, 0, 0))
        entry.compress_type = ZIP_DEFLATED
        archive.writestr(entry, task_data_xml(sheet, job, language, with_pressure=with_pressure))
    return out.getvalue()


def task_data_xml(
    sheet: Sheet, job: TaskNames | None = None, language: str = "en", *, with_pressure: bool = False
) -> bytes:
    """TASKDATA.XML in UTF-8, as `task_data_zip` packs it."""
    job = job or TaskNames()
    root = Element(
        "ISO11783_TaskData",
        VersionMajor="4",
        VersionMinor="3",
        ManagementSoftwareManufacturer="Balewright",
        ManagementSoftwareVersion=sheet.code_version[:LONGEST],
        DataTransferOrigin=_FROM_OFFICE,
    )
    crop = say(because("task.crop", crop=str(sheet.conditions.crop)), language)
    SubElement(root, "CTP", A="CTP1", B=_short(crop))
    references = _add_places(root, job)
    values = planned_values(sheet, with_pressure=with_pressure)
    for number, value in enumerate(values, 1):
        shown = value.setpoint
        SubElement(
            root,
            "VPN",
            A=f"VPN{number}",
            B="0",
            C=f"{shown.shown_factor:.9f}".rstrip("0"),
            D=str(shown.decimals),
            E=shown.unit,
        )
    name = job.task or _short(say(because("task.name", crop=str(sheet.conditions.crop)), language))
    planned = {"A": "TSK1", "B": name, **references, "G": _PLANNED, "H": _ZONE}
    task = SubElement(root, "TSK", planned)
    zone = SubElement(task, "TZN", A=_ZONE, B=_short(sheet_words.heading("title", language)))
    for number, value in enumerate(values, 1):
        identifier = f"{value.setpoint.number:04X}"
        SubElement(zone, "PDV", A=identifier, B=str(value.raw), E=f"VPN{number}")
    if job.worker is not None:
        SubElement(task, "WAN", A="WKR1")
    sent = {value.key for value in values}
    for comment in _comments(sheet, sent, language):
        SubElement(task, "CAN", C=comment)
    indent(root)
    text = f'<?xml version="1.0" encoding="UTF-8"?>\n{tostring(root, encoding="unicode")}\n'
    return text.encode("utf-8")


def planned_values(sheet: Sheet, *, with_pressure: bool = False) -> tuple[PlannedValue, ...]:
    """The settings that have a setpoint, rounded to its step; unknown ones are left out."""
    setpoints = {**SETPOINTS, "chamber_bar": PRESSURE} if with_pressure else SETPOINTS
    found = []
    for key, setpoint in setpoints.items():
        number = sheet.number(key)
        if number is None or not math.isfinite(number):
            continue
        raw = round(number * setpoint.raw_factor)
        if 0 <= raw <= _MOST_RAW:
            found.append(PlannedValue(key, setpoint, raw))
    return tuple(found)


def _add_places(root: Element, job: TaskNames) -> dict[str, str]:
    """Write customer, farm, field and worker, and give the task's references to them."""
    customer = {"I": "CTR1"} if job.customer is not None else {}
    if job.customer is not None:
        SubElement(root, "CTR", A="CTR1", B=job.customer)
    if job.farm is not None:
        SubElement(root, "FRM", {"A": "FRM1", "B": job.farm, **customer})
    if job.field is not None:
        whose = {"E": "CTR1"} if job.customer is not None else {}
        where = {"F": "FRM1"} if job.farm is not None else {}
        area = str(round(job.field_m2))
        belongs = {"A": "PFD1", "C": job.field, "D": area, **whose, **where, "G": "CTP1"}
        SubElement(root, "PFD", belongs)
    if job.worker is not None:
        SubElement(root, "WKR", A="WKR1", B=job.worker)
    named = (("C", job.customer, "CTR1"), ("D", job.farm, "FRM1"), ("E", job.field, "PFD1"),
             ("F", job.worker, "WKR1"))  # fmt: skip
    return {letter: key for letter, name, key in named if name is not None}


def _comments(sheet: Sheet, sent: set[str], language: str) -> Iterator[str]:
    """A caution, then every setting that no identifier carries, its value first and whole."""
    yield _short(say(Reason("task.first"), language))
    for _, lines in sheet_words.grouped(sheet, language):
        for line in lines:
            if line.key not in sent and line.value not in (None, NOT_USED):
                yield _short(_comment(line, language))


def _comment(line: SheetLine, language: str) -> str:
    value = sheet_words.value_of(line, language)
    return f"{value} {sheet_words.dial_of(line) or sheet_words.label_of(line, language)}"


def _short(text: str) -> str:
    """At most LONGEST signs on one line, cut at the end."""
    plain = "".join(sign if sign.isprintable() else " " for sign in text.replace(SPACE, " "))
    return plain[:LONGEST].rstrip()
