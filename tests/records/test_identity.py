"""Which rows are one bale: numbers, resets, passes over the wrapper, and rows nobody can place."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.records.bales import BaleTable, bale_table
from balewright.records.doubles import merge_doubles
from balewright.records.identity import Sources, count_known, tell_bales_apart

MINUTE = 60_000_000
DAY = 24 * 60 * MINUTE
T = 1_938_000_000_000_000

Row = tuple[int, dict[str, Any]]  # number of the file, what the row says


def _table(*rows: Row) -> tuple[BaleTable, Sources]:
    names = {name for _, said in rows for name in said} | {"machine"}
    columns = {name: [{"machine": "M", **said}.get(name) for _, said in rows] for name in names}
    bales = bale_table(len(rows), columns)
    file = np.array([number for number, _ in rows], dtype=np.int64)
    places = [sum(f == file[at] for f in file[:at]) for at in range(len(rows))]
    return bales, Sources(file, np.array(places, dtype=np.int64), count_known(bales))


def _count(*rows: Row) -> int:
    return int(tell_bales_apart(*_table(*rows)).counts.sum())


@pytest.mark.derived
@pytest.mark.parametrize(
    ("case", "rows", "bales"),
    [
        (
            "the same number and epoch in two files is one bale, whatever the clocks say",
            [
                (0, {"bale_no": 7, "counter_epoch": 0, "tipped_at": T}),
                (1, {"bale_no": 7, "counter_epoch": 0, "tipped_at": T + 90 * DAY}),
            ],
            1,
        ),
        (
            "the same number under another epoch is another bale",
            [
                (0, {"bale_no": 7, "counter_epoch": 0, "tipped_at": T}),
                (0, {"bale_no": 7, "counter_epoch": 1, "tipped_at": T + MINUTE}),
            ],
            2,
        ),
        (
            "no epoch told: number and time together say it",
            [(0, {"bale_no": 7, "tipped_at": T}), (1, {"bale_no": 7, "tipped_at": T})],
            1,
        ),
        (
            "two tasks of one day count from one each: no bale is lost",
            [(0, {"bale_no": 7, "tipped_at": T}), (1, {"bale_no": 7, "tipped_at": T + 5 * MINUTE})],
            2,
        ),
        (
            "an epoch that one file tells and another does not, at the same time",
            [
                (0, {"bale_no": 7, "counter_epoch": 2, "tipped_at": T}),
                (1, {"bale_no": 7, "tipped_at": T}),
            ],
            1,
        ),
        (
            "a number without epoch or time is all there is",
            [(0, {"bale_no": 7}), (1, {"bale_no": 7}), (1, {"bale_no": 8})],
            2,
        ),
        (
            "without a number the time says it",
            [(0, {"tipped_at": T}), (1, {"tipped_at": T}), (1, {"tipped_at": T + MINUTE})],
            2,
        ),
        (
            "a clock that stands: three rows of one time in a file are three, told again are three",
            [(0, {"tipped_at": T})] * 3 + [(1, {"tipped_at": T})] * 3,
            3,
        ),
        ("with neither, every row stays by itself", [(0, {"job": "J"}), (1, {"job": "J"})], 2),
        (
            "without a machine nothing can be placed",
            [(0, {"machine": None, "bale_no": 7}), (1, {"machine": None, "bale_no": 7})],
            2,
        ),
        (
            "a further pass over the wrapper is no second bale",
            [
                (0, {"bale_no": 7, "counter_epoch": 0, "full_at": T}),
                (0, {"bale_no": 7, "counter_epoch": 0, "full_at": T, "status": "re-wrapped"}),
            ],
            1,
        ),
        (
            "a pass without any row of the chamber is no bale",
            [(0, {"bale_no": 7, "wrap_end_at": T, "status": "re-wrapped"})],
            0,
        ),
        (
            "a bale whose only row says re-wrapped, and shows the chamber, counts",
            [(0, {"bale_no": 7, "full_at": T, "status": "re-wrapped"})],
            1,
        ),
    ],
)
def test_rows_are_told_apart(case: str, rows: list[Row], bales: int) -> None:
    """Each case, counted by hand from the rule."""
    assert _count(*rows) == bales, case


_ROWS = st.lists(
    st.tuples(
        st.integers(0, 2),
        st.fixed_dictionaries(
            {},
            optional={
                "bale_no": st.integers(1, 2),
                "counter_epoch": st.integers(0, 1),
                "tipped_at": st.integers(0, 3).map(lambda n: T + n * 700 * MINUTE),
                "full_at": st.just(T),
                "status": st.sampled_from(["ok", "re-wrapped"]),
            },
        ),
    ),
    min_size=1,
    max_size=6,
)


@pytest.mark.law
@settings(max_examples=150, deadline=None)
@given(_ROWS, st.randoms(use_true_random=False))
def test_the_order_of_rows_is_no_matter(rows: list[Row], chance: Any) -> None:
    """Shuffled rows are told apart the same way."""
    bales, sources = _table(*rows)
    order = list(range(len(rows)))
    chance.shuffle(order)
    pick = np.array(order)
    moved = Sources(sources.file[pick], sources.row[pick], sources.known_cells[pick])
    one, other = tell_bales_apart(bales, sources), tell_bales_apart(bales.take(pick), moved)
    assert one.counts.sum() == other.counts.sum()
    for first in range(len(rows)):
        for second in range(len(rows)):
            together = one.group[order[first]] == one.group[order[second]]
            assert together == (other.group[first] == other.group[second])


@pytest.mark.law
@settings(max_examples=150, deadline=None)
@given(_ROWS)
def test_a_file_taken_in_again_under_another_hash_adds_no_bale(rows: list[Row]) -> None:
    """Every placed row doubled from a second file with the same content counts once."""
    rows = [(0, said) for _, said in rows if said.keys() & {"bale_no", "tipped_at", "full_at"}]
    if rows:
        assert _count(*rows, *((1, said) for _, said in rows)) == _count(*rows)


@pytest.mark.derived
def test_the_row_that_knows_more_counts_and_gaps_are_filled() -> None:
    """How a mass was weighed goes with the mass it was said of, never with another file's mass."""
    bales, sources = _table(
        (0, {"bale_no": 7, "mass_kg": 600.0, "mass_how": "sensed", "job": "J1"}),
        (1, {"bale_no": 7, "mass_kg": 610.0, "wrap_turns": 16.0, "film_m": 70.0, "crop": "hay"}),
    )
    one = merge_doubles(bales, sources)
    assert one.rows == 1
    assert (one.cell(0, "mass_kg"), one.cell(0, "mass_how")) == (610.0, None)
    assert (one.cell(0, "job"), one.cell(0, "wrap_turns")) == ("J1", 16.0)


@pytest.mark.derived
def test_a_number_repeated_in_one_file_keeps_both_rows() -> None:
    """What the machine repeats stays to be told; the other file's row of it goes."""
    bales, sources = _table(
        (0, {"bale_no": 7, "counter_epoch": 0, "job": "J1", "crop": "hay"}),
        (0, {"bale_no": 7, "counter_epoch": 0, "job": "J2", "crop": "hay"}),
        (1, {"bale_no": 7, "counter_epoch": 0, "job": "J3"}),
    )
    kept = merge_doubles(bales, sources)
    assert [kept.cell(row, "job") for row in range(kept.rows)] == ["J1", "J2"]
