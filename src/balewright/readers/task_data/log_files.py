"""Time logs of a set: each found, decoded once, and given to the task it belongs to."""

from __future__ import annotations

import hashlib
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from balewright.quantities.errors import BadInput
from balewright.readers.archive import Archive
from balewright.readers.task_data.attributes import Ledger
from balewright.readers.task_data.log_doubts import clock_text
from balewright.readers.task_data.log_header import fitting_header, read_headers
from balewright.readers.task_data.logged import TimeLog
from balewright.readers.task_data.time_log import decode_log
from balewright.readers.task_data.values import Task
from balewright.records.intake import Doubt, Refusal
from balewright.records.quality import Mark

MAX_LOG_BYTES: Final = 512 * 1024 * 1024
"""All logs of one set together: more is no machine's task data, and would not fit in memory."""
_LOG_NAME: Final = re.compile(r"tlg\d{1,8}\.bin", re.IGNORECASE)
_QUARTER_US: Final = 15 * 60 * 1_000_000
_NEAR_US: Final = 2 * 60 * 1_000_000
_WIDEST_QUARTERS: Final = 14 * 4


@dataclass
class LogShelf:
    """The logs of one folder of an archive, decoded when first asked for."""

    archive: Archive
    folder: str
    by_name: dict[str, TimeLog | None] = field(default_factory=dict)
    faults: dict[str, Ledger] = field(default_factory=dict)
    hashes: dict[str, str] = field(default_factory=dict)
    files: set[str] = field(default_factory=set)
    read_bytes: int = 0

    def take(self, name: str) -> tuple[TimeLog | None, Ledger]:
        """A log by its name in any letter case, None where it cannot be read, and why."""
        key = name.upper()
        if key not in self.by_name:
            ledger = self.faults.setdefault(key, Ledger())
            try:
                self.by_name[key] = self._decode(name, ledger)
            except BadInput as error:
                self.by_name[key] = None
                fault = error.faults[0]
                reason = f"needs {fault.need}, was given {fault.given}. {fault.cure}"
                ledger.refuse(fault.place, "byte 0", "", reason)
        return self.by_name[key], self.faults[key]

    def loose(self) -> list[str]:
        """Names of logs in the folder that nobody has asked for."""
        names = [name.rpartition("/")[2] for name in self.archive.inside(self.folder)]
        logs = [name[:-4] for name in names if _LOG_NAME.fullmatch(name)]
        return sorted(name for name in logs if name.upper() not in self.by_name)

    def _decode(self, name: str, ledger: Ledger) -> TimeLog | None:
        header_file = self.archive.find(self.folder, f"{name}.xml")
        binary_file = self.archive.find(self.folder, f"{name}.bin")
        if header_file is None or binary_file is None:
            parts = {"header (.XML)": header_file, "binary part (.BIN)": binary_file}
            missing = " and no ".join(part for part, file in parts.items() if file is None)
            reason = f"no {missing} of this log is there: it was not read. Copy all its files"
            ledger.refuse(name, "whole log", "", reason)
            return None
        self.files.update((header_file, binary_file))
        headers = read_headers(self.archive.read(header_file), header_file, ledger)
        if not headers:
            return None
        self.read_bytes += self.archive.sizes[binary_file]
        if self.read_bytes > MAX_LOG_BYTES:
            reason = f"logs beyond {MAX_LOG_BYTES >> 20} MiB in one set are not read"
            ledger.refuse(binary_file, "byte 0", "", reason)
            return None
        data = self.archive.read(binary_file)
        same = self.hashes.setdefault(hashlib.sha256(data).hexdigest(), name)
        if data and same.upper() != name.upper():
            text = f"byte for byte the same as {same}: read, but left out of the count"
            ledger.doubt(binary_file, "whole log", Mark.LOG_REPEATED, text)
            return None
        log = decode_log(name, data, fitting_header(data, headers), binary_file)
        ledger.refusals.extend(log.refusals)
        ledger.doubts.extend(log.doubts)
        return log


@dataclass
class Assigned:
    """The logs of one task, with what was odd on the way to them."""

    logs: list[TimeLog] = field(default_factory=list)
    refusals: list[Refusal] = field(default_factory=list)
    doubts: list[Doubt] = field(default_factory=list)


def assign_logs(tasks: Sequence[Task], shelf: LogShelf, file: str) -> list[Assigned]:
    """Give each log to one task: the first that names it and whose periods it falls into, else
    the first that names it. A log named twice is counted once, and said."""
    named: dict[str, list[int]] = {}
    for place, task in enumerate(tasks):
        for name in task.logs:
            named.setdefault(name.upper(), []).append(place)
    assigned = [Assigned() for _ in tasks]
    for key, places in named.items():
        name = next(name for name in tasks[places[0]].logs if name.upper() == key)
        log, ledger = shelf.take(name)
        owner = places[0]
        if log is not None and log.rows:
            shifts = {place: _clock_shift(log, tasks[place]) for place in dict.fromkeys(places)}
            owner = next((place for place in places if shifts[place] is not None), owner)
            log = _on_the_tasks_clock(log, tasks[owner], shifts[owner], assigned[owner])
        if log is not None:
            assigned[owner].logs.append(log)
        assigned[owner].refusals.extend(ledger.refusals)
        assigned[owner].doubts.extend(ledger.doubts)
        for place, times in Counter(places).items():
            if place == owner and times == 1:
                continue
            where = "named twice by its task" if place == owner else "named by another task too"
            text = f"{where}: counted once, under {tasks[owner].job!r}"
            assigned[place].doubts.append(Doubt(file, name, Mark.LOG_REPEATED, text))
    for each in assigned:
        each.logs.sort(key=lambda log: int(log.at_us[0]) if log.rows else 0)
    return assigned


def _clock_shift(log: TimeLog, task: Task) -> int | None:
    """How far the log's clock is ahead of the task's periods, in whole quarter hours of
    microseconds: 0 where it lies inside one; None where it fits none."""
    spans = [
        (each.begin_us, each.end_us if each.end_us is not None else each.begin_us, each.zoned)
        for each in task.periods
        if each.begin_us is not None
    ]
    first_us = int(log.at_us[0])
    if any(begin - _NEAR_US <= first_us <= end + _NEAR_US for begin, end, _ in spans):
        return 0
    for begin_us, _, zoned in spans:
        quarters = round((first_us - begin_us) / _QUARTER_US)
        rest = abs(first_us - begin_us - quarters * _QUARTER_US)
        if zoned and rest <= _NEAR_US and abs(quarters) <= _WIDEST_QUARTERS:
            return quarters * _QUARTER_US
    return None


def _on_the_tasks_clock(
    log: TimeLog, task: Task, shift_us: int | None, assigned: Assigned
) -> TimeLog:
    first_us = int(log.at_us[0])
    if shift_us is None:
        if any(period.begin_us is not None for period in task.periods):
            text = f"begins {clock_text(first_us)}, outside every period of its task; kept"
            assigned.doubts.append(Doubt(log.file, "byte 0", Mark.CLOCK_JUMPED, text))
        return log
    if shift_us == 0:
        return log
    hours = shift_us / 3.6e9
    text = (
        f"begins {clock_text(first_us)} by its own clock, {hours:g} h ahead of the task's period "
        "in UTC: taken as local time and set to UTC"
    )
    assigned.doubts.append(Doubt(log.file, "byte 0", Mark.CLOCK_JUMPED, text))
    return replace(log, at_us=log.at_us - shift_us)
