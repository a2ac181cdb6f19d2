"""Which columns a rehearsed machine writes, and which faults can show in them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Final

from balewright.plan.machine import Machine, MetresCounted, Sensor, Span
from balewright.records.columns import BY_NAME
from balewright.rehearsal.book import FAULT_BOOK
from balewright.rehearsal.faults import FaultKind
from balewright.rehearsal.notes import Needs

ALWAYS: Final = frozenset(
    {
        *("closed_at", "full_at", "bind_start_at", "bind_end_at", "gate_open_at", "on_wrapper_at"),
        *("wrap_start_at", "wrap_end_at", "tipped_at", "lat", "lon", "binding_tries", "bale_no"),
    }
)
"""What every control writes down; all others need a sensor in the profile."""
_WITH_MONITOR: Final = frozenset(
    {"film1_breaks", "film2_breaks", "film_breaks", "roll_lost", "roll_lost_turn", "rolls_on"}
)
_WRAPPING: Final = frozenset(
    {
        *("on_wrapper_at", "wrap_start_at", "wrap_end_at", "wrap_turns", "wrap_bale_turns"),
        *("wrap_rpm", "film_width_m", "film1_m", "film2_m", "film_m", "film_start_tries", "mode"),
    }
)
_OF_KNIVES: Final = frozenset({"knife_bar", "knives_in"})
_SECOND: Final = frozenset({"film2_m", "film2_breaks"})


def writes(machine: Machine, column: str, silent: frozenset[str] = frozenset()) -> bool:
    """Whether a rehearsed machine of this profile writes a column at all.

    silent: columns that this one machine does not record.
    """
    wrapper = machine.wrapper
    if column in silent or (wrapper is None and column in _WRAPPING | _WITH_MONITOR):
        return False
    if column in _SECOND and (wrapper is None or wrapper.dispensers < 2):
        return False
    if column in _OF_KNIVES and (machine.knives is None or not machine.knives.pressure_bar):
        return column == "knives_in" and machine.knives is not None and machine.senses(column)
    monitored = wrapper is not None and wrapper.break_monitor
    return column in ALWAYS or machine.senses(column) or (monitored and column in _WITH_MONITOR)


def has(machine: Machine, needs: Needs) -> bool:
    """Whether a machine has what a fault needs to be possible."""
    wrapper = machine.wrapper
    match needs:
        case Needs.WRAPPER:
            return wrapper is not None
        case Needs.KNIVES:
            return machine.knives is not None
        case Needs.GREASE:
            return any(item.key == "grease-cartridge" for item in machine.service)
        case Needs.STRETCH_SEEN:
            return wrapper is not None and wrapper.metres_counted is MetresCounted.BEFORE_STRETCH
        case Needs.ANYTHING:
            return True


def can_show(
    kind: FaultKind, machine: Machine, silent: frozenset[str] = frozenset(), dispenser: int = 1
) -> bool:
    """Whether a fault is possible on a machine and a column that shows it is recorded.

    silent: columns that this one machine does not record; dispenser: of a fault of one.
    A fault that shows in the events needs no column.
    """
    note = FAULT_BOOK[kind]
    if not has(machine, note.needs):
        return False
    other = f"film{3 - dispenser}_"
    ways = [way for way in note.ways if not any(column.startswith(other) for column in way)]
    return not note.ways or any(
        all(writes(machine, column, silent) for column in way) for way in ways
    )


def fit_sensors(machine: Machine, columns: Iterable[str]) -> Machine:
    """The same machine with more columns recorded: sensors that were fitted later.

    Raises KeyError for a column the bale table does not have.
    """
    more = []
    for name in columns:
        column = BY_NAME[name]
        if not machine.senses(name):
            more.append(Sensor(name, Span(column.low or 0.0, column.high or 0.0)))
    return replace(machine, sensors=(*machine.sensors, *more))
