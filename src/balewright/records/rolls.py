"""Rolls of film and net, and which bales were wrapped or bound from each."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.records.bales import BaleTable, Mask
from balewright.records.events import Event, EventKind
from balewright.records.identity import bale_times

ROLLS: Final = (EventKind.FILM_ROLL_CHANGED, EventKind.NET_ROLL_CHANGED)

_ENDS: Final = {
    EventKind.FILM_ROLL_CHANGED: ("wrap_end_at", "tipped_at"),
    EventKind.NET_ROLL_CHANGED: ("bind_end_at", "gate_open_at"),
}
_BEGINS: Final = {
    EventKind.FILM_ROLL_CHANGED: "wrap_start_at",
    EventKind.NET_ROLL_CHANGED: "bind_start_at",
}


@dataclass(frozen=True)
class RollRange:
    """The bales between two changes of one roll.

    item: which roll, as the events name it; batch: None where nobody noted it, and before the
    first change; since_us, since_no: the change that put it on, None before the first; rows: of
    the bale table, by time; shared: how many of them the change fell into, so that the roll
    before has them too; metres_m: counted on it, None where no bale counts any; measured: bales
    that do; roll_m: length by the event; breaks: on this roll, None where none counts them; is_on:
    no later change is known; entered_late: more was counted on it than it holds, so a change in
    between was never told or told late.
    """

    machine: str
    kind: EventKind
    item: str
    batch: str | None
    since_us: int | None
    since_no: int | None
    rows: tuple[int, ...]
    shared: int
    metres_m: float | None
    measured: int
    roll_m: float | None
    breaks: int | None
    is_on: bool
    entered_late: bool

    @property
    def is_before_first(self) -> bool:
        """Whether nobody told when this roll was put on."""
        return self.since_us is None and self.since_no is None


@dataclass(frozen=True)
class RollAccount:
    """ranges: by kind, item and time; unplaced: changes whose bale and time nothing tells;
    untimed: rows without a time, which stand in no range."""

    ranges: tuple[RollRange, ...]
    unplaced: tuple[Event, ...]
    untimed: tuple[int, ...]


@dataclass(frozen=True, eq=False)
class _Used:
    """Rows by time that took from one roll, with when that began and ended."""

    rows: NDArray[np.intp]
    begins_us: NDArray[np.int64]
    ends_us: NDArray[np.int64]


@dataclass(frozen=True)
class _Roll:
    """Which roll; judge: whether its metres and its length can be held against each other."""

    machine: str
    kind: EventKind
    item: str
    judge: bool


@dataclass(frozen=True)
class _Change:
    """at: place of the first bale of the new roll; shared: whether it took from the old one too."""

    at: int
    shared: bool
    event: Event


def plain_name(name: str) -> str:
    """A roll's or a batch's name so that small slips of the pen do not part it."""
    return " ".join(name.casefold().split())


def account_rolls(
    machine: str, bales: BaleTable, events: Iterable[Event], film_before_stretch: bool | None = None
) -> RollAccount:
    """Which bales each roll wrapped or bound.

    bales: of that machine, one row a bale, passes over the wrapper too (they take film), in any
    order; events: its own, in any order, entered at any later time: what counts is the bale a
    change names, else its time. film_before_stretch: whether film metres are counted as they come
    off the roll, None where nobody knows: then no roll of film is called entered late.
    """
    told = [event for event in events if event.kind in ROLLS]
    rolls = sorted({(event.kind, plain_name(event.item)) for event in told})
    ranges: list[RollRange] = []
    unplaced: list[Event] = []
    for kind, item in rolls:
        own = [one for one in told if one.kind is kind and plain_name(one.item) == item]
        used = _used(bales, kind, item)
        placed = [(event, _place(event, bales, used)) for event in own]
        unplaced += [event for event, change in placed if change is None]
        changes = _join([change for _, change in placed if change is not None])
        judge = kind is EventKind.NET_ROLL_CHANGED or film_before_stretch is True
        roll = _Roll(machine, kind, min(one.item for one in own), judge)
        ranges += _ranges(bales, roll, used, changes)
    untimed = np.flatnonzero(~bale_times(bales)[1])
    return RollAccount(
        tuple(ranges), tuple(sorted(unplaced, key=repr)), tuple(untimed.tolist() if rolls else [])
    )


def _dispenser(item: str) -> str | None:
    """1 or 2, where the roll's name ends in it."""
    last = item.strip()[-1:]
    return last if last in ("1", "2") else None


def _takes(bales: BaleTable, kind: EventKind, item: str) -> Mask:
    """Which bales took from that roll: all that nothing speaks against."""
    if kind is EventKind.NET_ROLL_CHANGED:
        other = bales.mask("binding") & (bales.column("binding") != "net")
        return np.asarray(~other)
    off = bales.mask("mode") & (bales.column("mode") == "wrapper off")
    off |= bales.mask("wrap_turns") & (bales.column("wrap_turns") == 0)
    number = _dispenser(item)
    if number is not None:
        metres = f"film{number}_m"
        off |= bales.mask(metres) & (bales.column(metres) == 0)
    return np.asarray(~off)


def _used(bales: BaleTable, kind: EventKind, item: str) -> _Used:
    times, timed = bale_times(bales)
    ends, begins = times.copy(), np.full(bales.rows, np.iinfo(np.int64).max)
    for name in reversed(_ENDS[kind]):
        ends = np.where(bales.mask(name), bales.column(name), ends)
    began = bales.mask(_BEGINS[kind])
    begins = np.where(began, bales.column(_BEGINS[kind]), begins)
    rows = np.flatnonzero(timed & _takes(bales, kind, item))
    number = np.where(bales.mask("bale_no"), bales.column("bale_no"), -1)
    rows = rows[np.lexsort((number[rows], ends[rows], times[rows]))]
    return _Used(rows, begins[rows], ends[rows])


def _place(event: Event, bales: BaleTable, used: _Used) -> _Change | None:
    """Where a change falls among the bales; None where nothing says so."""
    numbers = np.where(bales.mask("bale_no"), bales.column("bale_no"), -1)[used.rows]
    if event.bale_no is not None:
        same = np.flatnonzero(numbers == event.bale_no)
        if len(same) == 1 or (len(same) > 1 and event.at_us is not None):
            far = np.abs(used.ends_us[same] - (event.at_us or 0))
            return _Change(int(same[far.argmin()]), False, event)
    if event.at_us is not None:
        at = int(np.argmax(np.append(used.ends_us > event.at_us, True)))
        shared = at < len(used.rows) and bool(used.begins_us[at] <= event.at_us)
        return _Change(at, shared, event)
    known = numbers[numbers >= 0]
    if event.bale_no is None or bool((np.diff(known) < 0).any()):
        return None
    above = np.flatnonzero(numbers >= event.bale_no)
    return _Change(int(above[0]) if len(above) else len(numbers), False, event)


def _join(changes: list[_Change]) -> list[_Change]:
    """Changes in order; two of one place of which one knows no batch, or both the same, are one."""
    ordered = sorted(changes, key=_order)
    joined: list[_Change] = []
    for change in ordered:
        last = joined[-1] if joined and joined[-1].at == change.at else None
        batches = {plain_name(one.event.batch) for one in (last, change) if one is not None} - {""}
        if last is None or len(batches) > 1:
            joined.append(change)
            continue
        one, other = last.event, change.event
        event = replace(
            one,
            batch=one.batch or other.batch,
            value=one.value if one.value is not None else other.value,
            at_us=one.at_us if one.at_us is not None else other.at_us,
            bale_no=one.bale_no if one.bale_no is not None else other.bale_no,
        )
        joined[-1] = _Change(last.at, last.shared and change.shared, event)
    return joined


def _order(change: _Change) -> tuple[int, int, bool, str, str]:
    event = change.event
    at_us = -1 if event.at_us is None else event.at_us
    return (change.at, at_us, not event.batch, plain_name(event.batch), repr(event))


def _ranges(bales: BaleTable, roll: _Roll, used: _Used, changes: list[_Change]) -> list[RollRange]:
    first = changes[0].at if changes else len(used.rows)
    starts: list[_Change | None] = [None, *changes] if first > 0 else [*changes]
    found = []
    for place, change in enumerate(starts):
        after = starts[place + 1] if place + 1 < len(starts) else None
        end = len(used.rows) if after is None else after.at + after.shared
        rows = used.rows[0 if change is None else change.at : end]
        event = None if change is None else change.event
        made = _range(bales, roll, rows, event)
        late = roll.judge and made.metres_m is not None and made.roll_m is not None
        found.append(
            replace(
                made,
                shared=int(change is not None and change.shared),
                is_on=after is None,
                entered_late=late and (made.metres_m or 0.0) > _SLACK * (made.roll_m or 0.0),
            )
        )
    return found


_SLACK: Final = 1.1
"""A metre counter may be a tenth out before a roll is called too short for its bales."""


def _range(bales: BaleTable, roll: _Roll, rows: NDArray[np.intp], event: Event | None) -> RollRange:
    number = _dispenser(roll.item)
    film = roll.kind is EventKind.FILM_ROLL_CHANGED
    column = ("binding_m" if not film else None) or (f"film{number}_m" if number else None)
    broken = f"film{number}_breaks" if film and number else None
    counted = rows[bales.mask(column)[rows]] if column else rows[:0]
    told = rows[bales.mask(broken)[rows]] if broken else rows[:0]
    return RollRange(
        machine=roll.machine,
        kind=roll.kind,
        item=roll.item,
        batch=(event.batch.strip() or None) if event else None,
        since_us=event.at_us if event else None,
        since_no=event.bale_no if event else None,
        rows=tuple(rows.tolist()),
        shared=0,
        metres_m=float(bales.column(column)[counted].sum()) if column and len(counted) else None,
        measured=len(counted),
        roll_m=event.value if event else None,
        breaks=int(bales.column(broken)[told].sum()) if broken and len(told) else None,
        is_on=False,
        entered_late=False,
    )
