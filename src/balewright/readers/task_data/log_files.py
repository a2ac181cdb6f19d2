"""Time logs of a set: each found, decoded once, counted, and let go of before the next one."""

from __future__ import annotations

import hashlib
import re
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from balewright.quantities.errors import BadInput, Fault
from balewright.readers.archive import Archive
from balewright.readers.task_data.attributes import Ledger
from balewright.readers.task_data.devices import Device
from balewright.readers.task_data.log_bales import LogBales, count_log
from balewright.readers.task_data.log_chain import Search
from balewright.readers.task_data.log_clock import clock_shift, on_right_clock
from balewright.readers.task_data.log_header import fitting_header, read_headers
from balewright.readers.task_data.logged import KeptLog, TimeLog, keep_log
from balewright.readers.task_data.machine_log import split_by_machine
from balewright.readers.task_data.members import Members
from balewright.readers.task_data.time_log import decode_log
from balewright.readers.task_data.values import Task
from balewright.records.intake import Doubt, Refusal
from balewright.records.quality import Mark

MAX_LOG_BYTES: Final = 512 * 1024 * 1024
"""All logs of one set together: more is no machine's task data."""
MAX_BALES: Final = 1_000_000
"""Bales of one set: more than any machine makes in its life, and more than memory should hold."""
_LOG_NAME: Final = re.compile(r"tlg\d{1,8}\.bin", re.IGNORECASE)
_PLAIN_NAME: Final = re.compile(r"[\w. -]{1,64}")


@dataclass
class LogShelf:
    """The logs of one folder of an archive, each decoded when asked for and then forgotten."""

    members: Members
    folder: str
    asked: set[str] = field(default_factory=set)
    hashes: dict[str, str] = field(default_factory=dict)
    files: set[str] = field(default_factory=set)
    read_bytes: int = 0
    bales: int = 0
    search: Search = field(default_factory=Search)

    def take(self, name: str) -> tuple[TimeLog | None, Ledger]:
        """A log by its name in any letter case, None where it cannot be read, and why."""
        ledger = Ledger()
        self.asked.add(name.upper())
        try:
            return self._decode(name, ledger), ledger
        except BadInput as error:
            fault = error.faults[0]
            reason = f"needs {fault.need}, was given {fault.given}. {fault.cure}"
            ledger.refuse(fault.place, "byte 0", "", reason)
            return None, ledger

    def loose(self) -> list[str]:
        """Names of logs in the folder that nobody has asked for."""
        names = [name.rpartition("/")[2] for name in self.members.archive.inside(self.folder)]
        logs = [name[:-4] for name in names if _LOG_NAME.fullmatch(name)]
        return sorted(name for name in logs if name.upper() not in self.asked)

    def _decode(self, name: str, ledger: Ledger) -> TimeLog | None:
        if not _PLAIN_NAME.fullmatch(name):
            reason = "the name of a log is letters and digits, and leads nowhere else: not read"
            ledger.refuse(name[:60], "whole log", name, reason)
            return None
        header_file = self.members.find(self.folder, f"{name}.xml")
        binary_file = self.members.find(self.folder, f"{name}.bin")
        if header_file is None or binary_file is None:
            parts = {"header (.XML)": header_file, "binary part (.BIN)": binary_file}
            missing = " and no ".join(part for part, file in parts.items() if file is None)
            reason = f"no {missing} of this log is there: it was not read. Copy all its files"
            ledger.refuse(name, "whole log", "", reason)
            return None
        self.files.update((header_file, binary_file))
        headers = read_headers(self.members.read(header_file), header_file, ledger)
        if not headers:
            return None
        self.read_bytes += self.members.archive.sizes[binary_file]
        if self.read_bytes > MAX_LOG_BYTES:
            reason = f"logs beyond {MAX_LOG_BYTES >> 20} MiB in one set are not read"
            ledger.refuse(binary_file, "byte 0", "", reason)
            return None
        data = self.members.read(binary_file)
        same = self.hashes.setdefault(hashlib.sha256(data).hexdigest(), name)
        if data and same.upper() != name.upper():
            text = f"byte for byte the same as {same}: read, but left out of the count"
            ledger.doubt(binary_file, "whole log", Mark.LOG_REPEATED, text)
            return None
        header = fitting_header(data, headers)
        log = decode_log(name, data, header, binary_file, self.search)
        ledger.refusals.extend(log.refusals)
        ledger.doubts.extend(log.doubts)
        return log

    def keep(self, log: TimeLog, shift_us: int = 0) -> KeptLog:
        """What is kept of a decoded log. shift_us: what was taken off its clock."""
        return keep_log(log, again(self.members.archive, self.folder, log.name, shift_us))

    def count(
        self, log: TimeLog, devices: tuple[Device, ...], otherwise: str, shift_us: int = 0
    ) -> tuple[KeptLog, list[LogBales], list[Refusal]]:
        """Count a decoded log, machine by machine; otherwise: the machine of elements that no
        device describes. Bales beyond MAX_BALES in the set are refused with their log."""
        kept = self.keep(log, shift_us)
        if not log.rows:
            return kept, [], []
        counted = [count_log(part, kept) for part in split_by_machine(log, devices, otherwise)]
        self.bales += sum(len(each.rows) for each in counted)
        if self.bales <= MAX_BALES:
            return kept, counted, []
        reason = f"more than {MAX_BALES} bales in one set: no machine's; they were not taken"
        return kept, [], [Refusal(log.file, "whole log", "", reason)]


def again(archive: Archive, folder: str, name: str, shift_us: int) -> Callable[[], TimeLog]:
    """A call that decodes a log anew and takes `shift_us` off its clock."""

    def decode() -> TimeLog:
        log, ledger = LogShelf(Members(archive), folder).take(name)
        if log is None:
            need, cure = "the log that was read before", "Keep the set until its logs are read."
            raise BadInput(Fault(name, need, ledger.refusals[0].reason, cure))
        return replace(log, at_us=log.at_us - shift_us) if shift_us else log

    return decode


@dataclass
class Assigned:
    """The logs of one task, what they counted, and what was odd on the way to them."""

    logs: list[KeptLog] = field(default_factory=list)
    counted: list[LogBales] = field(default_factory=list)
    refusals: list[Refusal] = field(default_factory=list)
    doubts: list[Doubt] = field(default_factory=list)


def assign_logs(
    tasks: Sequence[Task], shelf: LogShelf, devices: tuple[Device, ...], file: str
) -> list[Assigned]:
    """Give each log to one task and count it: the first task that names it and whose periods it
    falls into, else the first that names it. A log named twice is counted once, and said."""
    named: dict[str, list[int]] = {}
    for place, task in enumerate(tasks):
        for name in task.logs:
            named.setdefault(name.upper(), []).append(place)
    assigned = [Assigned() for _ in tasks]
    for key, places in named.items():
        name = next(name for name in tasks[places[0]].logs if name.upper() == key)
        owner = _take_one(name, places, tasks, (shelf, devices, assigned))
        for place, times in Counter(places).items():
            if place == owner and times == 1:
                continue
            where = "named twice by its task" if place == owner else "named by another task too"
            text = f"{where}: counted once, under {tasks[owner].job!r}"
            assigned[place].doubts.append(Doubt(file, name, Mark.LOG_REPEATED, text))
    for each in assigned:
        each.logs.sort(key=lambda log: log.begins_us or 0)
        each.counted.sort(key=lambda bales: bales.log.begins_us or 0)
    return assigned


def _take_one(
    name: str,
    places: Sequence[int],
    tasks: Sequence[Task],
    into: tuple[LogShelf, tuple[Device, ...], list[Assigned]],
) -> int:
    """Decode and count one log for the task it belongs to; gives that task's place."""
    shelf, devices, assigned = into
    log, ledger = shelf.take(name)
    owner = places[0]
    if log is not None:
        taken_us = 0
        if log.rows:
            shifts = {place: clock_shift(log, tasks[place]) for place in dict.fromkeys(places)}
            owner = next((place for place in places if shifts[place] is not None), owner)
            begins_us = int(log.at_us[0])
            log, doubts = on_right_clock(log, tasks[owner].periods, shifts[owner])
            ledger.doubts.extend(doubts)
            taken_us = begins_us - int(log.at_us[0])
        otherwise = only_machine(tasks[owner], devices)
        kept, counted, refused = shelf.count(log, devices, otherwise, taken_us)
        assigned[owner].logs.append(kept)
        assigned[owner].counted.extend(counted)
        ledger.refusals.extend(refused)
    assigned[owner].refusals.extend(ledger.refusals)
    assigned[owner].doubts.extend(ledger.doubts)
    return owner


def only_machine(task: Task | None, devices: tuple[Device, ...]) -> str:
    """The machine for elements no device describes: the task's or the file's only one."""
    known = {device.key: device.machine for device in devices}
    of_task = {known[key] for key in (task.devices if task else ()) if key in known}
    choice = of_task or set(known.values())
    return choice.pop() if len(choice) == 1 else ""
