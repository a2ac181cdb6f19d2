"""Takes values out of the tables of a profile and keeps every fault it meets."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeAlias, TypeVar

from balewright.plan.profile.forms import Key, Unfit, nearest
from balewright.plan.profile.keys import Section
from balewright.quantities.errors import Fault

T = TypeVar("T")
Table: TypeAlias = Mapping[str, object]


class Reading:
    """Takes values out of tables and keeps the faults it meets."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.faults: list[Fault] = []
        self._places: list[str] = []

    def fault(self, place: str, need: str, given: str, cure: str) -> None:
        """Keep one fault."""
        self._places.append(place)
        self.faults.append(Fault(f"{self.file}: {place}", need, given, cure))

    def is_clean(self, place: str) -> bool:
        """Whether no fault was met at a place or under it."""
        return not any(met == place or met.startswith(place + ".") for met in self._places)

    def faulty_sections(self) -> frozenset[str]:
        """The sections in which a fault was met so far."""
        return frozenset(place.replace("[", ".").split(".")[0] for place in self._places)

    def take(self, table: Table, where: str, key: Key[T]) -> T:
        """The value of a key that must be there; a stand-in after a fault."""
        taken = self.take_if_given(table, where, key)
        if taken is not None:
            return taken
        place = _dotted(where, key.name)
        self.fault(place, key.form.need, "nothing", f"Add {key.name}: {key.meaning}.")
        return key.form.stand_in

    def take_if_given(self, table: Table, where: str, key: Key[T]) -> T | None:
        """The value of a key, None when it is left out; a stand-in after a fault."""
        if key.name not in table:
            return None
        given = table[key.name]
        try:
            return key.form.read(given)
        except Unfit as cure:
            self.fault(_dotted(where, key.name), key.form.need, show(given), str(cure))
            return key.form.stand_in

    def table(self, given: object, where: str) -> Table | None:
        """A table, None after a fault."""
        if isinstance(given, Mapping):
            return given
        self.fault(where, f"a table [{where}]", show(given), f"Write it as [{where}].")
        return None

    def section(self, raw: Table, section: Section) -> Table | None:
        """The one table of a section with its unknown keys reported; None when left out."""
        if section.path not in raw:
            if not section.optional:
                need = f"a table [{section.path}]"
                self.fault(section.path, need, "nothing", f"Add it: {section.meaning}.")
            return None
        table = self.table(raw[section.path], section.path)
        if table is None:
            return None
        self.unknown(table, section.path, [key.name for key in section.keys])
        return table

    def sections(self, raw: Table, section: Section) -> list[tuple[str, Table]]:
        """(place, table) for every table of a repeated section."""
        given = raw.get(section.path, [])
        if not isinstance(given, list):
            self.fault(
                section.path,
                f"tables [[{section.path}]]",
                show(given),
                f"Write each one under its own [[{section.path}]], in double brackets.",
            )
            return []
        if not given and not section.optional:
            need = f"at least one table [[{section.path}]]"
            self.fault(section.path, need, "nothing", f"Add it: {section.meaning}.")
        found = []
        for number, entry in enumerate(given, start=1):
            where = f"{section.path}[{number}]"
            table = self.table(entry, where)
            if table is not None:
                self.unknown(table, where, [key.name for key in section.keys])
                found.append((where, table))
        return found

    def unknown(self, table: Table, where: str, known: list[str]) -> None:
        """One fault for each key that the schema does not have, with the nearest known name."""
        for given in table:
            if given not in known:
                near = nearest(given, known)
                cure = f"Did you mean {near}?" if near else "Take it out."
                self.fault(_dotted(where, given), "a key of the schema", repr(given), cure)


def _dotted(where: str, name: str) -> str:
    return f"{where}.{name}" if where else name


def show(given: object) -> str:
    """What was given, cut to a line."""
    said = repr(given)
    return said if len(said) <= 60 else said[:57] + "..."
