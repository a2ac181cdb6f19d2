"""A machine's lifetime bales: by its counters' marks, and by the swaps of controls people told."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from balewright.findings.finding import FindingKind
from balewright.flows.workplace import Workplace
from balewright.records.bales import BaleTable
from balewright.records.counts.account import LifetimeCount, account_for, lifetime_by_marks
from balewright.records.events import Event, EventKind
from balewright.records.identity import TELLING
from balewright.store.told_events import machines_with_swaps


def swapped_machines(workplace: Workplace) -> frozenset[str]:
    """Machines of which somebody told a swapped control."""
    return machines_with_swaps(workplace.journal)


def fallen_machines(workplace: Workplace) -> frozenset[str]:
    """Machines whose numbers fell within one epoch, by what was found when last looked at."""
    return frozenset(
        one.machine
        for one in workplace.register.load_findings()
        if one.kind is FindingKind.COUNTER_CHANGED
        and "counter_epoch" not in one.evidence
        and not one.words.key.endswith("leapt")
    )


def lifetime_of(
    workplace: Workplace,
    serial: str,
    counted: int,
    swapped: frozenset[str],
    fallen: frozenset[str],
) -> LifetimeCount:
    """Lifetime bales by numbers, None where the machine gives none; by marks that only rise.

    counted: its distinct bales in the journal; swapped, fallen: from `swapped_machines` and
    `fallen_machines`. Where a swap was told its bales are looked through, as in its account.
    """
    spans = workplace.register.load_spans(serial).get(serial, ())
    by_marks = lifetime_by_marks(spans, counted, serial in fallen)
    if by_marks.bales is None or serial not in swapped:
        return by_marks
    events = workplace.journal.read_events(serial)
    if not any(event.kind is EventKind.CONTROL_SWAPPED for event in events):
        return by_marks
    bales = workplace.journal.read_bales(serial, TELLING)
    return lifetime_in(workplace, serial, bales, events)


def lifetime_in(
    workplace: Workplace, serial: str, bales: BaleTable, events: Iterable[Event]
) -> LifetimeCount:
    """The same from the machine's bales and events that were read already, each fall seen. Where
    it gives no numbers: None.
    """
    marked = workplace.register.load_lifetime(serial)
    if marked is None:
        return LifetimeCount(None, False)
    return never_below(account_for(serial, bales, events).lifetime, marked)


def never_below(told: LifetimeCount, marked: int | None) -> LifetimeCount:
    """An account's lifetime, never below what the counters' marks say."""
    if marked is None or marked <= (told.bales or 0):
        return told
    return replace(told, bales=marked, at_least=True, why=told.why or ("more_recorded",))
