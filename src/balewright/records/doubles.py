"""A bale seen in two files is one row. Which file counts, and what the others add."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.records.bales import BaleTable, Mask, masked_table
from balewright.records.identity import Bales, Sources, Whole, tell_bales_apart

SAYS_HOW: Final = {
    "diameter_m": "diameter_how",
    "mass_kg": "mass_how",
    "moisture_frac": "moisture_how",
}
"""Said of another column: taken from the row that column was taken from, or not at all."""

SAID_OF: Final = {how: of for of, how in SAYS_HOW.items()}


@dataclass(frozen=True, eq=False)
class Choice:
    """Which rows stay, and who fills their gaps.

    group: as in Bales; stays: shape (rows,), rows that are kept; rank: row numbers by group, and
    within it the one that counts first; filled: shape (groups,), the row whose gaps others fill,
    -1 where nobody can say which row that is.
    """

    group: Whole
    stays: Mask
    rank: Whole
    filled: Whole


def choose_rows(told: Bales, sources: Sources) -> Choice:
    """The rows of the file that knows most of a bale stay; of equals that of the lower hash."""
    rank = np.lexsort((sources.row, sources.file, -sources.known_cells, told.group))
    best_file = np.zeros(len(told.counts), dtype=np.int64)
    best_file[told.group[rank[::-1]]] = sources.file[rank[::-1]]
    stays = sources.file == best_file[told.group]
    kept_rows = np.bincount(told.group[stays], minlength=len(told.counts))
    filled = np.full(len(told.counts), -1, dtype=np.int64)
    filled[told.group[stays]] = np.flatnonzero(stays)
    # Of a bale its own file gives twice, nobody can say which row another file's value is for.
    filled[kept_rows != 1] = -1
    return Choice(told.group, stays, rank.astype(np.int64), filled)


def first_of_each(group: Whole, rows: Whole) -> Whole:
    """The first row of each group, by group. rows: row numbers that stand by group."""
    at = group[rows]
    first = np.ones(len(rows), dtype=np.bool_)
    first[1:] = at[1:] != at[:-1]
    return rows[first]


def find_givers(choice: Choice, known: Mask) -> Whole:
    """The row that each row's value of a column is taken from: itself unless a gap is filled.

    known: where that column is known, shape (rows,). Only the answers of rows that stay matter.
    """
    givers = np.arange(len(known), dtype=np.int64)
    able = first_of_each(choice.group, choice.rank[(~choice.stays & known)[choice.rank]])
    group = choice.group[able]
    gap = choice.filled[group]
    open_ = (gap >= 0) & ~known[np.maximum(gap, 0)]
    givers[gap[open_]] = able[open_]
    return givers


def merge_doubles(bales: BaleTable, sources: Sources) -> BaleTable:
    """One row a bale: that of the file that knows most of it, its gaps filled from the others.

    Of two that know as much, the file of the lower hash counts. Rows that one file gives twice
    both stay: repeated numbers are the machine's, and findings tell them. Row order is kept.
    """
    choice = choose_rows(tell_bales_apart(bales, sources), sources)
    if bool(choice.stays.all()):
        return bales
    staying: NDArray[np.intp] = np.flatnonzero(choice.stays)
    values, known = {}, {}
    for name in bales.values:
        of = SAID_OF.get(name, name)
        givers = find_givers(choice, bales.mask(of if of in bales.values else name))[staying]
        values[name] = bales.values[name][givers]
        known[name] = bales.known[name][givers]
    return masked_table(len(staying), values, known)
