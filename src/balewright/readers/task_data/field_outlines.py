"""Fields of a set of task data as outlines."""

from __future__ import annotations

from balewright.readers.task_data.result import TaskData
from balewright.records.outlines import Outline


def outlines_of(data: TaskData) -> tuple[Outline, ...]:
    """Every field the set draws, with its farm and customer by name; fields without a boundary
    are left out, and parts of one name, farm and customer are one outline."""
    farms = {farm.key: farm for farm in data.farms}
    customers = {party.key: party.name for party in data.customers}
    found: dict[tuple[str, str | None, str | None], Outline] = {}
    for field in data.fields:
        if not field.rings:
            continue
        farm = farms.get(field.farm)
        owner = field.customer or (farm.customer if farm is not None else "")
        name = field.name or field.key
        key = (name, (farm.name if farm else "") or None, customers.get(owner) or None)
        rings = (*(found[key].rings if key in found else ()), *field.rings)
        found[key] = Outline(name, rings, key[1], key[2])
    return tuple(found.values())
