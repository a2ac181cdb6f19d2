"""Bales under a wrong job, over all machines, each with the split that is proposed."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from balewright.flows.known_machine import known_machine
from balewright.flows.workplace import Workplace
from balewright.records.bales import BaleTable
from balewright.records.fields.areas import Area, gather_areas
from balewright.records.fields.find_misplaced import find_misplaced
from balewright.records.fields.misplaced import JobPlace, JobPlaces, Misplaced
from balewright.records.identity import TELLING
from balewright.records.number_runs import NumberRun, number_runs
from balewright.store.entries import JobEntry, MachineEntry

_COLUMNS: Final = (*TELLING, "job", "lat", "lon")


@dataclass(frozen=True)
class Split:
    """A proposal. key: of exactly these bales and this job, in words and addresses; bales: their
    keys; numbers: as runs; unnumbered: how many have none.
    """

    key: str
    entry: MachineEntry
    found: Misplaced
    bales: tuple[str, ...]
    numbers: tuple[NumberRun, ...]
    unnumbered: int


@dataclass(frozen=True)
class MisplacedTold:
    """splits: by machine and time; outlines: how many fields are drawn."""

    splits: tuple[Split, ...]
    outlines: int

    @property
    def bales(self) -> int:
        """Bales in all of them."""
        return sum(split.found.bales for split in self.splits)


def find_misplaced_bales(workplace: Workplace, serial: str | None = None) -> MisplacedTold:
    """Look for bales in another job's field, of one machine or of all that files speak of.

    Raises BadInput for a serial nothing is known of.
    """
    outlines = workplace.register.load_outlines()
    areas, places = gather_areas(outlines), job_places(workplace.register.load_jobs())
    if serial is not None:
        entries: tuple[MachineEntry, ...] = (known_machine(workplace, serial),)
    else:
        entries = _every_machine(workplace)
    splits: list[Split] = []
    for done, entry in enumerate(entries):
        workplace.progress("looking", done, len(entries))
        splits += splits_of(workplace, entry, areas, places)
    return MisplacedTold(tuple(splits), len(areas))


def _every_machine(workplace: Workplace) -> tuple[MachineEntry, ...]:
    """Machines of the register, then those that only files speak of: UTC and no profile."""
    entered = workplace.register.load_machines()
    known = {entry.serial for entry in entered}
    seen = {serial for taken in workplace.register.load_intakes() for serial in taken.machines}
    return (*entered, *(MachineEntry(serial, serial, "") for serial in sorted(seen - known)))


def splits_of(
    workplace: Workplace, entry: MachineEntry, areas: tuple[Area, ...], places: JobPlaces
) -> tuple[Split, ...]:
    """Proposals for one machine."""
    kept = workplace.journal.read_keyed_bales(entry.serial, _COLUMNS)
    found = find_misplaced(entry.serial, kept.bales, places, areas)
    return tuple(_split(entry, one, kept.bales, kept.keys) for one in found)


def _split(entry: MachineEntry, one: Misplaced, bales: BaleTable, keys: tuple[str, ...]) -> Split:
    named = tuple(keys[row] for row in one.rows)
    numbers = [bales.cell(row, "bale_no") for row in one.rows]
    known = [number for number in numbers if number is not None]
    text = "\n".join([entry.serial, one.job, *sorted(named)])
    key = hashlib.sha256(text.encode()).hexdigest()[:16]
    return Split(key, entry, one, named, number_runs(known), len(numbers) - len(known))


def job_places(entries: Iterable[JobEntry]) -> dict[str, JobPlace]:
    """Where each job is meant to be, by its word. A word that two files or people use for two
    fields says nothing."""
    by_word: dict[str, list[JobEntry]] = {}
    for entry in entries:
        by_word.setdefault(entry.job, []).append(entry)
    return {word: _agreed(said) for word, said in by_word.items()}


def _agreed(said: list[JobEntry]) -> JobPlace:
    found = []
    for name in ("field", "farm", "customer"):
        values = {getattr(entry, name) for entry in said} - {None}
        if len(values) > 1:
            return JobPlace()
        found.append(next(iter(values), None))
    return JobPlace(*found)
