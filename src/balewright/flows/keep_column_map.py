"""Keep column maps: save a version, find one, withdraw a name, give and take them as files."""

from __future__ import annotations

from dataclasses import replace
from difflib import get_close_matches
from pathlib import Path

from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.readers.mapped.checking import check_map
from balewright.readers.mapped.map_text import (
    MOST_BYTES,
    headings_sha256,
    keyed,
    map_to_json,
    map_to_toml,
    read_map_file,
)
from balewright.records.column_map import ColumnMap
from balewright.store.entries import ColumnMapEntry

__all__ = ["MOST_BYTES", "ColumnMapEntry", "keep_column_map", "map_to_json"]


def keep_column_map(
    workplace: Workplace, column_map: ColumnMap, made_by: str | None = None
) -> ColumnMapEntry:
    """Save a map under its name: the newest version of that name from now on.

    made_by: who confirmed it, None for the command line. The same map again changes nothing.
    Raises BadInput with every fault of a map that cannot be used.
    """
    named = replace(column_map, name=" ".join(column_map.name.split()))
    check_map(named)
    kept = keyed(named)
    entry = ColumnMapEntry(kept, headings_sha256(kept), workplace.clock(), made_by)
    workplace.register.save_map(entry)
    return workplace.register.load_map(kept.key) or entry


def find_column_map(workplace: Workplace, wanted: str) -> ColumnMapEntry:
    """A map by its key, or the newest of a name. Raises BadInput where there is none."""
    entry = workplace.register.load_map(wanted)
    if entry is not None:
        return entry
    versions = workplace.register.load_map_versions(wanted)
    if versions:
        return versions[0]
    in_use = workplace.register.load_maps()
    known = [name for one in in_use for name in (one.map.key, one.map.name)]
    near = get_close_matches(wanted, known, 1)
    cure = f"Did you mean {near[0]}? " if near else ""
    need = "the key or name of a column map"
    listed = "`balewright columns list` shows them."
    raise BadInput(Fault("column map", need, repr(wanted), cure + listed))


def withdraw_column_map(workplace: Workplace, wanted: str) -> ColumnMapEntry:
    """Use a name's maps no more. Raises BadInput where there is none, or none in use."""
    entry = find_column_map(workplace, wanted)
    if not workplace.register.withdraw_map(entry.map.key, workplace.clock()):
        cure = "Nothing to do."
        raise BadInput(Fault("column map", "one that is in use", repr(wanted), cure))
    return find_column_map(workplace, entry.map.key)


def column_map_text(column_map: ColumnMap) -> str:
    """A map as TOML, to be given to somebody else."""
    return map_to_toml(column_map)


def import_column_map(
    workplace: Workplace, path: Path, made_by: str | None = None
) -> ColumnMapEntry:
    """Keep the map of a TOML or JSON file. Raises BadInput with what is wrong in it."""
    return keep_column_map(workplace, read_map_file(path), made_by)
