"""A set of task data as plain values a person can look at: devices, tasks, who was on them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from balewright.readers.task_data.devices import Device, DeviceElement, Presentation
from balewright.readers.task_data.dictionary import identifiers, words_for
from balewright.readers.task_data.log_bales import COUNTERS
from balewright.readers.task_data.log_doubts import clock_text
from balewright.readers.task_data.logged import KeptLog
from balewright.readers.task_data.result import TaskRecord
from balewright.readers.task_data.values import Allocation
from balewright.records.intake import Doubt, Refusal

_COUNTS: Final = frozenset(number for numbers in COUNTERS for number in numbers)


@dataclass(frozen=True)
class LogSpan:
    """A time log: records kept, first and last clock time as the log shows them."""

    name: str
    rows: int
    first: str | None
    last: str | None


@dataclass(frozen=True)
class SaidTotal:
    """A total the task itself holds: the last of its periods, raw, as it stands, with the
    dictionary's unit and step; periods: in how many it stands; falls: whether it ever fell from
    one period to the next, as a total that runs on cannot."""

    identifier: int
    what: str
    element: str
    raw: int
    unit: str | None
    step: float | None
    periods: int
    falls: bool


@dataclass(frozen=True)
class ReadTask:
    """A task: who and where by name, and what its logs gained; None where unknown."""

    id: str
    name: str | None
    customer: str | None
    farm: str | None
    field: str | None
    logs: int
    rows: int
    bales: int | None
    mass_kg: float | None
    first: str | None
    last: str | None
    spans: tuple[LogSpan, ...]
    totals: tuple[SaidTotal, ...]
    allocated: tuple[Allocated, ...]
    refused: tuple[Refusal, ...]
    doubtful: tuple[Doubt, ...]


@dataclass(frozen=True)
class Loggable:
    """A value a device can log. part: where on it, from the device down; what: our words;
    designator: the device's own; unit, step: the dictionary's, None where it has none; shown_as:
    unit and factor the device shows it in; traits, logs_when: what the device says of it."""

    part: str
    identifier: int
    what: str
    designator: str | None
    unit: str | None
    step: float | None
    shown_as: str | None
    traits: tuple[str, ...]
    logs_when: tuple[str, ...]


@dataclass(frozen=True)
class SaidProperty:
    """A value that never changes: raw, and as the device shows it, None where it does not say."""

    part: str
    identifier: int
    what: str
    designator: str | None
    raw: int
    shown: str | None


@dataclass(frozen=True)
class Allocated:
    """Who or what was on a task and when, as the file's clock says; planned where it only was to
    be. name: of a device or product, the text of a comment, the identifier of a worker (names of
    people are not shown)."""

    kind: str
    name: str | None
    begins: str | None
    ends: str | None
    planned: bool | None


@dataclass(frozen=True)
class LinkSeen:
    """A lasting identifier: the object in the file, what the set calls it, and the identifier."""

    id: str
    names: str | None
    value: str


@dataclass(frozen=True)
class ReadDevice:
    """A machine as the file describes it; device_class 9 is forage; can_log: by part; properties:
    what never changes; counts_bales: whether it can log a count of bales."""

    id: str
    name: str | None
    serial: str | None
    software: str | None
    device_class: int | None
    elements: int
    can_log: tuple[Loggable, ...] = ()
    properties: tuple[SaidProperty, ...] = ()
    counts_bales: bool = False


@dataclass(frozen=True)
class NamedPlace:
    """A customer, a farm or a field: identifier, name, and whose it is by identifier."""

    id: str
    name: str
    customer: str | None = None
    farm: str | None = None
    area_m2: int | None = None


def device_seen(device: Device) -> ReadDevice:
    """A device with what each of its parts can log."""
    return ReadDevice(
        id=device.key,
        name=device.name or None,
        serial=device.serial or None,
        software=device.software or None,
        device_class=device.device_class,
        elements=len(device.elements),
        can_log=tuple(each for part in device.elements for each in _loggables(device, part)),
        counts_bales=any(
            each.number in _COUNTS for part in device.elements for each in part.process
        ),
        properties=tuple(
            SaidProperty(
                _path(device, part),
                each.number,
                words_for(each.number),
                each.designator or None,
                each.raw,
                _shown(each.raw, each.presentation),
            )
            for part in device.elements
            for each in part.properties
        ),
    )


def _loggables(device: Device, part: DeviceElement) -> list[Loggable]:
    found = []
    for each in part.process:
        known = identifiers().get(each.number)
        shown = each.presentation
        found.append(
            Loggable(
                part=_path(device, part),
                identifier=each.number,
                what=words_for(each.number),
                designator=each.designator or None,
                unit=known.unit if known else None,
                step=known.step_factor if known else None,
                shown_as=f"x {shown.scale:.6g} {shown.unit}".rstrip() if shown else None,
                traits=each.traits,
                logs_when=each.logs_when,
            )
        )
    return found


def _path(device: Device, part: DeviceElement) -> str:
    names = [each.designator or each.key for each in device.path_of(part)]
    return " / ".join(reversed(names))


def _shown(raw: int, shown: Presentation | None) -> str | None:
    if shown is None:
        return None
    value = (raw + shown.offset) * shown.scale
    return f"{value:.{min(max(shown.decimals, 0), 9)}f} {shown.unit}".strip()


def task_seen(record: TaskRecord, devices: tuple[Device, ...]) -> ReadTask:
    """A task with its logs, its totals and who was on it. devices: for their names."""
    spans = tuple(_span(log) for log in record.logs)
    return ReadTask(
        id=record.task.key,
        name=record.task.name or None,
        customer=record.customer,
        farm=record.farm,
        field=record.field,
        logs=len(record.logs),
        rows=record.rows,
        bales=record.bales,
        mass_kg=record.mass_kg,
        first=min((span.first for span in spans if span.first), default=None),
        last=max((span.last for span in spans if span.last), default=None),
        spans=spans,
        totals=_totals(record),
        allocated=tuple(_allocated(each, devices) for each in record.task.allocations),
        refused=record.refused,
        doubtful=record.doubtful,
    )


def _span(log: KeptLog) -> LogSpan:
    return LogSpan(log.name, log.rows, _clock(log.first_us), _clock(log.last_us))


def _clock(at_us: int | None) -> str | None:
    return None if at_us is None else clock_text(at_us)


def _allocated(each: Allocation, devices: tuple[Device, ...]) -> Allocated:
    names = {device.key: device.name for device in devices}
    stamp = each.stamp
    return Allocated(
        kind=each.kind,
        name=each.text or names.get(each.key) or each.key or None,
        begins=_clock(stamp.begin_us) if stamp else None,
        ends=_clock(stamp.end_us) if stamp else None,
        planned=stamp.planned if stamp else None,
    )


def _totals(record: TaskRecord) -> tuple[SaidTotal, ...]:
    said: dict[tuple[int, str], list[int]] = {}
    for period in record.task.periods:
        for total in period.totals:
            said.setdefault((total.number, total.element), []).append(total.raw)
    known = identifiers()
    return tuple(
        SaidTotal(
            identifier=number,
            what=words_for(number),
            element=element,
            raw=raws[-1],
            unit=known[number].unit if number in known else None,
            step=known[number].step_factor if number in known else None,
            periods=len(raws),
            falls=raws != sorted(raws),
        )
        for (number, element), raws in said.items()
    )
