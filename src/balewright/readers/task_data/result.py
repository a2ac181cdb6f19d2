"""What reading a set of task data gives: tasks with what their logs say, and all that was odd."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from balewright.readers.archive import Ignored
from balewright.readers.task_data.devices import Device, Presentation
from balewright.readers.task_data.log_bales import LogBales
from balewright.readers.task_data.logged import KeptLog
from balewright.readers.task_data.values import (
    Attached,
    Farm,
    Field,
    Link,
    Party,
    Product,
    Task,
)
from balewright.records.intake import Doubt, Refusal


@dataclass(frozen=True, eq=False)
class TaskRecord:
    """A task with what its logs say.

    logs: in the order of their first record; bales, mass_kg: counted and gained in
    them, None where no log counts; counted: the counting behind, by log and machine.
    """

    task: Task
    customer: str | None
    farm: str | None
    field: str | None
    logs: tuple[KeptLog, ...]
    counted: tuple[LogBales, ...]
    bales: int | None
    mass_kg: float | None
    refused: tuple[Refusal, ...]
    doubtful: tuple[Doubt, ...]

    @property
    def rows(self) -> int:
        """Time-log records kept, all logs together."""
        return sum(log.rows for log in self.logs)


@dataclass(frozen=True, eq=False)
class TaskData:
    """Everything one set of task data says. version: as written, such as "4.2"; loose_logs: logs
    that no task names; loose: what they counted; refusals and doubts: of the set, beside those of
    its tasks; presentations: how planned values are shown, by identifier; listed: elements that
    were seen and tell nothing of a bale (guidance, grids, lines), by name."""

    name: str
    version: str
    devices: tuple[Device, ...] = ()
    customers: tuple[Party, ...] = ()
    workers: tuple[Party, ...] = ()
    farms: tuple[Farm, ...] = ()
    fields: tuple[Field, ...] = ()
    products: tuple[Product, ...] = ()
    crops: tuple[Product, ...] = ()
    tasks: tuple[TaskRecord, ...] = ()
    loose_logs: tuple[KeptLog, ...] = ()
    loose: tuple[LogBales, ...] = ()
    links: tuple[Link, ...] = ()
    attached: tuple[Attached, ...] = ()
    listed: Mapping[str, int] = field(default_factory=dict)
    ignored: tuple[Ignored, ...] = ()
    refusals: tuple[Refusal, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    presentations: Mapping[str, Presentation] = field(default_factory=dict)
