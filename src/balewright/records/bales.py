"""Bales as columns: values with a known-mask. Unknown is a mask bit, never a zero."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

import numpy as np
from numpy.typing import NDArray

from balewright.records.columns import BY_NAME, Kind

Values = NDArray[Any]
Mask = NDArray[np.bool_]

_DTYPE: Mapping[Kind, Any] = {
    Kind.TEXT: np.dtype(object),
    Kind.INT: np.dtype(np.int64),
    Kind.FLOAT: np.dtype(np.float64),
    Kind.TIME: np.dtype(np.int64),
}
_FILL: Mapping[Kind, Any] = {Kind.TEXT: "", Kind.INT: 0, Kind.FLOAT: 0.0, Kind.TIME: 0}


@dataclass(frozen=True, eq=False)
class BaleTable:
    """Some bales, in the order given.

    rows: how many; values: column name -> array of that length (text: object, int: int64,
    float: float64, time: int64 microseconds since 1970 UTC); known: column name -> bool array.
    Columns that are absent are unknown for every row. Arrays are read-only.
    """

    rows: int
    values: Mapping[str, Values]
    known: Mapping[str, Mask]

    def mask(self, name: str) -> Mask:
        """Where `name` is known, shape (rows,)."""
        if name in self.known:
            return self.known[name]
        _column_kind(name)
        return np.zeros(self.rows, dtype=np.bool_)

    def column(self, name: str) -> Values:
        """The stored values of `name`, shape (rows,); meaningless where the mask is False."""
        if name in self.values:
            return self.values[name]
        kind = _column_kind(name)
        return np.full(self.rows, _FILL[kind], dtype=_DTYPE[kind])

    def floats(self, name: str) -> NDArray[np.float64]:
        """A numeric column as float64 with NaN where unknown: for kernels only."""
        if _column_kind(name) is Kind.TEXT:
            raise TypeError(f"{name} is text")
        return np.where(self.mask(name), self.column(name).astype(np.float64), np.nan)

    def cell(self, row: int, name: str) -> Any:
        """One value as a plain Python value, None where unknown."""
        if not self.mask(name)[row]:
            return None
        value = self.column(name)[row]
        return value.item() if isinstance(value, np.generic) else value

    def has(self, name: str) -> bool:
        """Whether at least one row knows `name`."""
        return bool(self.mask(name).any())

    def take(self, rows: NDArray[Any]) -> BaleTable:
        """The rows that an index array or a bool mask picks, in its order."""
        values = {name: array[rows] for name, array in self.values.items()}
        known = {name: array[rows] for name, array in self.known.items()}
        count = int(np.count_nonzero(rows)) if rows.dtype == np.bool_ else len(rows)
        return _freeze(count, values, known)


def _column_kind(name: str) -> Kind:
    if name not in BY_NAME:
        raise KeyError(f"the bale table has no column {name!r}")
    return BY_NAME[name].kind


def _freeze(rows: int, values: dict[str, Values], known: dict[str, Mask]) -> BaleTable:
    for array in (*values.values(), *known.values()):
        array.flags.writeable = False
    return BaleTable(rows, MappingProxyType(values), MappingProxyType(known))


def bale_table(rows: int, columns: Mapping[str, Sequence[Any] | Values]) -> BaleTable:
    """Build a table from columns in which None, NaN (in floats) and "" (in text) mean unknown.

    columns: name -> sequence of length `rows`. Raises KeyError for a name the table does not
    have and ValueError for a wrong length. Values are not judged: readers do that.
    """
    values: dict[str, Values] = {}
    known: dict[str, Mask] = {}
    for name, given in columns.items():
        kind = _column_kind(name)
        if len(given) != rows:
            raise ValueError(f"{name} has {len(given)} values for {rows} rows")
        values[name], known[name] = fill_column(kind, given)
    return _freeze(rows, values, known)


def fill_column(kind: Kind, given: Sequence[Any] | Values) -> tuple[Values, Mask]:
    """One column's values and known mask from values in which None, NaN and "" mean unknown.

    Raises ValueError where a whole number is needed and another stands.
    """
    known = np.fromiter((_is_known(value) for value in given), dtype=np.bool_, count=len(given))
    filled = [value if ok else _FILL[kind] for value, ok in zip(given, known, strict=True)]
    if kind is Kind.TEXT:
        values = np.empty(len(filled), dtype=object)
        values[:] = [str(value) for value in filled]
        return values, known
    array = np.array(filled)
    if kind is not Kind.FLOAT and array.dtype.kind == "f" and (array != np.floor(array)).any():
        raise ValueError("a whole number is needed")
    return array.astype(_DTYPE[kind]), known


def masked_table(rows: int, values: Mapping[str, Values], known: Mapping[str, Mask]) -> BaleTable:
    """Build a table from arrays and masks that are already right; copies nothing but views."""
    for name, array in values.items():
        expected = _DTYPE[_column_kind(name)]
        if array.shape != (rows,) or array.dtype != expected or known[name].shape != (rows,):
            raise ValueError(f"{name}: needs shape ({rows},) and {expected}, got {array.dtype}")
    return _freeze(
        rows,
        {name: array.view() for name, array in values.items()},
        {name: known[name].view() for name in values},
    )


def concatenate(tables: Sequence[BaleTable]) -> BaleTable:
    """All rows one after the other; a column that some tables lack is unknown in their rows."""
    names = list(dict.fromkeys(name for table in tables for name in table.values))
    values = {name: np.concatenate([table.column(name) for table in tables]) for name in names}
    known = {name: np.concatenate([table.mask(name) for table in tables]) for name in names}
    return _freeze(sum(table.rows for table in tables), values, known)


def _is_known(value: Any) -> bool:
    return (
        value is not None and value != "" and not (isinstance(value, float) and math.isnan(value))
    )
