"""A machine's lifetime bales: by its counters' marks, and by the swaps of controls people told."""

from __future__ import annotations

from balewright.flows.workplace import Workplace
from balewright.records.counts.account import account_for
from balewright.records.identity import TELLING
from balewright.store.told_events import machines_with_swaps


def swapped_machines(workplace: Workplace) -> frozenset[str]:
    """Machines of which somebody told a swapped control."""
    return machines_with_swaps(workplace.journal)


def lifetime_of(
    workplace: Workplace, serial: str, swapped: frozenset[str] | None = None
) -> int | None:
    """Lifetime bales by numbers, None where the machine gives none.

    The counters' marks only rise; where a swap was told the numbers before and after it add up.
    swapped: from `swapped_machines`, where it is asked for many machines.
    """
    by_marks = workplace.register.load_lifetime(serial)
    if by_marks is None or (swapped is not None and serial not in swapped):
        return by_marks
    events = workplace.journal.read_events(serial)
    if not any(event.kind == "control swapped" for event in events):
        return by_marks
    bales = workplace.journal.read_bales(serial, TELLING)
    told = account_for(serial, bales, events).lifetime.bales
    return max(by_marks, told or 0)
