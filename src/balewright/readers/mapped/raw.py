"""Rows of another program's table before they are understood: cells as they stand, by column."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Final

import numpy as np
import pyarrow as pa
from numpy.typing import NDArray

NOT_A_TIME: Final = np.iinfo(np.int64).min
MAX_COLUMNS: Final = 1000
MAX_CELL_SIGNS: Final = 32_767
"""What a cell of a spreadsheet holds at most."""


@dataclass(frozen=True)
class RawColumn:
    """One column. text: null where a cell is empty or typed, shape (rows,).

    Of a spreadsheet also: numbers, NaN where a cell holds none; local_us: dates and times as
    clock microseconds since 1970, a time alone since midnight, NOT_A_TIME where a cell holds none.
    """

    text: pa.StringArray
    numbers: NDArray[np.float64] | None = None
    local_us: NDArray[np.int64] | None = None

    @property
    def filled(self) -> NDArray[np.bool_]:
        """Where anything stands, shape (rows,)."""
        known = np.array(self.text.is_valid().to_numpy(zero_copy_only=False), dtype=np.bool_)
        if self.numbers is not None and self.local_us is not None:
            known |= ~np.isnan(self.numbers) | (self.local_us != NOT_A_TIME)
        return known

    def take(self, rows: NDArray[np.int64]) -> RawColumn:
        """The cells at these places."""
        return RawColumn(
            self.text.take(pa.array(rows)),
            None if self.numbers is None else self.numbers[rows],
            None if self.local_us is None else self.local_us[rows],
        )


@dataclass(frozen=True)
class RawRows:
    """Some rows. places: line or row of each, from 1, shape (rows,); columns: in file order.

    refused: place -> (what stood there, why) of rows that are no rows of this table; failed:
    (place, column from 0) -> what a cell holds instead of a value, such as `C3: #N/A`; is_cut:
    whether the last row lacks its line end.
    """

    places: NDArray[np.int64]
    columns: tuple[RawColumn, ...]
    refused: dict[int, tuple[str, str]]
    failed: Mapping[tuple[int, int], str] = field(default_factory=lambda: MappingProxyType({}))
    is_cut: bool = False

    def take(self, rows: NDArray[np.int64]) -> RawRows:
        """The rows at these places of the arrays."""
        columns = tuple(column.take(rows) for column in self.columns)
        return RawRows(self.places[rows], columns, self.refused, self.failed, self.is_cut)
