"""Tell that a control was swapped or reset between two bales, and take that back."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

import numpy as np

from balewright.flows.account_counts import account_counts
from balewright.flows.known_machine import known_machine
from balewright.flows.take_in_file import take_in_file
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.si import MICROSECONDS_PER_S
from balewright.readers.event_csv import write_event_csv
from balewright.records.bales import BaleTable
from balewright.records.counts.account import LifetimeCount
from balewright.records.counts.swaps import TAKEN_BACK
from balewright.records.events import Event, EventKind
from balewright.records.identity import REWRAPPED, TELLING, bale_times

_DAY_US: Final = 86_400 * MICROSECONDS_PER_S
_NAME: Final = "told of {serial} at {at:%Y-%m-%d %H%M%S}.csv"
NOTE_LENGTH: Final = 300


@dataclass(frozen=True)
class SwapTold:
    """What was told, and the lifetime bales before and after."""

    event: Event
    before: LifetimeCount
    after: LifetimeCount


@dataclass(frozen=True)
class SwapAsked:
    """last_no: the old control's last bale, first_no: the new one's first, which followed it;
    note: a person's words; by: who, None for the command line.
    """

    serial: str
    last_no: int
    first_no: int
    note: str = ""
    by: str | None = None


def tell_swap(workplace: Workplace, asked: SwapAsked) -> SwapTold:
    """Keep that the control was swapped between two bales, as an event beside the record.

    Raises BadInput where no bale of `first_no` follows one of `last_no`, or more than one does.
    """
    known_machine(workplace, asked.serial)
    at_us = _find_change(workplace.journal.read_bales(asked.serial, TELLING), asked)
    return _keep(workplace, asked, Event(
        machine=asked.serial, kind=EventKind.CONTROL_SWAPPED, bale_no=asked.first_no, at_us=at_us,
        value=_now_days(workplace), note=_note(asked),
    ))  # fmt: skip


def take_swap_back(
    workplace: Workplace, serial: str, at_us: int, by: str | None = None
) -> SwapTold:
    """Take back what was told of a swap at that time. Raises BadInput where none was told."""
    swaps = account_counts(workplace, serial).account.swaps.placed
    found = next((swap for swap in swaps if swap.at_us == at_us), None)
    if found is None:
        cure = "Look at the machine's counts again: somebody took it back meanwhile."
        raise BadInput(Fault("swap", "a swap that was told", "none at that time", cure))
    asked = SwapAsked(serial, 0, found.bale_no or 0, by=by)
    event = Event(
        machine=serial, kind=EventKind.CONTROL_SWAPPED, bale_no=found.bale_no, at_us=at_us,
        item=TAKEN_BACK, value=_now_days(workplace), note=_note(asked),
    )  # fmt: skip
    return _keep(workplace, asked, event)


def _keep(workplace: Workplace, asked: SwapAsked, event: Event) -> SwapTold:
    """Through the same door as any file, so that it can be traced like one."""
    before = account_counts(workplace, asked.serial).account.lifetime
    name = _NAME.format(serial=asked.serial.replace("/", "-"), at=workplace.clock())
    with TemporaryDirectory() as folder:
        path = Path(folder) / "told.csv"
        with path.open("w", encoding="utf-8", newline="") as stream:
            write_event_csv((event,), stream)
        take_in_file(workplace, path, name)
    return SwapTold(event, before, account_counts(workplace, asked.serial).account.lifetime)


def _find_change(bales: BaleTable, asked: SwapAsked) -> int:
    """When the first bale of the new control was made."""
    times, timed = bale_times(bales)
    passes = bales.mask("status") & (bales.column("status") == REWRAPPED)
    rows = np.flatnonzero(timed & bales.mask("bale_no") & ~passes)
    rows = rows[np.lexsort((bales.column("bale_no")[rows], times[rows]))]
    number = bales.column("bale_no")[rows]
    at = np.flatnonzero((number[:-1] == asked.last_no) & (number[1:] == asked.first_no)) + 1
    if len(at) == 1:
        return int(times[rows[at[0]]])
    place = f"{asked.serial}, bales {asked.last_no} and {asked.first_no}"
    need = "two bales that follow each other in time, at one place of the record"
    given = f"{len(at)} places where {asked.first_no} follows {asked.last_no}"
    cure = "Take the last number of the old control and the first of the new one from the counts."
    raise BadInput(Fault(place, need, given, cure))


def _now_days(workplace: Workplace) -> float:
    return round(workplace.clock().timestamp() * MICROSECONDS_PER_S) / _DAY_US


def _note(asked: SwapAsked) -> str:
    who = f"told by {asked.by}" if asked.by else "told on the command line"
    words = " ".join(asked.note.split())[:NOTE_LENGTH]
    return f"{who}: {words}" if words else who
