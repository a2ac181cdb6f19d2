"""What falls due, from bales and events."""

from __future__ import annotations

import pytest

from balewright.plan.machine import Machine
from balewright.readers.profile import shipped_profiles
from balewright.records.bales import BaleTable, bale_table
from balewright.records.events import Event, EventKind
from balewright.words.say import say
from balewright.work.due import DueState, WorkDue, forecast_work
from balewright.work.usage import read_usage

DAY_US = 86_400_000_000
START_US = 1_900_000_000_000_000
A_DAY = 50


@pytest.fixture(scope="module")
def ring() -> Machine:
    """A shipped make: cartridge every 420 bales, knives every 1400, a filter every 240 h."""
    return shipped_profiles()["mossgrinder-m2"]


def steady(days: int, first_no: int = 1) -> BaleTable:
    """Fifty bales a day, one every 60 s, from nine in the morning."""
    times = [
        START_US + day * DAY_US + bale * 60_000_000 for day in range(days) for bale in range(A_DAY)
    ]
    return bale_table(
        len(times), {"bale_no": list(range(first_no, first_no + len(times))), "full_at": times}
    )


def due_for(machine: Machine, bales: BaleTable, *events: Event) -> dict[str, WorkDue]:
    """Items by key, at the end of the last day of 28."""
    now_us = START_US + 28 * DAY_US
    return {
        one.item: one
        for one in forecast_work(machine, read_usage("M", machine, bales, events, now_us))
    }


@pytest.mark.derived
def test_cartridge_falls_due_at_the_bale_its_size_says(ring: Machine) -> None:
    """Changed before bale 1001 of 1400 with a size of 420: 400 since, 20 left, due at 1420."""
    event = Event("M", EventKind.CARTRIDGE_CHANGED, 1001, START_US + 20 * DAY_US)
    due = due_for(ring, steady(28), event)["grease-cartridge"]
    assert (due.since, due.left, due.due_at_bale) == (400, 20, 1420)
    assert due.is_known
    assert due.due_days is not None
    assert due.due_days.best == pytest.approx(20 / A_DAY)
    assert due.state is DueState.SOON
    assert due.caution == "caution.stop_and_lock"


@pytest.mark.derived
def test_overdue_is_told_by_how_much(ring: Machine) -> None:
    """Changed before bale 901: 500 since, overdue by 80."""
    event = Event("M", EventKind.CARTRIDGE_CHANGED, 901, START_US + 18 * DAY_US)
    due = due_for(ring, steady(28), event)["grease-cartridge"]
    assert (due.left, due.state) == (-80, DueState.OVERDUE)
    assert say(due.words) == "grease cartridge: overdue by 80 bales (every 420)."


@pytest.mark.law
def test_without_an_event_nothing_is_claimed(ring: Machine) -> None:
    """An item never recorded as done is unknown, counted from the first bale, and says so."""
    due = due_for(ring, steady(28))["grease-cartridge"]
    assert (due.state, due.is_known, due.since) == (DueState.UNKNOWN, False, 1400)
    assert (due.due_at_bale, due.due_days) == (None, None)
    assert "no record" in say(due.words)


@pytest.mark.derived
def test_lifetime_numbers_count_bales_nobody_recorded(ring: Machine) -> None:
    """A machine at bale 5000 of its life with 1400 records counts 5000 where no event is known."""
    due = due_for(ring, steady(28, first_no=3601))["knives-turned"]
    assert due.since == 5000


@pytest.mark.derived
def test_bales_before_the_records_count_by_their_number(ring: Machine) -> None:
    """Knives turned before bale 3001, records from 3601 to 5000: 2000 bales since."""
    event = Event("M", EventKind.KNIVES_TURNED, 3001, START_US - DAY_US)
    due = due_for(ring, steady(28, first_no=3601), event)["knives-turned"]
    assert (due.since, due.left, due.state) == (2000, -600, DueState.OVERDUE)


@pytest.mark.derived
def test_hours_are_working_hours_without_pauses(ring: Machine) -> None:
    """28 days of 50 bales a minute apart: 49 minutes a day, 22.9 h; nights do not count."""
    event = Event("M", EventKind.SERVICED, None, START_US, "oil-filter")
    due = due_for(ring, steady(28), event)["oil-filter"]
    assert due.unit == "hours"
    assert due.since == pytest.approx(28 * 49 / 60)
    assert due.due_at_bale is None


@pytest.mark.derived
def test_an_uneven_pace_gives_an_interval(ring: Machine) -> None:
    """Weeks of 50 and of 0 bales a day: never a single day, and the latest end is held."""
    busy = steady(28)
    uneven = busy.take((busy.column("bale_no") <= 350) | (busy.column("bale_no") > 1050))
    event = Event("M", EventKind.CARTRIDGE_CHANGED, 1301, START_US + 26 * DAY_US)
    due = due_for(ring, uneven, event)["grease-cartridge"]
    assert due.due_days is not None
    assert due.due_days.low < due.due_days.best < due.due_days.high


@pytest.mark.law
def test_no_pace_no_day(ring: Machine) -> None:
    """With records of one day there is no pace and no day is promised."""
    event = Event("M", EventKind.CARTRIDGE_CHANGED, 1, START_US)
    due = due_for(ring, steady(1), event)["grease-cartridge"]
    assert (due.due_days, due.left) == (None, 370)


@pytest.mark.law
def test_most_urgent_comes_first(ring: Machine) -> None:
    """Overdue before soon before unknown before later."""
    events = (
        Event("M", EventKind.CARTRIDGE_CHANGED, 901, START_US + 18 * DAY_US),
        Event("M", EventKind.KNIVES_TURNED, 1301, START_US + 26 * DAY_US),
    )
    states = [one.state for one in forecast_work(ring, read_usage(
        "M", ring, steady(28), events, START_US + 28 * DAY_US))]  # fmt: skip
    assert states == sorted(states, key=list(DueState).index)
    assert states[0] is DueState.OVERDUE
    assert DueState.LATER in states
