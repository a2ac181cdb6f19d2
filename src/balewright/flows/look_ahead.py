"""Make the job out of a question: the machine's sheet, the bale, the film that goes on it."""

from __future__ import annotations

from balewright import __version__
from balewright.flows.look_at_sheet import look_at_sheet
from balewright.flows.outlook import Asked, Outlook
from balewright.plan.machine import Machine
from balewright.plan.sheet.rules import plan_bale
from balewright.quantities.checks import require_between
from balewright.quantities.errors import BadInput, Fault

_MOST_TURNS = 100.0


def look_ahead(machine: Machine, asked: Asked) -> Outlook:
    """The job that is asked about. Raises BadInput with every condition that cannot be used."""
    faults: list[Fault] = []
    for name, value, low, high in (
        ("diameter_m", asked.diameter_m, 0.6, 2.5),
        ("wrap_turns", asked.wrap_turns, 1.0, _MOST_TURNS),
    ):
        if value is not None:
            try:
                require_between(name, value, low, high)
            except BadInput as error:
                faults += error.faults
    try:
        sheet = plan_bale(machine, asked.conditions, None, __version__)
    except BadInput as error:
        faults += error.faults
    if faults:
        raise BadInput(*faults)
    return look_at_sheet(machine, sheet, asked)
