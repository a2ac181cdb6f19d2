"""A machine by its serial: of the register, or one that only files speak of."""

from __future__ import annotations

from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.store.entries import MachineEntry


def known_machine(workplace: Workplace, serial: str) -> MachineEntry:
    """The machine's entry; one of UTC and no profile where no one entered it but bales or events
    are kept of it. Raises BadInput where nothing is known of it at all."""
    entry = workplace.register.load_machine(serial)
    if entry is not None:
        return entry
    journal = workplace.journal
    if journal.read_bales(serial, ["machine"]).rows or journal.read_events(serial):
        return MachineEntry(serial, serial, "")
    cure = "Check the serial, or take a file of that machine in first."
    raise BadInput(Fault("machine", "a serial that is known here", repr(serial), cure))
