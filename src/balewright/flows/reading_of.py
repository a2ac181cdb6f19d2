"""What the register knows that helps to read a file: whose it is, zones, saved column maps."""

from __future__ import annotations

from pathlib import Path

from balewright.flows.workplace import Workplace
from balewright.readers.mapped.map_text import read_map_file
from balewright.readers.reading import Reading
from balewright.records.column_map import ColumnMap

__all__ = ["Reading", "reading_by_file", "reading_of"]


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
        maps=_maps(workplace, map_key),
        map_key=map_key,
        machine=machine,
        profile=None if profile_key is None else workplace.profiles.get(profile_key),
        zones={each.serial: each.zone for each in entries},
    )


def reading_by_file(path: Path) -> Reading:
    """The context of reading a table by the map in a TOML or JSON file, without a register.

    Raises BadInput with what is wrong in it.
    """
    column_map = read_map_file(path)
    return Reading(maps=(column_map,), map_key=column_map.key)


def _maps(workplace: Workplace, map_key: str | None) -> tuple[ColumnMap, ...]:
    """The maps in use, and an older or withdrawn one that was asked for by its key."""
    maps = [entry.map for entry in workplace.register.load_maps()]
    asked = None if map_key is None else workplace.register.load_map(map_key)
    if asked is not None and asked.map not in maps:
        maps.append(asked.map)
    return tuple(maps)
