"""The book, said a third time: row by row, with dictionaries, by somebody who read the rules.

Nothing of the engine or of the kernels is used. Rules: docs/decisions/doubles.md, docs/journal.md.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from math import floor
from typing import Any
from zoneinfo import ZoneInfo

Row = Mapping[str, Any]
_DAY_US = 86_400_000_000
_TIMES = (
    "gate_open_at", "tipped_at", "wrap_end_at", "bind_end_at", "full_at",
    "closed_at", "bind_start_at", "wrap_start_at", "on_wrapper_at",
)  # fmt: skip
_CHAMBER = ("closed_at", "full_at", "bind_start_at", "bind_end_at", "gate_open_at")


@dataclass(frozen=True)
class Line:
    """One row of one file."""

    source: str
    place: int
    row: Row

    @property
    def time(self) -> int | None:
        """The first of the bale's times that is known."""
        return next((self.row[name] for name in _TIMES if self.row.get(name) is not None), None)

    @property
    def is_pass(self) -> bool:
        """Whether it is a further pass over the wrapper."""
        return self.row.get("status") == "re-wrapped"

    @property
    def known(self) -> int:
        """How much it knows."""
        return sum(value is not None for value in self.row.values())


@dataclass
class Bale:
    """The lines that are one bale, or one bale's further passes."""

    lines: list[Line] = field(default_factory=list)
    counts: bool = True

    @property
    def is_pass(self) -> bool:
        """Whether these are passes."""
        return self.lines[0].is_pass

    def best(self, name: str) -> Line | None:
        """The line whose value of a column is taken."""
        order = sorted(self.lines, key=lambda line: (-line.known, line.source, line.place))
        return next((line for line in order if line.row.get(name) is not None), None)

    def value(self, name: str) -> Any:
        """The bale's value of a column."""
        line = self.best(name)
        return None if line is None else line.row[name]

    @property
    def time(self) -> int | None:
        """The bale's time, from the line that knows most and has one."""
        order = sorted(self.lines, key=lambda line: (-line.known, line.source, line.place))
        return next((line.time for line in order if line.time is not None), None)


def read_bales(files: Mapping[str, Sequence[Row]]) -> list[Bale]:
    """Which lines are one bale. files: rows by the hash of their file."""
    lines = [
        Line(source, place, row) for source, rows in files.items() for place, row in enumerate(rows)
    ]
    epochs: dict[Any, int] = {}
    for line in lines:
        epoch = line.row.get("counter_epoch")
        if _numbered(line) and epoch is not None:
            key = (line.row["machine"], line.row["bale_no"], line.time)
            epochs[key] = min(epoch, epochs.get(key, epoch))
    standing: dict[Any, int] = defaultdict(int)
    groups: dict[Any, Bale] = {}
    made = set()
    for line in lines:
        key = _identity(line, epochs, standing)
        groups.setdefault((key, line.is_pass), Bale()).lines.append(line)
        if not line.is_pass:
            made.add(key)
    for (key, is_pass), bale in groups.items():
        if is_pass:
            chamber = any(
                line.row.get(name) is not None for line in bale.lines for name in _CHAMBER
            )
            bale.counts = key not in made and chamber
    return list(groups.values())


def _numbered(line: Line) -> bool:
    return line.row.get("machine") is not None and line.row.get("bale_no") is not None


def _identity(line: Line, epochs: Mapping[Any, int], standing: dict[Any, int]) -> Any:
    machine, time = line.row.get("machine"), line.time
    if _numbered(line):
        number, epoch = line.row["bale_no"], line.row.get("counter_epoch")
        if epoch is None:
            epoch = epochs.get((machine, number, time))
        return ("number", machine, number, epoch, None if epoch is not None else time)
    if machine is not None and time is not None:
        place = standing[machine, time, line.source, line.is_pass]
        standing[machine, time, line.source, line.is_pass] += 1
        return ("time", machine, time, place)
    return ("alone", line.source, line.place)


def book(bales: Sequence[Bale], zones: Mapping[str, str]) -> list[dict[str, Any]]:
    """Lines by job, machine and local day, in the order of the book."""
    lines: dict[Any, dict[str, Any]] = {}
    for bale in bales:
        told = bale.best("job")
        job, source = (None, None) if told is None else (told.row["job"], told.source)
        machine = bale.value("machine")
        key = (job, source, machine, _day(bale.time, zones.get(machine, "UTC")))
        line = lines.setdefault(key, _empty_line(key))
        line["rewrapped"] += bale.is_pass
        if not bale.counts:
            continue
        line["bales"] += 1
        line["burst"] += bale.value("status") == "burst"
        line["tests"] += bale.value("status") == "test"
        mass_kg = bale.value("mass_kg")
        if mass_kg is not None:
            line["mass_g"] = (line["mass_g"] or 0) + floor(mass_kg * 1000 + 0.5)
            line["weighed"] += 1
    return sorted(lines.values(), key=_order)


def counts(bales: Sequence[Bale]) -> list[dict[str, Any]]:
    """Bales by machine."""
    found: dict[str | None, int] = defaultdict(int)
    for bale in bales:
        found[bale.value("machine")] += bale.counts
    order = sorted(found, key=_null_last)
    return [{"machine": machine, "bales": found[machine]} for machine in order]


def _empty_line(key: tuple[Any, ...]) -> dict[str, Any]:
    names = ("job", "source", "machine", "day")
    tallies = {"bales": 0, "burst": 0, "tests": 0, "rewrapped": 0, "mass_g": None, "weighed": 0}
    return {**dict(zip(names, key, strict=True)), **tallies}


def _day(at_us: int | None, zone: str) -> int | None:
    if at_us is None:
        return None
    ahead_us = 0
    if at_us >= -_DAY_US:  # an older clock is a mad one: it keeps UTC
        at = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(microseconds=at_us)
        ahead = at.astimezone(ZoneInfo(zone)).utcoffset() or timedelta(0)
        ahead_us = ahead // timedelta(microseconds=1)
    return (at_us + ahead_us) // _DAY_US


def _order(line: Mapping[str, Any]) -> Any:
    return tuple(_null_last(line[name]) for name in ("machine", "day", "job", "source"))


def _null_last(value: Any) -> Any:
    """Text in the order of its code points, which is that of its UTF-8 bytes; unknown last."""
    return (value is None, "" if value is None else value)
