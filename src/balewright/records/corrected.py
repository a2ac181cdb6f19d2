"""What corrections change: which cells of which rows. The rows themselves stay as they were.

A correction names bales by their keys. It holds for every row of such a bale, also for rows that
are taken in later. What tells bales apart (number, epoch, times, status) is put right first; then
rows are told apart anew, so that a bale whose number was junk meets its double in another file.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import Final

import numpy as np

from balewright.records.bale_keys import row_keys, write_keys
from balewright.records.bales import BaleTable, Mask, masked_table
from balewright.records.corrections import Correction
from balewright.records.doubles import SAYS_HOW
from balewright.records.identity import (
    TELLING,
    Bales,
    Marks,
    Sources,
    Whole,
    read_marks,
    tell_bales_apart,
)

ENTERED: Final = "entered"
"""How a value is known that a person put right."""

Cell = str | int | float | None


@dataclass(frozen=True, eq=False)
class Overlay:
    """One column of some rows, put right. rows: shape (rows,)."""

    column: str
    value: Cell
    rows: Mask
    correction: Correction


@dataclass(frozen=True, eq=False)
class Corrected:
    """Rows told apart once corrections are laid over them.

    telling: the columns of TELLING, put right; marks, told: of these; overlays: every cell that
    changes, in the order in which they are laid, the later over the earlier.
    """

    telling: BaleTable
    marks: Marks
    told: Bales
    overlays: tuple[Overlay, ...]


def list_in_force(corrections: Sequence[Correction]) -> tuple[Correction, ...]:
    """Those that count, in their order: by time, of one time by key; withdrawn ones are gone."""
    gone = {one.withdraws for one in corrections if one.withdraws is not None}
    counts = [one for one in corrections if one.withdraws is None and one.key not in gone]
    return tuple(sorted(counts, key=lambda one: (one.at_us, one.key)))


def correct_rows(
    telling: BaleTable,
    sources: Sources,
    files: Sequence[str],
    corrections: Sequence[Correction],
) -> Corrected:
    """Lay corrections over rows and tell these apart.

    telling: at least the columns of TELLING; files: hash of each file by its number in `sources`;
    corrections: of any machines, withdrawn ones and all. A key that no row answers to changes
    nothing.
    """
    marks = read_marks(telling, sources)
    told = tell_bales_apart(telling, sources, marks)
    ordered = list_in_force(corrections)
    if not ordered:
        return Corrected(telling, marks, told, ())
    rows = _rows_of({one.machine for one in ordered}, telling)
    names = _Names(rows, telling)
    names.add(row_keys(_pick(marks, rows), _pick_sources(sources, rows), files))
    overlays: list[Overlay] = []
    for one in ordered:
        if one.column in TELLING:
            overlays += _lay(one, names.find(one), told.group)
    if overlays:
        telling = _apply(telling, overlays)
        marks = read_marks(telling, sources)
        told = tell_bales_apart(telling, sources, marks)
    epoch = marks.epoch[rows]
    names.add(write_keys(_pick(marks, rows), epoch, _pick_sources(sources, rows), files))
    for one in ordered:
        if one.column not in TELLING:
            overlays += _lay(one, names.find(one), told.group)
    return Corrected(telling, marks, told, tuple(overlays))


class _Names:
    """Rows by machine and key."""

    def __init__(self, rows: Whole, telling: BaleTable) -> None:
        self._rows = rows.tolist()
        self._machines = telling.column("machine")[rows].tolist()
        self._of: dict[tuple[str, str], list[int]] = {}

    def add(self, keys: Sequence[str]) -> None:
        for row, machine, key in zip(self._rows, self._machines, keys, strict=True):
            self._of.setdefault((machine, key), []).append(row)

    def find(self, one: Correction) -> list[int]:
        return [row for key in one.bales for row in self._of.get((one.machine, key), ())]


def _lay(one: Correction, rows: list[int], group: Whole) -> list[Overlay]:
    if not rows or one.column == "machine":
        return []
    hit = np.zeros(int(group.max()) + 1, dtype=np.bool_)
    hit[group[rows]] = True
    mask = hit[group]
    laid = [Overlay(one.column, one.value, mask, one)]
    if one.column in SAYS_HOW:
        how = ENTERED if one.value is not None else None
        laid.append(Overlay(SAYS_HOW[one.column], how, mask, one))
    return laid


def _apply(telling: BaleTable, overlays: Sequence[Overlay]) -> BaleTable:
    values = {name: telling.column(name) for name in TELLING}
    known = {name: telling.mask(name) for name in TELLING}
    for laid in overlays:
        column = values[laid.column].copy()
        if laid.value is not None:
            column[laid.rows] = laid.value
        values[laid.column] = column
        known[laid.column] = np.where(laid.rows, laid.value is not None, known[laid.column])
    return masked_table(telling.rows, values, known)


def _rows_of(machines: set[str], telling: BaleTable) -> Whole:
    named = telling.mask("machine").tolist()
    column = telling.column("machine").tolist()
    found = [
        row for row, (ok, name) in enumerate(zip(named, column, strict=True))
        if ok and name in machines
    ]  # fmt: skip
    return np.array(found, dtype=np.int64)


def _pick(marks: Marks, rows: Whole) -> Marks:
    return Marks(*(getattr(marks, field.name)[rows] for field in fields(marks)))


def _pick_sources(sources: Sources, rows: Whole) -> Sources:
    return Sources(sources.file[rows], sources.row[rows], sources.known_cells[rows])
