"""What falls due on every machine, most urgent first."""

from __future__ import annotations

from typing import Final

from balewright.flows.workplace import Workplace
from balewright.quantities.si import MICROSECONDS_PER_S
from balewright.records.columns import CHAMBER_PHASES, WRAPPER_PHASES
from balewright.work.due import DueState, WorkDue, forecast_work
from balewright.work.usage import read_usage

_COLUMNS: Final = ("machine", "bale_no", "counter_epoch", *CHAMBER_PHASES, *WRAPPER_PHASES)
_RANK: Final = {state: place for place, state in enumerate(DueState)}


def list_due(workplace: Workplace, serial: str | None = None) -> tuple[WorkDue, ...]:
    """Work due on one machine, or on all of the register whose profile is known."""
    now_us = round(workplace.clock().timestamp() * MICROSECONDS_PER_S)
    due: list[WorkDue] = []
    for entry in workplace.register.load_machines():
        machine = workplace.profiles.get(entry.profile_key)
        if machine is None or serial not in (None, entry.serial):
            continue
        bales = workplace.journal.read_bales(entry.serial, columns=_COLUMNS)
        events = workplace.journal.read_events(entry.serial)
        due += forecast_work(machine, read_usage(entry.serial, machine, bales, events, now_us))
    return tuple(sorted(due, key=_urgency))


def _urgency(one: WorkDue) -> tuple[int, float, str, str]:
    return (_RANK[one.state], one.left / one.every, one.machine, one.item)
