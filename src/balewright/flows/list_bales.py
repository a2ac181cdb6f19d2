"""A machine's bales as a list, page by page, the newest first."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Final
from zoneinfo import ZoneInfo

import numpy as np

from balewright.flows.workplace import Workplace
from balewright.records.identity import BALE_TIMES, bale_times
from balewright.words.times import zone_named

_COLUMNS: Final = ("bale_no", "job", "status", "mass_kg", *BALE_TIMES)


@dataclass(frozen=True)
class BaleQuery:
    """Which bales; None for all. number: the machine's own; day: on its calendar; job: its word."""

    number: int | None = None
    day: date | None = None
    job: str | None = None


@dataclass(frozen=True)
class BaleLine:
    """One bale of the list. files: how many tell of it; differs: whether they contradict."""

    key: str
    number: int | None
    at_us: int | None
    job: str | None
    status: str | None
    mass_kg: float | None
    files: int
    differs: bool


@dataclass(frozen=True)
class BaleList:
    """A page of bales, the newest first. total: all that were asked for; jobs: words to choose."""

    lines: tuple[BaleLine, ...]
    total: int
    jobs: tuple[str, ...]


def list_bales(
    workplace: Workplace, machine: str, query: BaleQuery, first: int = 0, most: int = 50
) -> BaleList:
    """Bales of a machine. first: how many to leave out; most: at most so many after these."""
    kept = workplace.journal.read_keyed_bales(machine, _COLUMNS)
    bales = kept.bales
    times, timed = bale_times(bales)
    wanted = np.ones(bales.rows, dtype=np.bool_)
    if query.number is not None:
        wanted &= bales.mask("bale_no") & (bales.column("bale_no") == query.number)
    if query.job is not None:
        wanted &= bales.mask("job") & (bales.column("job") == query.job)
    if query.day is not None:
        entry = workplace.register.load_machine(machine)
        zone = zone_named("UTC" if entry is None else entry.zone)
        since, until = (_midnight_us(query.day + timedelta(days), zone) for days in (0, 1))
        wanted &= timed & (times >= since) & (times < until)
    rows = np.flatnonzero(wanted)[::-1]
    odd = {one.key for one in workplace.journal.read_conflicts(machine)}
    lines = tuple(
        BaleLine(
            key=kept.keys[row],
            number=bales.cell(row, "bale_no"),
            at_us=int(times[row]) if timed[row] else None,
            job=bales.cell(row, "job"),
            status=bales.cell(row, "status"),
            mass_kg=bales.cell(row, "mass_kg"),
            files=len(kept.sources[row].split()),
            differs=kept.keys[row] in odd,
        )
        for row in rows[first : first + most].tolist()
    )
    jobs = tuple(sorted(set(bales.column("job")[bales.mask("job")].tolist())))
    return BaleList(lines, len(rows), jobs)


def _midnight_us(day: date, zone: ZoneInfo) -> int:
    begins = datetime.combine(day, time(), zone).astimezone(UTC)
    return (begins - datetime(1970, 1, 1, tzinfo=UTC)) // timedelta(microseconds=1)
