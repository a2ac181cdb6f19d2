"""What a file holds of each machine: bales, numbers, days, jobs, and what is new.

Which rows are one bale is what `records.identity` says, here as in the journal.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Final
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from balewright.flows.take_in_overlap import Overlap, kept_for_overlap, tell_overlap
from balewright.records.bales import BaleTable
from balewright.records.counters import CounterSpan
from balewright.records.events import Event
from balewright.records.identity import bale_times
from balewright.records.text_codes import code_texts
from balewright.store.journal import Journal
from balewright.store.noted import MachineSeen, NumberSpan

FIRST_JOBS: Final = 20
MAX_MACHINES_NOTED: Final = 500
HELD_BALES: Final = 3_000_000
"""Bales of one file that are told from those of earlier files; of more it is not told."""

_DAY_US: Final = 86_400_000_000
_BLOCK_US: Final = 900_000_000
"""A quarter of an hour: no zone changes its offset or its day within one."""


@dataclass
class _Seen:
    bales: int = 0
    events: int = 0
    jobs: dict[str, None] = field(default_factory=dict)
    days: set[int] = field(default_factory=set)
    ends: list[int] = field(default_factory=list)
    rows: list[BaleTable] = field(default_factory=list)


@dataclass
class Machines:
    """Fills as a file is read. zones: IANA zone by serial; others keep UTC."""

    zones: Mapping[str, str]
    _seen: dict[str, _Seen] = field(default_factory=dict)
    _held: int = 0

    def add(self, bales: BaleTable, events: tuple[Event, ...]) -> None:
        """Take a batch into account; rows that name no machine have no part in it."""
        for event in events:
            self._of(event.machine).events += 1
        known = np.flatnonzero(bales.mask("machine"))
        if not len(known):
            return
        times, timed = bale_times(bales)
        jobs, told = bales.column("job"), bales.mask("job")
        telling = kept_for_overlap(bales)
        for serial, rows in _rows_of(bales.column("machine"), known).items():
            seen = self._of(serial)
            seen.bales += len(rows)
            moments = times[rows[timed[rows]]]
            if len(moments):
                seen.ends = [
                    min([*seen.ends, int(moments.min())]),
                    max([*seen.ends, int(moments.max())]),
                ]
                seen.days.update(_days(moments, ZoneInfo(self.zones.get(serial, "UTC"))))
            seen.jobs.update(dict.fromkeys(jobs[rows[told[rows]]].tolist()))
            self._hold(seen, telling.take(rows))

    def _of(self, serial: str) -> _Seen:
        return self._seen.setdefault(serial, _Seen())

    def _hold(self, seen: _Seen, table: BaleTable) -> None:
        self._held += table.rows
        if self._held > HELD_BALES:
            for one in self._seen.values():
                one.rows.clear()
        else:
            seen.rows.append(table)

    def tell(
        self, spans: Mapping[str, tuple[CounterSpan, ...]], journal: Journal
    ) -> tuple[MachineSeen, ...]:
        """Each machine by its serial. spans: of this file; journal: what earlier files had.

        Call it before the file is committed.
        """
        earlier = journal.register.load_spans()
        told = []
        for serial in sorted(self._seen)[:MAX_MACHINES_NOTED]:
            seen = self._seen[serial]
            own = spans.get(serial, ())
            overlap = Overlap()
            if self._held <= HELD_BALES:
                overlap = tell_overlap(journal, serial, seen.rows, (own, earlier.get(serial, ())))
            told.append(
                MachineSeen(
                    serial=serial,
                    bales=seen.bales,
                    events=seen.events,
                    numbers=tuple(
                        NumberSpan(span.epoch, span.lowest_no, span.highest_no) for span in own
                    ),
                    days=len(seen.days),
                    first_us=min(seen.ends, default=None),
                    last_us=max(seen.ends, default=None),
                    jobs=tuple(list(seen.jobs)[:FIRST_JOBS]),
                    jobs_more=max(0, len(seen.jobs) - FIRST_JOBS),
                    new=overlap.new,
                    known=overlap.known,
                    again=overlap.again,
                )
            )
        return tuple(told)

    @property
    def more(self) -> int:
        """Machines that are not told one by one."""
        return max(0, len(self._seen) - MAX_MACHINES_NOTED)


def _rows_of(
    machine: NDArray[np.object_], known: NDArray[np.int64]
) -> dict[str, NDArray[np.int64]]:
    of_row, names = code_texts(machine[known])
    order = np.argsort(of_row, kind="stable")
    edges = np.searchsorted(of_row[order], np.arange(len(names) + 1))
    return {name: known[order[edges[code] : edges[code + 1]]] for code, name in enumerate(names)}


def _days(moments: NDArray[np.int64], zone: ZoneInfo) -> set[int]:
    """The local days of some moments, as numbers."""
    days: set[int] = set()
    for day in np.unique(moments // _DAY_US).tolist():
        ends = _offset_us(day * _DAY_US, zone), _offset_us((day + 1) * _DAY_US, zone)
        inside = moments[moments // _DAY_US == day]
        if ends[0] == ends[1]:
            days.update(np.unique((inside + ends[0]) // _DAY_US).tolist())
        else:  # clocks were put on or back on this day
            blocks = np.unique(inside // _BLOCK_US).tolist()
            starts = [block * _BLOCK_US for block in blocks]
            days.update((start + _offset_us(start, zone)) // _DAY_US for start in starts)
    return days


def _offset_us(at_us: int, zone: ZoneInfo) -> int:
    offset = datetime.fromtimestamp(at_us // 1_000_000, UTC).astimezone(zone).utcoffset()
    return 0 if offset is None else int(offset.total_seconds()) * 1_000_000
