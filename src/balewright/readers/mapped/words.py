"""Texts of other programs -> texts of the bale table: their words for our choices."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pyarrow as pa
from numpy.typing import NDArray

from balewright.readers.mapped.numbers import without_unknown
from balewright.readers.mapped.raw import NOT_A_TIME, RawColumn
from balewright.readers.mapped.workbook import cell_text, clock_said
from balewright.records.columns import Column


@dataclass(frozen=True)
class Texts:
    """values: object array of texts, "" where not known, shape (rows,); known, failed: masks."""

    values: NDArray[np.object_]
    known: NDArray[np.bool_]
    failed: NDArray[np.bool_]


def read_texts(
    column: RawColumn, target: Column, words: tuple[tuple[str, str], ...], unknown: tuple[str, ...]
) -> Texts:
    """Texts of a column; of one with choices, each by the map's words or ours, any letter case."""
    cells = as_text(column)
    known, cells = without_unknown(cells, unknown)
    coded = cells.fill_null("").dictionary_encode()
    places = np.array(coded.indices)
    distinct = coded.dictionary.to_pylist()
    ours = {theirs.strip().lower(): mine for theirs, mine in words}
    ours |= {choice: choice for choice in target.choices if choice not in ours}
    said = [ours.get(word.lower(), None if target.choices else word) for word in distinct]
    failed = np.array([one is None for one in said], dtype=np.bool_)
    values = np.array([one or "" for one in said], dtype=object)
    if not len(places):
        return Texts(np.array([], dtype=object), known, np.zeros(0, dtype=np.bool_))
    texts = np.where(known, values[places], "")
    known = known & (texts != "")  # a word can be mapped to "not known"
    return Texts(texts, known, failed[places] & np.array(cells.is_valid()))


def as_text(column: RawColumn) -> pa.StringArray:
    """Every cell as a person would write it; null where empty."""
    if column.numbers is None or column.local_us is None:
        return column.text
    texts = column.text.to_pylist()
    for row in np.flatnonzero(~np.isnan(column.numbers)).tolist():
        texts[row] = cell_text(float(column.numbers[row]))
    for row in np.flatnonzero(column.local_us != NOT_A_TIME).tolist():
        texts[row] = clock_said(int(column.local_us[row]))
    return pa.array(texts, pa.string())
