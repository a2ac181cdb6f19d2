"""Make a setup sheet for a machine of the register or for a make; keep it; find it again."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from balewright import __version__
from balewright.cards.issue import sheet_id as id_of
from balewright.cards.sheet_json import sheet_from_json, sheet_to_json
from balewright.flows.recorded_diameters import recorded_diameters
from balewright.flows.workplace import Workplace
from balewright.plan.machine import Machine
from balewright.plan.sheet.rules import plan_bale
from balewright.plan.sheet.sheet import Conditions, Sheet
from balewright.quantities.errors import BadInput, Fault
from balewright.store.entries import SheetEntry

_DECIMALS: Final = 4
"""A tenth of a millimetre: no diameter is measured better."""


@dataclass(frozen=True)
class SheetRequest:
    """For which machine, by its serial in the register or by its make's profile key (exactly one
    of the two), and for what conditions.
    """

    conditions: Conditions
    serial: str | None = None
    profile_key: str | None = None


def make_sheet(workplace: Workplace, request: SheetRequest) -> Sheet:
    """The sheet that is asked for; nothing is kept.

    Where nobody said how diameters differ and the machine of the register recorded it for five
    bales or more, they differ as they did, and the sheet says so.

    Raises BadInput for a machine or make that is not known here and for conditions that cannot
    be used.
    """
    machine = _machine(workplace, request)
    conditions, serial, seen = request.conditions, request.serial, None
    if serial is not None and conditions.diameter_spread_m is None:
        seen = recorded_diameters(workplace, serial)
    if seen is None:
        return plan_bale(machine, conditions, serial, __version__)
    spread_m = round(seen.deviation.best, _DECIMALS)
    conditions = replace(conditions, diameter_spread_m=spread_m)
    sheet = plan_bale(machine, conditions, serial, __version__)
    return replace(sheet, spread_bales=seen.readings)


def keep_sheet(workplace: Workplace, sheet: Sheet) -> str:
    """Keep a sheet for good and give its id; the same sheet has the same id and is kept once."""
    kept_as = id_of(sheet)
    entry = SheetEntry(
        id=kept_as,
        machine=sheet.machine_serial,
        profile_key=sheet.profile_key,
        made_at=workplace.clock(),
        json=sheet_to_json(sheet),
    )
    workplace.register.save_sheet(entry)
    return kept_as


def load_sheet(workplace: Workplace, sheet_id: str) -> Sheet:
    """A kept sheet, equal to the one that was kept. Raises BadInput when there is none."""
    entry = workplace.register.load_sheet(sheet_id)
    if entry is None:
        cure = "Check the id; it stands on the machine's page."
        raise BadInput(Fault("sheet", "the id of a kept sheet", repr(sheet_id), cure))
    return sheet_from_json(entry.json)


def _machine(workplace: Workplace, request: SheetRequest) -> Machine:
    if (request.serial is None) == (request.profile_key is None):
        given = "neither" if request.serial is None else "both"
        cure = "Name one of the two."
        raise BadInput(Fault("machine", "a machine's serial or a make's key", given, cure))
    key = request.profile_key
    if request.serial is not None:
        entry = workplace.register.load_machine(request.serial)
        if entry is None:
            cure = "Add the machine, or name its make instead."
            given = repr(request.serial)
            raise BadInput(Fault("machine", "a serial of the register", given, cure))
        key = entry.profile_key
    machine = workplace.profiles.get(key or "")
    if machine is None:
        known = ", ".join(sorted(workplace.profiles)) or "none"
        raise BadInput(Fault("profile", f"one of {known}", repr(key), "Name a known make."))
    return machine
