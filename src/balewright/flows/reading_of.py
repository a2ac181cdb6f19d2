"""What the register knows that helps to read a file: whose it is, zones, saved column maps."""

from __future__ import annotations

from balewright.flows.workplace import Workplace
from balewright.readers.reading import Reading


def reading_of(
    workplace: Workplace, machine: str | None = None, map_key: str | None = None
) -> Reading:
    """The context of one file's reading.

    machine: serial of the machine the file is of, where it cannot say so itself; map_key: the
    column map to use, None to find one by the headings.
    """
    entries = workplace.register.load_machines()
    profile_key = next((each.profile_key for each in entries if each.serial == machine), None)
    return Reading(
        map_key=map_key,
        machine=machine,
        profile=None if profile_key is None else workplace.profiles.get(profile_key),
        zones={each.serial: each.zone for each in entries},
    )
