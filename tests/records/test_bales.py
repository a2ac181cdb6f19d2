"""Bales as columns: unknown is a mask bit, rows keep together, arrays are read-only."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from balewright.records.bales import (
    BaleTable,
    bale_table,
    concatenate,
    fill_column,
    masked_table,
)
from balewright.records.columns import COLUMNS, Kind

CELLS: dict[Kind, st.SearchStrategy[Any]] = {
    Kind.TEXT: st.text(min_size=1, max_size=5),
    Kind.INT: st.integers(-(2**62), 2**62),
    Kind.FLOAT: st.floats(allow_nan=False),
    Kind.TIME: st.integers(0, 2**52),
}
Columns = dict[str, list[Any]]


@st.composite
def columns(draw: st.DrawFn) -> tuple[int, Columns]:
    """A number of rows and some columns of that length, cells known or None."""
    chosen = draw(st.lists(st.sampled_from(COLUMNS), max_size=5, unique=True))
    rows = draw(st.integers(0, 6))
    one = {
        column.name: draw(st.lists(st.none() | CELLS[column.kind], min_size=rows, max_size=rows))
        for column in chosen
    }
    return rows, one


def cells_of(table: BaleTable) -> list[dict[str, Any]]:
    """Rows as dicts of what is known."""
    rows = []
    for row in range(table.rows):
        cells = {column.name: table.cell(row, column.name) for column in COLUMNS}
        rows.append({name: value for name, value in cells.items() if value is not None})
    return rows


def rows_of(count: int, given: Columns) -> list[dict[str, Any]]:
    """The same from the columns themselves."""
    return [
        {name: cells[row] for name, cells in given.items() if cells[row] is not None}
        for row in range(count)
    ]


@pytest.mark.law
@given(given=columns())
def test_none_is_unknown_and_everything_else_comes_back(given: tuple[int, Columns]) -> None:
    """A cell is None exactly where None was given, and the same value elsewhere."""
    assert cells_of(bale_table(*given)) == rows_of(*given)


@pytest.mark.law
@given(given=columns())
def test_a_mask_says_where_values_are(given: tuple[int, Columns]) -> None:
    """Masks, `has` and NaN in kernels tell the same story for every column, given or not."""
    rows, cells = given
    table = bale_table(rows, cells)
    for column in COLUMNS:
        expected = [value is not None for value in cells.get(column.name, [None] * rows)]
        assert table.mask(column.name).tolist() == expected
        assert table.has(column.name) == any(expected)
        assert len(table.column(column.name)) == rows
        if column.kind is not Kind.TEXT:
            assert (~np.isnan(table.floats(column.name))).tolist() == expected


@pytest.mark.law
@given(given=columns(), data=st.data())
def test_taking_rows_is_taking_from_each_column(
    given: tuple[int, Columns], data: st.DataObject
) -> None:
    """An index array gives its rows in its order, a bool array the rows where it is true."""
    rows, cells = given
    table = bale_table(rows, cells)
    picked = data.draw(st.lists(st.integers(0, rows - 1), max_size=8)) if rows else []
    expected = rows_of(rows, cells)
    taken = table.take(np.array(picked, dtype=np.int64))
    assert cells_of(taken) == [expected[row] for row in picked]
    flags = np.array(data.draw(st.lists(st.booleans(), min_size=rows, max_size=rows)), dtype=bool)
    assert cells_of(table.take(flags)) == [expected[row] for row in np.flatnonzero(flags)]


@pytest.mark.law
@given(many=st.lists(columns(), max_size=4))
def test_concatenating_is_one_table_after_the_other(many: list[tuple[int, Columns]]) -> None:
    """All rows in order, with what a table lacked unknown; no tables give no rows."""
    whole = concatenate([bale_table(*one) for one in many])
    assert cells_of(whole) == [row for one in many for row in rows_of(*one)]


@pytest.mark.law
@given(given=columns(), at=st.integers(0, 6))
def test_cutting_and_joining_changes_nothing(given: tuple[int, Columns], at: int) -> None:
    """A table cut anywhere and put together again is the same table."""
    table = bale_table(*given)
    order = np.arange(table.rows)
    again = concatenate([table.take(order[:at]), table.take(order[at:])])
    assert cells_of(again) == cells_of(table)


@pytest.mark.law
@given(given=columns())
def test_arrays_are_read_only(given: tuple[int, Columns]) -> None:
    """No array that a table hands out of its own can be written."""
    table = bale_table(*given)
    for one in (table, table.take(np.arange(table.rows)), concatenate([table])):
        for array in (*one.values.values(), *one.known.values()):
            assert not array.flags.writeable
        with pytest.raises(TypeError, match="does not support item assignment"):
            one.values["mass_kg"] = np.zeros(one.rows)  # type: ignore[index]


@pytest.mark.derived
def test_unknown_has_three_spellings() -> None:
    """None, NaN in a float column and an empty text are unknown; zero is known."""
    table = bale_table(
        3, {"mass_kg": [None, float("nan"), 0.0], "job": [None, "", "0"], "film_breaks": [0, 0, 0]}
    )
    assert table.mask("mass_kg").tolist() == [False, False, True]
    assert table.mask("job").tolist() == [False, False, True]
    assert table.mask("film_breaks").tolist() == [True, True, True]


@pytest.mark.derived
def test_wrong_columns_are_refused() -> None:
    """An unknown name, a wrong length, and a broken number where whole ones belong."""
    with pytest.raises(KeyError, match="no column 'colour'"):
        bale_table(1, {"colour": ["white"]})
    with pytest.raises(KeyError, match="no column 'colour'"):
        bale_table(1, {}).mask("colour")
    with pytest.raises(ValueError, match="mass_kg has 1 values for 2 rows"):
        bale_table(2, {"mass_kg": [1.0]})
    with pytest.raises(ValueError, match="a whole number is needed"):
        bale_table(1, {"film_breaks": [0.5]})
    with pytest.raises(TypeError, match="job is text"):
        bale_table(1, {"job": ["x"]}).floats("job")


@pytest.mark.derived
def test_masked_tables_are_checked() -> None:
    """Arrays that are said to be right are looked at: length and kind."""
    known = np.array([True, False])
    table = masked_table(2, {"mass_kg": np.array([600.0, 0.0])}, {"mass_kg": known})
    assert cells_of(table) == [{"mass_kg": 600.0}, {}]
    for wrong in (np.array([600.0]), np.array([600, 0])):
        with pytest.raises(ValueError, match=r"mass_kg: needs shape \(2,\) and float64"):
            masked_table(2, {"mass_kg": wrong}, {"mass_kg": known})


@pytest.mark.derived
def test_large_whole_numbers_keep_their_last_digit() -> None:
    """Whole numbers are not led through floats: 2^62 + 1 has no float."""
    values, known = fill_column(Kind.INT, [2**62 + 1, None])
    assert values.tolist() == [2**62 + 1, 0]
    assert known.tolist() == [True, False]
