"""For whom a sheet is made: machines of the fleet, or any machine of a make."""

from __future__ import annotations

from typing import Final

from balewright.desk.sheet.forms import SheetForm
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.make_sheet import SheetRequest

FLEET: Final = "machine:"
MAKE: Final = "make:"


def machine_choices() -> list[tuple[str, list[tuple[str, str]]]]:
    """Machines of the fleet first, then makes for a machine that is not in the register."""
    workplace = the_workplace()
    fleet = [
        (f"{FLEET}{entry.serial}", f"{entry.name} ({entry.serial})")
        for entry in workplace.register.load_machines()
    ]
    makes = [(f"{MAKE}{key}", machine.title) for key, machine in workplace.profiles.items()]
    groups = [(words("sheet.of_fleet"), fleet), (words("sheet.of_make"), makes)]
    return [group for group in groups if group[1]]


def request_of(form: SheetForm) -> SheetRequest:
    """What a filled form asks for; only after `is_valid()`."""
    chosen = form.cleaned_data["machine"]
    serial = chosen.removeprefix(FLEET) if chosen.startswith(FLEET) else None
    key = chosen.removeprefix(MAKE) if chosen.startswith(MAKE) else None
    return SheetRequest(serial=serial, profile_key=key, conditions=form.conditions())
