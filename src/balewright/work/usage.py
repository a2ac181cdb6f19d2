"""How much a machine has worked, in all and since each service item was last done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.plan.machine import Machine, ServiceItem
from balewright.quantities.interval import Interval
from balewright.quantities.si import MICROSECONDS_PER_S, S_PER_H
from balewright.records.bales import BaleTable
from balewright.records.columns import CHAMBER_PHASES, WRAPPER_PHASES
from balewright.records.events import Event, EventKind

GREASE_CARTRIDGE: Final = "grease-cartridge"
KNIVES_TURNED: Final = "knives-turned"
STOPPED_S: Final = 900.0
"""A longer pause between two bales is no working time: `assumed`."""
RECENT_WEEKS: Final = 4
_DAY_US: Final = 86_400 * MICROSECONDS_PER_S
_SETTLES: Final = {
    EventKind.SERVICED, EventKind.CARTRIDGE_CHANGED, EventKind.KNIVES_TURNED,
    EventKind.PART_REPLACED,
}  # fmt: skip


@dataclass(frozen=True)
class ItemUsage:
    """Work since one item was last done. done_us, done_bale: when, None where no event tells;
    bales, hours: since then, or since the machine's first bale where no event is known.
    """

    item: ServiceItem
    is_known: bool
    done_us: int | None
    done_bale: int | None
    bales: int
    hours: float


@dataclass(frozen=True)
class Usage:
    """One machine's work. latest_bale: its newest number; bales, hours: as far as recorded;
    daily_bales, daily_hours: a calendar day's work over the last weeks (least, mean and most of
    the weeks), None with less than a week of records.
    """

    machine: str
    latest_bale: int | None
    latest_us: int | None
    bales: int
    hours: float
    daily_bales: Interval | None
    daily_hours: Interval | None
    items: tuple[ItemUsage, ...]


@dataclass(frozen=True, eq=False)
class _Worked:
    bales: BaleTable
    made: NDArray[np.int64]
    hours: NDArray[np.float64]


def service_items(machine: Machine) -> tuple[ServiceItem, ...]:
    """The profile's items; the grease cartridge too where only its size is given."""
    named = {item.key for item in machine.service}
    cartridge = machine.grease_cartridge_bales
    if cartridge is None or GREASE_CARTRIDGE in named:
        return machine.service
    added = ServiceItem(GREASE_CARTRIDGE, cartridge, None, 10.0, "caution.stop_and_lock")
    return (added, *machine.service)


def read_usage(
    serial: str, machine: Machine, bales: BaleTable, events: Sequence[Event], now_us: int
) -> Usage:
    """Usage of one machine from all of its bales and events.

    bales: in the order they were made; now_us: the present, UTC microseconds. Bales without a
    time count as bales, not as hours.
    """
    made = _made_us(bales)
    hours = _hours(made)
    numbers, numbered = bales.column("bale_no"), bales.mask("bale_no")
    latest = int(numbers[np.flatnonzero(numbered)[-1]]) if numbered.any() else None
    timed = made[made >= 0]
    worked = _Worked(bales, made, hours)
    items = tuple(
        _since(item, machine, worked, _last_done(item, events)) for item in service_items(machine)
    )
    return Usage(
        machine=serial,
        latest_bale=latest,
        latest_us=int(timed.max()) if len(timed) else None,
        bales=bales.rows,
        hours=float(hours.sum()),
        daily_bales=_a_day(made, np.ones(bales.rows), now_us),
        daily_hours=_a_day(made, hours, now_us),
        items=items,
    )


def _made_us(bales: BaleTable) -> NDArray[np.int64]:
    """Latest known time of each bale, -1 where none is."""
    made = np.full(bales.rows, -1, dtype=np.int64)
    for name in (*CHAMBER_PHASES, *WRAPPER_PHASES):
        made = np.where(bales.mask(name), np.maximum(made, bales.column(name)), made)
    return made


def _hours(made: NDArray[np.int64]) -> NDArray[np.float64]:
    """Working hours that each bale stands for: the gap to the one before, no pauses."""
    gap_s = np.diff(made, prepend=made[:1]) / MICROSECONDS_PER_S
    known = (made >= 0) & (np.concatenate([made[:1], made[:-1]]) >= 0)
    working = known & (gap_s >= 0) & (gap_s <= STOPPED_S)
    return np.where(working, gap_s, 0.0) / S_PER_H


def _last_done(item: ServiceItem, events: Sequence[Event]) -> Event | None:
    done = [event for event in events if event.kind in _SETTLES and _names(event, item.key)]
    return max(done, key=lambda event: (event.at_us or -1, event.bale_no or -1), default=None)


def _names(event: Event, key: str) -> bool:
    if event.item:
        return event.item == key
    usual = {EventKind.CARTRIDGE_CHANGED: GREASE_CARTRIDGE, EventKind.KNIVES_TURNED: KNIVES_TURNED}
    return usual.get(event.kind) == key


def _since(item: ServiceItem, machine: Machine, worked: _Worked, done: Event | None) -> ItemUsage:
    bales, made, hours = worked.bales, worked.made, worked.hours
    numbers = np.where(bales.mask("bale_no"), bales.column("bale_no"), -1)
    if done is None:
        in_life = machine.counter.lifetime and bool((numbers >= 0).any())
        count = max(bales.rows, int(numbers[-1])) if in_life and bales.rows else bales.rows
        return ItemUsage(item, False, None, None, count, float(hours.sum()))
    if done.at_us is not None and (made >= 0).any():
        after = made >= done.at_us
    elif done.bale_no is not None:
        after = numbers >= done.bale_no
    else:
        after = np.ones(bales.rows, dtype=np.bool_)
    own = numbers[after & (numbers >= 0)]
    rising = len(own) > 0 and bool((np.diff(own) >= 0).all())
    by_number = 0
    if rising and machine.counter.lifetime:
        # bales made before the records begin are bales too: the number knows of them
        first = int(own[0]) if done.bale_no is None else min(done.bale_no, int(own[0]))
        by_number = int(own[-1]) - first + 1
    count = max(int(np.count_nonzero(after)), by_number)
    return ItemUsage(item, True, done.at_us, done.bale_no, count, float(hours[after].sum()))


def _a_day(made: NDArray[np.int64], amount: NDArray[np.float64], now_us: int) -> Interval | None:
    """Work a calendar day over the last weeks: least, mean and most of them."""
    timed = (made >= 0) & (made <= now_us)
    if not timed.any() or made[timed].max() - made[timed].min() < 6 * _DAY_US:
        return None
    end = min(now_us, int(made[timed].max()) + 7 * _DAY_US)
    weeks = []
    for back in range(RECENT_WEEKS):
        until = end - back * 7 * _DAY_US
        since = until - 7 * _DAY_US
        if until <= made[timed].min():
            break
        weeks.append(float(amount[timed & (made >= since) & (made < until)].sum()) / 7.0)
    return Interval(min(weeks), float(np.mean(weeks)), max(weeks))
