"""The bale and the film of a sheet that is there, as a question about them needs it."""

from __future__ import annotations

from balewright.findings.planned import PlannedBale
from balewright.flows.outlook import Asked, Outlook
from balewright.plan.film.layers import Bale
from balewright.plan.machine import Machine
from balewright.plan.sheet.sheet import Sheet


def look_at_sheet(machine: Machine, sheet: Sheet, asked: Asked | None = None) -> Outlook:
    """What the sheet sets, and what was asked over it; asked: its own conditions where None."""
    asked = asked or Asked(sheet.conditions)
    planned = PlannedBale("", sheet, machine)
    lays = planned.wrapper is not None
    return Outlook(
        asked=asked,
        machine=machine,
        sheet=sheet,
        bale=Bale(asked.diameter_m or planned.bale.diameter_m, planned.bale.length_m),
        wrap_turns=(asked.wrap_turns or planned.wrap_turns) if lays else None,
        need_layers=planned.need_layers if lays else None,
        strip_m=planned.strip_m(None) if lays else None,
    )
