"""A bale seen in two files is one row. Which file counts, and what the others add."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.records.bales import BaleTable, masked_table
from balewright.records.identity import Bales, Sources, tell_bales_apart

SAYS_HOW: Final = {
    "diameter_m": "diameter_how",
    "mass_kg": "mass_how",
    "moisture_frac": "moisture_how",
}
"""Said of another column: taken from the row that column was taken from, or not at all."""


def merge_doubles(bales: BaleTable, sources: Sources) -> BaleTable:
    """One row a bale: that of the file that knows most of it, its gaps filled from the others.

    Of two that know as much, the file of the lower hash counts. Rows that one file gives twice
    both stay: repeated numbers are the machine's, and findings tell them. Row order is kept.
    """
    told = tell_bales_apart(bales, sources)
    rank = _rank(sources, told)
    best_file = np.zeros(len(told.counts), dtype=np.int64)
    best_file[told.group[rank[::-1]]] = sources.file[rank[::-1]]
    stays = sources.file == best_file[told.group]
    if bool(stays.all()):
        return bales
    return _fill(bales, told, stays, rank).take(np.flatnonzero(stays))


def _rank(sources: Sources, told: Bales) -> NDArray[np.intp]:
    """Rows by group, within it the one that counts first."""
    return np.lexsort((sources.row, sources.file, -sources.known_cells, told.group))


def _fill(
    bales: BaleTable, told: Bales, stays: NDArray[np.bool_], rank: NDArray[np.intp]
) -> BaleTable:
    values = {name: array.copy() for name, array in bales.values.items()}
    known = {name: array.copy() for name, array in bales.known.items()}
    kept_rows = np.bincount(told.group[stays], minlength=len(told.counts))
    row_of = np.full(len(told.counts), -1, dtype=np.int64)
    row_of[told.group[stays]] = np.flatnonzero(stays)
    # Of a bale its own file gives twice, nobody can say which row another file's value is for.
    row_of[kept_rows != 1] = -1
    for name in values.keys() - set(SAYS_HOW.values()):
        together = [name, *(how for of, how in SAYS_HOW.items() if of == name and how in values)]
        for giver in rank[~stays[rank] & bales.mask(name)[rank]].tolist():
            row = row_of[told.group[giver]]
            if row < 0 or known[name][row]:
                continue
            for column in together:
                values[column][row] = bales.values[column][giver]
                known[column][row] = bales.known[column][giver]
    return masked_table(bales.rows, values, known)
