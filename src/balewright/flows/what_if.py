"""One condition of a job changed: the sheet before and after, and what it does to the bale."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from balewright.flows.look_ahead import look_ahead
from balewright.flows.outlook import Asked
from balewright.flows.set_beside import Beside, beside_of
from balewright.plan.machine import Machine
from balewright.plan.sheet.change import Given, change_condition


def what_if(machine: Machine, asked: Asked, changes: Iterable[tuple[str, Given]]) -> Beside:
    """The job as asked beside the same job changed by (name, value) pairs, as
    `plan/sheet/change` takes them; both sheets are made by the rules of today.

    Raises BadInput for a change that is none and for conditions that cannot be used.
    """
    conditions = asked.conditions
    for name, value in changes:
        conditions = change_condition(conditions, name, value)
    before = look_ahead(machine, asked)
    return beside_of(before, look_ahead(machine, replace(asked, conditions=conditions)))
