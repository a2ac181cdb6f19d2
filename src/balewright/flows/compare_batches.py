"""Batches of film and net held against the rest, each machine against itself, over the fleet."""

from __future__ import annotations

from balewright.findings.rolls_compared import RollCompared, RollUse, compare_rolls, roll_uses
from balewright.flows.watch_bales import About
from balewright.flows.workplace import Workplace
from balewright.plan.machine import MetresCounted
from balewright.records.bales import BaleTable
from balewright.records.rolls import ROLLS, account_rolls


def batch_uses(about: About, bales: BaleTable) -> tuple[RollUse, ...]:
    """What each roll of one machine did, by its batch; nothing where nobody noted a batch."""
    changes = [one for one in about.events if one.kind in ROLLS]
    if not any(one.batch for one in changes):
        return ()
    wrapper = about.machine.wrapper
    before = None
    if wrapper is not None and wrapper.metres_counted is not None:
        before = wrapper.metres_counted is MetresCounted.BEFORE_STRETCH
    account = account_rolls(about.serial, bales, changes, before)
    return roll_uses(bales, account.ranges)


def compare_batches(workplace: Workplace) -> tuple[RollCompared, ...]:
    """Every batch against the rest on the same machines, worst first. Tells `progress`."""
    uses: list[RollUse] = []
    entries = workplace.register.load_machines()
    for place, entry in enumerate(entries):
        workplace.progress("reading", place, len(entries))
        machine = workplace.profiles.get(entry.profile_key)
        events = workplace.journal.read_events(entry.serial)
        if machine is None or not any(one.batch for one in events):
            continue
        about = About(entry.serial, machine, {}, events)
        uses += batch_uses(about, workplace.journal.read_bales(entry.serial))
    return compare_rolls(uses)
