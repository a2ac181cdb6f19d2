"""Find one bale by what people call it, with where each of its values comes from."""

from __future__ import annotations

import re

from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.records.traced import TracedBale

_SHOWN = 5


def find_bale(workplace: Workplace, machine: str, named: str) -> TracedBale:
    """One bale of a machine.

    named: its key (`records.bale_keys`), or its number where only one bale has that. Raises
    BadInput for a machine without bales, a bale nobody recorded, or a number of several.
    """
    found = workplace.journal.read_bale(machine, name_bale(workplace, machine, named))
    if found is None:
        raise BadInput(_unknown(machine, named))
    return found


def name_bale(workplace: Workplace, machine: str, named: str) -> str:
    """The key of the bale that people call so. Raises BadInput as `find_bale` does."""
    names = workplace.journal.read_names(machine)
    if not names.answers:
        need, cure = "a machine with bales in the journal", "Check the serial."
        raise BadInput(Fault("machine", need, repr(machine), cure))
    if named in names.answers:
        return named
    if re.fullmatch(r"[0-9]{1,18}", named):
        keys = names.numbers.get(int(named), ())
        # A pass over the wrapper is of the bale; asked for by number, the bale is meant.
        made = tuple(key for key in keys if not key.endswith("-w")) or keys
        if len(made) == 1:
            return made[0]
        if made:
            shown = ", ".join(made[:_SHOWN]) + (" ..." if len(made) > _SHOWN else "")
            cure = f"Give one of the keys: {shown}."
            given = f"{len(made)} bales of number {named}"
            raise BadInput(Fault(machine, "a number of one bale", given, cure))
    if named in names.keys:
        return names.keys[named]
    raise BadInput(_unknown(machine, named))


def _unknown(machine: str, named: str) -> Fault:
    need = "a bale's number or key"
    cure = f"List its bales: balewright bale {machine}."
    return Fault(machine, need, repr(named), cure)
