"""Open a set of task data: folder, zip or file -> everything it says, and all that was odd."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from balewright.readers.archive import Ignored, Limits, folder_of, open_archive
from balewright.readers.task_data.attributes import Ledger
from balewright.readers.task_data.devices import Device
from balewright.readers.task_data.elements import Gathered
from balewright.readers.task_data.log_bales import LogBales
from balewright.readers.task_data.log_clock import on_right_clock
from balewright.readers.task_data.log_files import LogShelf, assign_logs, only_machine
from balewright.readers.task_data.logged import KeptLog
from balewright.readers.task_data.members import Members, nobody
from balewright.readers.task_data.result import TaskData
from balewright.readers.task_data.set_files import SetFiles
from balewright.readers.task_data.task_counts import count_tasks
from balewright.readers.task_data.values import Task
from balewright.records.quality import Mark


def open_task_data(
    path: Path,
    limits: Limits | None = None,
    tell: Callable[[int, int | None], None] = nobody,
) -> TaskData:
    """Read task data of ISO 11783-10, versions 2 to 4, as far as it can be read.

    path: a folder, a zip, a TASKDATA.XML or a device description; names in any letter case;
    tell: hears bytes done of bytes in all. Logs are decoded and counted one after the other, so
    that memory is that of the largest. Raises BadInput for what holds no task data, cannot be
    opened or is not safe to open; all else that is wrong stands in the refusals and doubts of the
    answer and of its tasks.
    """
    members = Members(open_archive(path, limits), tell)
    archive = members.archive
    ledger = Ledger()
    found = Gathered(ledger)
    files = SetFiles(members, found)
    main, folder, version = files.read_elements()
    for name, times in sorted(found.unknown.items()):
        text = f"elements {name}, which the standard has not: {times}, left out"
        ledger.doubt(main, name, Mark.ELEMENT_UNKNOWN, text)
    shelf = LogShelf(members, folder)
    tasks: tuple[Task, ...] = found.all_of("TSK")
    devices: tuple[Device, ...] = found.all_of("DVC")
    assigned = assign_logs(tasks, shelf, devices, main)
    loose_logs, loose = _loose_logs(shelf, devices, ledger)
    links = files.read_links(folder)
    unread = sorted(set(archive.sizes) - ledger.files - shelf.files)
    unread = [name for name in unread if folder_of(name) == folder]
    _note_zone(tasks, main, ledger)
    members.all_read()
    return TaskData(
        name=archive.name,
        version=version,
        devices=devices,
        customers=found.all_of("CTR"),
        workers=found.all_of("WKR"),
        farms=found.all_of("FRM"),
        fields=found.all_of("PFD"),
        products=found.all_of("PDT"),
        crops=found.all_of("CTP"),
        tasks=count_tasks(tasks, assigned, found, main),
        loose_logs=loose_logs,
        loose=loose,
        links=links,
        attached=tuple(found.attached),
        listed=dict(sorted(found.listed.items())),
        ignored=(*archive.ignored, *(Ignored(name, "not needed for bales") for name in unread)),
        refusals=tuple(ledger.refusals),
        doubts=tuple(ledger.doubts),
        presentations=dict(found.kinds.get("VPN", {})),
    )


def _note_zone(tasks: Sequence[Task], main: str, ledger: Ledger) -> None:
    periods = [period for task in tasks if task.logs for period in task.periods]
    if periods and not any(period.zoned for period in periods):
        text = "no time names its zone: clock times are taken as they stand, as if they were UTC"
        ledger.doubt(main, "whole file", Mark.ZONE_UNKNOWN, text)


def _loose_logs(
    shelf: LogShelf, devices: tuple[Device, ...], ledger: Ledger
) -> tuple[tuple[KeptLog, ...], tuple[LogBales, ...]]:
    """The logs that no task names: their bales are kept, without a job."""
    logs, bales = [], []
    for name in shelf.loose():
        log, faults = shelf.take(name)
        ledger.refusals.extend(faults.refusals)
        ledger.doubts.extend(faults.doubts)
        if log is None:
            continue
        taken_us = 0
        if log.rows:
            begins_us = int(log.at_us[0])
            log, doubts = on_right_clock(log, (), None)
            ledger.doubts.extend(doubts)
            taken_us = begins_us - int(log.at_us[0])
        machine = only_machine(None, devices)
        kept, counted, refused = shelf.count(log, devices, machine, taken_us)
        ledger.refusals.extend(refused)
        ledger.doubts.extend(doubt for each in counted for doubt in each.doubts)
        text = f"{log.rows} records, but no task names this log: its bales belong to no job"
        ledger.doubt(log.file, "whole log", Mark.IDENTITY_UNKNOWN, text)
        logs.append(kept)
        bales += counted
    return tuple(logs), tuple(bales)
