"""Open a set of task data: folder, zip or file -> everything it says, and all that was odd."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Final

from lxml import etree

from balewright.quantities.errors import BadInput, Fault
from balewright.readers.archive import Archive, Ignored, Limits, folder_of, open_archive
from balewright.readers.task_data.attributes import Ledger, Reading
from balewright.readers.task_data.elements import Gathered, gather
from balewright.readers.task_data.log_files import LogShelf, assign_logs
from balewright.readers.task_data.logged import TimeLog
from balewright.readers.task_data.result import TaskData
from balewright.readers.task_data.task_counts import count_tasks
from balewright.readers.task_data.values import Task
from balewright.readers.task_data.xml import name_of, parse_xml
from balewright.records.quality import Mark

_MAIN: Final = "taskdata.xml"
_LINKS: Final = "LINKLIST.XML"
_ROOTS: Final = ("ISO11783_TaskData", "XFC")
_CURE: Final = "Give the folder that holds TASKDATA.XML, or a zip of it."


def open_task_data(path: Path, limits: Limits | None = None) -> TaskData:
    """Read task data of ISO 11783-10, versions 2 to 4, as far as it can be read.

    path: a folder, a zip, a TASKDATA.XML or a device description; names in any letter case.
    Raises BadInput for what holds no task data, cannot be opened or is not safe to open; all
    else that is wrong stands in the refusals and doubts of the answer and of its tasks.
    """
    archive = open_archive(path, limits)
    ledger = Ledger()
    found = Gathered(ledger)
    main, folder, version = _read_elements(archive, found)
    for name, times in sorted(found.unknown.items()):
        text = f"{times} element(s) {name} are none of the standard: left out"
        ledger.doubt(main, name, Mark.ELEMENT_UNKNOWN, text)
    shelf = LogShelf(archive, folder)
    tasks: tuple[Task, ...] = found.all_of("TSK")
    assigned = assign_logs(tasks, shelf, main)
    loose = _loose_logs(shelf, ledger)
    links = _read_links(archive, folder, ledger)
    unread = sorted(set(archive.sizes) - ledger.files - shelf.files)
    unread = [name for name in unread if folder_of(name) == folder]
    _note_zone(tasks, main, ledger)
    return TaskData(
        name=archive.name,
        version=version,
        devices=found.all_of("DVC"),
        customers=found.all_of("CTR"),
        workers=found.all_of("WKR"),
        farms=found.all_of("FRM"),
        fields=found.all_of("PFD"),
        products=found.all_of("PDT"),
        crops=found.all_of("CTP"),
        tasks=count_tasks(tasks, assigned, found, main),
        loose_logs=loose,
        links=links,
        ignored=(*archive.ignored, *(Ignored(name, "not needed for bales") for name in unread)),
        refusals=tuple(ledger.refusals),
        doubts=tuple(ledger.doubts),
        presentations=dict(found.kinds.get("VPN", {})),
    )


def _read_elements(archive: Archive, found: Gathered) -> tuple[str, str, str]:
    """Read the task-data file and its externals, or descriptions standing alone.

    Gives the file's name, its folder and the version as written.
    """
    mains = sorted(
        (name for name in archive.sizes if name.rpartition("/")[2].lower() == _MAIN),
        key=lambda name: (name.count("/"), name),
    )
    if not mains:
        return _read_descriptions(archive, found)
    main = mains[0]
    for other in mains[1:]:
        text = f"a second set of task data; only {main} was read. Give it by itself"
        found.ledger.doubt(other, "whole file", Mark.RECORD_LEFT_OUT, text)
    root = _parse(archive, main, found.ledger)
    if root is None or name_of(root) not in _ROOTS:
        given = "no XML that can be read" if root is None else f"the root element {name_of(root)}"
        raise BadInput(Fault(main, "ISO11783_TaskData as its root element", given, _CURE))
    folder = folder_of(main)
    version = ".".join(root.get(name, "?") for name in ("VersionMajor", "VersionMinor"))
    gather((Reading(child, main, found.ledger) for child in root), found)
    for child in root:
        if name_of(child) == "XFR":
            _read_external(archive, folder, Reading(child, main, found.ledger), found)
    return main, folder, version


def _read_external(archive: Archive, folder: str, transfer: Reading, found: Gathered) -> None:
    named = transfer.text("A")
    base = named if named.lower().endswith(".xml") else f"{named}.XML"
    name = archive.find(folder, base)
    if name is None:
        reason = "this external file is not there: what it holds is unknown. Copy it too"
        found.ledger.refuse(base, transfer.place, named, reason)
        return
    try:
        root = _parse(archive, name, found.ledger)
    except BadInput as error:
        found.ledger.refuse(name, "line 1", "", str(error))
        return
    if root is not None:
        gather((Reading(child, name, found.ledger) for child in root), found)


def _read_descriptions(archive: Archive, found: Gathered) -> tuple[str, str, str]:
    names = [name for name in sorted(archive.sizes) if name.lower().endswith(".xml")]
    versions = []
    for name in names:
        try:
            root = _parse(archive, name, found.ledger)
        except BadInput as error:
            if len(archive.sizes) == 1:
                raise
            found.ledger.refuse(name, "line 1", "", str(error))
            continue
        if root is None:
            continue
        if name_of(root) in _ROOTS:
            versions.append(
                ".".join(root.get(part, "?") for part in ("VersionMajor", "VersionMinor"))
            )
            gather((Reading(child, name, found.ledger) for child in root), found)
        elif name_of(root) == "DVC":
            gather([Reading(root, name, found.ledger)], found)
    if not found.kinds:
        seen = ", ".join(sorted(archive.sizes)[:3]) or "nothing that can be read"
        raise BadInput(Fault(archive.name, "task data (TASKDATA.XML)", seen, _CURE))
    text = "no TASKDATA.XML: only the descriptions that stand in other files were read"
    found.ledger.doubt(archive.name, "whole set", Mark.LOG_MISSING, text)
    return archive.name, "", versions[0] if versions else "?.?"


def _note_zone(tasks: Sequence[Task], main: str, ledger: Ledger) -> None:
    periods = [period for task in tasks if task.logs for period in task.periods]
    if periods and not any(period.zoned for period in periods):
        text = "no time names its zone: clock times are taken as they stand, as if they were UTC"
        ledger.doubt(main, "whole file", Mark.ZONE_UNKNOWN, text)


def _parse(archive: Archive, name: str, ledger: Ledger) -> etree._Element | None:
    ledger.files.add(name)
    tree = parse_xml(archive.read(name), name)
    ledger.refusals.extend(tree.refusals)
    ledger.doubts.extend(tree.doubts)
    return tree.root


def _loose_logs(shelf: LogShelf, ledger: Ledger) -> tuple[TimeLog, ...]:
    logs = []
    for name in shelf.loose():
        log, faults = shelf.take(name)
        ledger.refusals.extend(faults.refusals)
        ledger.doubts.extend(faults.doubts)
        if log is not None:
            text = f"{log.rows} records, but no task names this log: its bales belong to no job"
            ledger.doubt(log.file, "whole log", Mark.IDENTITY_UNKNOWN, text)
            logs.append(log)
    return tuple(logs)


def _read_links(archive: Archive, folder: str, ledger: Ledger) -> dict[str, str]:
    """What LINKLIST.XML says: identifier in the file -> identifier that lasts."""
    name = archive.find(folder, _LINKS)
    if name is None:
        return {}
    try:
        root = _parse(archive, name, ledger)
    except BadInput as error:
        ledger.refuse(name, "line 1", "", str(error))
        return {}
    links: Sequence[etree._Element] = [] if root is None else list(root.iter("LNK"))
    return {link.get("A", ""): link.get("B", "") for link in links if link.get("A")}
