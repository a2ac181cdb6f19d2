"""What is in a file somebody hands over: tasks, bales, what was refused, what is doubtful.

Nothing is kept: it needs no workplace.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from balewright.flows.task_data_seen import (
    LinkSeen,
    NamedPlace,
    ReadDevice,
    ReadTask,
    device_seen,
    task_seen,
)
from balewright.readers.archive import Ignored
from balewright.readers.open_records import (
    BALE_CSV,
    MAPPED_TABLE,
    TASK_DATA,
    Records,
    open_records,
)
from balewright.readers.reading import Reading
from balewright.readers.task_data import TaskData, open_task_data
from balewright.records.intake import Doubt, Refusal

MAX_MACHINES: Final = 5_000
"""Machines of a table that are named; more is a wrong column."""

SHOWN: Final = 1000
"""Refusals and doubts of a table that are held in full; the totals count all."""


@dataclass(frozen=True)
class ReadFile:
    """The whole answer. form: `task data`, `bale csv` or `event csv`; bales: rows that can be
    taken in; machines: bales by machine; links: lasting identifiers of what the set names; listed:
    elements that were seen and not used, by their name in the standard; refused and doubtful: of
    the file beside its tasks, whole for task data, the first SHOWN for a table; refused_total,
    doubtful_total: all there were, of the file and its tasks; machines_more: bales of machines
    beyond the first MAX_MACHINES."""

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
    links: tuple[LinkSeen, ...] = ()
    listed: dict[str, int] = field(default_factory=dict)
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


def read_file(path: Path, reading: Reading | None = None) -> ReadFile:
    """Read task data (folder, zip, XML), a CSV of bales or events, or a table by its column map.

    reading: what the reader may need besides the bytes. Keeps nothing. Raises BadInput for what
    cannot be read at all; the rest that is wrong is in the answer.
    """
    if path.is_dir() or path.suffix.lower() in {".zip", ".xml"}:
        return _read_task_data(open_task_data(path))
    records = open_records(path, reading)
    if records.form == TASK_DATA:
        return _read_task_data(open_task_data(path))
    return _read_csv(path, records)


def _read_task_data(data: TaskData) -> ReadFile:
    counted = [each.bales for each in data.tasks if each.bales is not None]
    counted += [len(each.rows) for each in data.loose if each.count]
    machines: Counter[str] = Counter()
    for each in (*data.loose, *(bales for record in data.tasks for bales in record.counted)):
        if len(each.rows):
            machines[each.machine] += len(each.rows)
    return ReadFile(
        form=TASK_DATA,
        name=data.name,
        task_data_version=data.version,
        devices=tuple(device_seen(device) for device in data.devices),
        customers=tuple(NamedPlace(each.key, each.name) for each in data.customers),
        farms=tuple(NamedPlace(each.key, each.name, each.customer or None) for each in data.farms),
        fields=tuple(
            NamedPlace(each.key, each.name, each.customer or None, each.farm or None, each.area_m2)
            for each in data.fields
        ),
        tasks=tuple(task_seen(record, data.devices) for record in data.tasks),
        bales=sum(counted) if counted else None,
        machines=dict(machines),
        logs_without_task=tuple(log.name for log in data.loose_logs),
        links=tuple(LinkSeen(each.key, each.names or None, each.value) for each in data.links),
        listed=dict(data.listed),
        refused=data.refusals,
        doubtful=data.doubts,
        ignored=data.ignored,
        refused_total=len(data.refusals) + sum(len(each.refused) for each in data.tasks),
        doubtful_total=len(data.doubts) + sum(len(each.doubtful) for each in data.tasks),
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
        bales=kept if records.form in (BALE_CSV, MAPPED_TABLE) else None,
        events=events,
        machines=dict(machines),
        refused=tuple(refused),
        doubtful=tuple(doubtful),
        refused_total=refused_total,
        doubtful_total=doubtful_total,
        machines_more=machines_more,
    )
