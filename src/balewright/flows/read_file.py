"""What is in a file somebody hands over: tasks, bales, what was refused, what is doubtful.

Nothing is kept: it needs no workplace.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from balewright.readers.archive import Ignored
from balewright.readers.open_records import BALE_CSV, TASK_DATA, Records, open_records
from balewright.readers.task_data import TaskData, open_task_data
from balewright.readers.task_data.devices import Device
from balewright.readers.task_data.dictionary import words_for
from balewright.readers.task_data.log_doubts import clock_text
from balewright.readers.task_data.logged import TimeLog
from balewright.readers.task_data.result import TaskRecord
from balewright.records.intake import Doubt, Refusal

MAX_MACHINES: Final = 5_000
"""Machines of a table that are named; more is a wrong column."""

SHOWN: Final = 1000
"""Refusals and doubts of a table that are held in full; the totals count all."""


@dataclass(frozen=True)
class LogSpan:
    """A time log: records kept, first and last clock time as the log shows them."""

    name: str
    rows: int
    first: str | None
    last: str | None


@dataclass(frozen=True)
class SaidTotal:
    """A total the task itself holds: the last of its periods, raw, as it stands."""

    identifier: int
    what: str
    element: str
    raw: int


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
    refused: tuple[Refusal, ...]
    doubtful: tuple[Doubt, ...]


@dataclass(frozen=True)
class ReadDevice:
    """A machine as the file describes it; device_class 9 is forage."""

    id: str
    name: str | None
    serial: str | None
    software: str | None
    device_class: int | None
    elements: int


@dataclass(frozen=True)
class NamedPlace:
    """A customer, a farm or a field: identifier, name, and whose it is by identifier."""

    id: str
    name: str
    customer: str | None = None
    farm: str | None = None
    area_m2: int | None = None


@dataclass(frozen=True)
class ReadFile:
    """The whole answer. form: `task data`, `bale csv` or `event csv`; bales: rows that can be
    taken in; machines: bales by machine; refused and doubtful: of the file beside its tasks, whole
    for task data, the first SHOWN for a table; refused_total, doubtful_total: all there were, of
    the file and its tasks; machines_more: bales of machines beyond the first MAX_MACHINES."""

    form: str
    name: str
    task_data_version: str | None = None
    devices: tuple[ReadDevice, ...] = ()
    customers: tuple[NamedPlace, ...] = ()
    farms: tuple[NamedPlace, ...] = ()
    fields: tuple[NamedPlace, ...] = ()
    tasks: tuple[ReadTask, ...] = ()
    bales: int | None = None
    events: int = 0
    machines: dict[str, int] = field(default_factory=dict)
    logs_without_task: tuple[str, ...] = ()
    refused: tuple[Refusal, ...] = ()
    doubtful: tuple[Doubt, ...] = ()
    ignored: tuple[Ignored, ...] = ()
    refused_total: int = 0
    doubtful_total: int = 0
    machines_more: int = 0

    @property
    def refusals(self) -> tuple[Refusal, ...]:
        """Everything refused, of the file and of its tasks."""
        return (*self.refused, *(each for task in self.tasks for each in task.refused))

    @property
    def doubts(self) -> tuple[Doubt, ...]:
        """Everything doubtful, of the file and of its tasks."""
        return (*self.doubtful, *(each for task in self.tasks for each in task.doubtful))


def read_file(path: Path) -> ReadFile:
    """Read task data (folder, zip, XML) or a CSV of bales or events, and keep nothing.

    Raises BadInput for what cannot be read at all; the rest that is wrong is in the answer.
    """
    if path.is_dir() or path.suffix.lower() in {".zip", ".xml"}:
        return _read_task_data(open_task_data(path))
    records = open_records(path)
    if records.form == TASK_DATA:
        return _read_task_data(open_task_data(path))
    return _read_csv(path, records)


def _read_task_data(data: TaskData) -> ReadFile:
    counted = [each.bales for each in data.tasks if each.bales is not None]
    machines: Counter[str] = Counter()
    for record in data.tasks:
        for each in record.counted:
            if len(each.rows):
                machines[each.part.machine] += len(each.rows)
    return ReadFile(
        form=TASK_DATA,
        name=data.name,
        task_data_version=data.version,
        devices=tuple(_device(device) for device in data.devices),
        customers=tuple(NamedPlace(each.key, each.name) for each in data.customers),
        farms=tuple(NamedPlace(each.key, each.name, each.customer or None) for each in data.farms),
        fields=tuple(
            NamedPlace(each.key, each.name, each.customer or None, each.farm or None, each.area_m2)
            for each in data.fields
        ),
        tasks=tuple(_task(record) for record in data.tasks),
        bales=sum(counted) if counted else None,
        machines=dict(machines),
        logs_without_task=tuple(log.name for log in data.loose_logs),
        refused=data.refusals,
        doubtful=data.doubts,
        ignored=data.ignored,
        refused_total=len(data.refusals) + sum(len(each.refused) for each in data.tasks),
        doubtful_total=len(data.doubts) + sum(len(each.doubtful) for each in data.tasks),
    )


def _device(device: Device) -> ReadDevice:
    return ReadDevice(
        device.key,
        device.name or None,
        device.serial or None,
        device.software or None,
        device.device_class,
        len(device.elements),
    )


def _task(record: TaskRecord) -> ReadTask:
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
        refused=record.refused,
        doubtful=record.doubtful,
    )


def _span(log: TimeLog) -> LogSpan:
    if not log.rows:
        return LogSpan(log.name, 0, None, None)
    first, last = clock_text(int(log.at_us.min())), clock_text(int(log.at_us.max()))
    return LogSpan(log.name, log.rows, first, last)


def _totals(record: TaskRecord) -> tuple[SaidTotal, ...]:
    last = {
        (total.number, total.element): total.raw
        for period in record.task.periods
        for total in period.totals
    }
    return tuple(
        SaidTotal(number, words_for(number), element, raw)
        for (number, element), raw in last.items()
    )


def _read_csv(path: Path, records: Records) -> ReadFile:
    """Sum a CSV up batch by batch; only its first refusals and doubts are held."""
    kept = events = refused_total = doubtful_total = machines_more = 0
    machines: Counter[str] = Counter()
    refused: list[Refusal] = []
    doubtful: list[Doubt] = []
    for batch in records.batches:
        kept += batch.bales.rows
        events += len(batch.events)
        names = batch.bales.column("machine")[batch.bales.mask("machine")]
        for name, bales in Counter(names.tolist()).items():
            if name in machines or len(machines) < MAX_MACHINES:
                machines[name] += bales
            else:
                machines_more += bales
        refused_total += len(batch.refusals)
        doubtful_total += len(batch.doubts)
        refused += batch.refusals[: SHOWN - len(refused)]
        doubtful += batch.doubts[: SHOWN - len(doubtful)]
    return ReadFile(
        form=records.form,
        name=path.name,
        bales=kept if records.form == BALE_CSV else None,
        events=events,
        machines=dict(machines),
        refused=tuple(refused),
        doubtful=tuple(doubtful),
        refused_total=refused_total,
        doubtful_total=doubtful_total,
        machines_more=machines_more,
    )
