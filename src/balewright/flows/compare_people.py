"""Drivers compared, where a manager said for what: off until then, and nothing of them is read.

A driver is held only against others on the same machine in the same job, so that neither the
machine nor the field speaks for them. What one alone drove says nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final

import numpy as np

from balewright.findings.rolls_compared import RollCompared, RollUse, compare_rolls
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.records.bales import BaleTable
from balewright.store.entries import AccessEntry

PEOPLE: Final = "people.compared"
"""Key of the house rule; its body says `is_on` and `purpose`."""
LONGEST_PURPOSE: Final = 300
COUNTED: Final = ("film_breaks", "binding_tries", "overloads")
"""What is compared: how often film breaks, binding needs another try, the overload trips."""
_COLUMNS: Final = ("machine", "job", "operator", "film1_breaks", "film2_breaks", *COUNTED)


@dataclass(frozen=True)
class PeopleRule:
    """purpose: what for; set_at, set_by: when and by whom, None for the command line."""

    purpose: str
    set_at: datetime
    set_by: str | None


def people_rule(workplace: Workplace) -> PeopleRule | None:
    """The rule in force, None where comparing people is off, as it is until somebody sets it."""
    kept = workplace.register.load_rule(PEOPLE)
    if kept is None or not kept.body["is_on"]:
        return None
    return PeopleRule(str(kept.body["purpose"]), kept.set_at, kept.set_by)


def allow_people(workplace: Workplace, purpose: str, by: str | None) -> None:
    """Switch it on, for a purpose shown beside every figure. Raises BadInput without one."""
    said = purpose.strip()
    if not 0 < len(said) <= LONGEST_PURPOSE:
        given = "nothing" if not said else f"{len(said)} characters"
        cure = "Say what it is for, as you would to those it is about."
        raise BadInput(Fault("purpose", f"1 to {LONGEST_PURPOSE} characters", given, cure))
    body = {"is_on": True, "purpose": said}
    workplace.register.save_rule(PEOPLE, body, workplace.clock(), by)


def forbid_people(workplace: Workplace, by: str | None) -> None:
    """Switch it off again."""
    workplace.register.save_rule(PEOPLE, {"is_on": False, "purpose": ""}, workplace.clock(), by)


def compare_people(
    workplace: Workplace, by: str | None
) -> dict[str, tuple[RollCompared, ...]] | None:
    """By what is counted, each driver against the others on the same machine and job; None while
    it is off: then no name and no figure is read. That somebody looked is noted.
    """
    if people_rule(workplace) is None:
        return None
    register = workplace.register
    register.note_access(AccessEntry(workplace.clock(), by, "compare people", "operators"))
    uses: dict[str, list[RollUse]] = {name: [] for name in COUNTED}
    entries = register.load_machines()
    for done, entry in enumerate(entries):
        workplace.progress("reading", done, len(entries))
        bales = workplace.journal.read_bales(entry.serial, list(_COLUMNS))
        for name in COUNTED:
            uses[name] += _uses(entry.serial, bales, name)
    workplace.progress("reading", len(entries), len(entries))
    return {name: compare_rolls(some) for name, some in uses.items()}


def _uses(serial: str, bales: BaleTable, name: str) -> list[RollUse]:
    counts = _counts(bales, name)
    known = np.isfinite(counts) & bales.mask("operator") & bales.mask("job")
    jobs, drivers = bales.column("job"), bales.column("operator")
    told: dict[tuple[str, str], list[int]] = {}
    for row in np.flatnonzero(known).tolist():
        cell = told.setdefault((str(jobs[row]), str(drivers[row])), [0, 0])
        cell[0] += 1
        cell[1] += int(counts[row])
    return [
        RollUse(f"{serial} {job}", driver, made, happened)
        for (job, driver), (made, happened) in sorted(told.items())
    ]


def _counts(bales: BaleTable, name: str) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    counts = bales.floats(name)
    if name == "binding_tries":
        return np.maximum(counts - 1.0, 0.0)
    if name == "film_breaks" and not np.isfinite(counts).any():
        return bales.floats("film1_breaks") + bales.floats("film2_breaks")
    return counts
