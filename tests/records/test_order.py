"""Marks on rows that are odd but readable, also across batches."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from balewright.records.bales import BaleTable, bale_table
from balewright.records.intake import Doubt
from balewright.records.order import MAX_MACHINES, MAX_RUNS, OrderState, mark_order
from balewright.records.quality import Mark

HOUR_US = 3_600_000_000


def marks(table: BaleTable, state: OrderState | None = None) -> list[tuple[str, str, str]]:
    """What is marked in one batch: line, kind, words."""
    doubts, _ = judge(table, state or OrderState())
    return [(doubt.place, doubt.kind, doubt.text) for doubt in doubts]


def judge(table: BaleTable, state: OrderState) -> tuple[tuple[Doubt, ...], OrderState]:
    """Judge one batch whose rows stand on lines 2, 3, 4 ..."""
    return mark_order(table, state, "bales.csv", np.arange(2, table.rows + 2))


def numbered(numbers: list[int | None], machine: str = "MW-07") -> BaleTable:
    """Bales of one machine with these numbers, an hour apart."""
    rows = len(numbers)
    times = [(index + 1) * HOUR_US for index in range(rows)]
    return bale_table(rows, {"machine": [machine] * rows, "bale_no": numbers, "tipped_at": times})


NUMBERS = {
    "in order": ([7, 8, 9], []),
    "one missing": ([7, 9], [("line 3", Mark.NUMBER_MISSING, "missing before this bale: 8")]),
    "three missing": (
        [7, 11],
        [("line 3", Mark.NUMBER_MISSING, "missing before this bale: 8 to 10")],
    ),
    "leap": ([7, 2000], [("line 3", Mark.COUNTER_LEAPT, "number 2000 follows 7")]),
    "repeated at once": ([7, 7, 8], [("line 3", Mark.NUMBER_REPEATED, "number 7 was read before")]),
    "block repeated": (
        [7, 8, 9, 8, 9, 10],
        [
            ("line 5", Mark.NUMBER_REPEATED, "number 8 was read before"),
            ("line 6", Mark.NUMBER_REPEATED, "number 9 was read before"),
        ],
    ),
    "stepped back": (
        [900, 901, 1],
        [("line 4", Mark.COUNTER_STEPPED_BACK, "number 1 follows 901")],
    ),
    "filled in later": (
        [7, 9, 8, 10],
        [
            ("line 3", Mark.NUMBER_MISSING, "missing before this bale: 8"),
            ("line 4", Mark.COUNTER_STEPPED_BACK, "number 8 follows 9"),
        ],
    ),
    "unknown between": ([7, None, 8], []),
}


@pytest.mark.derived
@pytest.mark.parametrize("name", NUMBERS)
def test_numbers_are_judged_in_order(name: str) -> None:
    """A missing, repeated, leaping or falling number is marked on the row where it shows."""
    numbers, expected = NUMBERS[name]
    assert marks(numbered(numbers)) == expected  # type: ignore[arg-type]


@pytest.mark.practice
def test_a_bale_wrapped_again_is_no_repeat() -> None:
    """A row of status `re-wrapped` carries the number of its bale, soon or later, unmarked."""
    statuses = ["ok", "re-wrapped", "ok", "ok", "re-wrapped", "ok"]
    columns = {"machine": ["A"] * 6, "bale_no": [7, 7, 8, 9, 8, 10], "status": statuses}
    assert marks(bale_table(6, columns)) == []
    columns["status"] = ["ok"] * 6
    assert [place for place, _, _ in marks(bale_table(6, columns))] == ["line 3", "line 6"]


@pytest.mark.derived
def test_machines_and_epochs_are_judged_apart() -> None:
    """Rows of several machines may stand among each other, and a new epoch begins anew."""
    table = bale_table(
        6,
        {
            "machine": ["A", "B", "A", "B", "A", "A"],
            "bale_no": [1, 500, 2, 501, 1, 2],
            "counter_epoch": [0, 0, 0, 0, 1, 1],
        },
    )
    assert marks(table) == []


@pytest.mark.derived
@pytest.mark.parametrize(
    ("times", "said"),
    [
        ({"full_at": 5, "bind_start_at": 4}, "bind_start_at is before full_at"),
        ({"closed_at": 3, "gate_open_at": 2}, "gate_open_at is before closed_at"),
        ({"wrap_start_at": 9, "wrap_end_at": 8}, "wrap_end_at is before wrap_start_at"),
    ],
)
def test_times_out_of_order_within_a_station_are_marked(times: dict[str, int], said: str) -> None:
    """The chamber's times come in order, and so do the wrapper's."""
    columns = {"machine": ["A"], "bale_no": [1], **{name: [one] for name, one in times.items()}}
    assert marks(bale_table(1, columns)) == [("line 2", Mark.TIMES_DISORDERED, said)]


@pytest.mark.practice
def test_the_stations_overlap() -> None:
    """The next bale's filling begins before this one is wrapped: that is no disorder."""
    table = bale_table(
        2,
        {
            "machine": ["A", "A"],
            "bale_no": [1, 2],
            "closed_at": [0, 70],
            "gate_open_at": [60, 130],
            "wrap_start_at": [65, 135],
            "tipped_at": [100, 170],
        },
    )
    assert marks(table) == []


@pytest.mark.derived
def test_a_clock_that_jumps_is_marked() -> None:
    """A bale with a higher number and an earlier time, or one more than a year on, is marked."""
    columns = {"machine": ["A"] * 3, "bale_no": [1, 2, 3]}
    times = [10 * HOUR_US, 9 * HOUR_US, 9 * HOUR_US + 500 * 24 * HOUR_US]
    above = "the bale in the row above of this machine"
    assert marks(bale_table(3, {**columns, "tipped_at": times})) == [
        ("line 3", Mark.CLOCK_JUMPED, f"3600 s before {above}"),
        ("line 4", Mark.CLOCK_JUMPED, f"43200000 s after {above}"),
    ]


@pytest.mark.practice
def test_a_winter_is_no_jump() -> None:
    """Ten months between two seasons are a gap, not a clock set wrong."""
    columns = {"machine": ["A"] * 2, "bale_no": [1, 2], "tipped_at": [0, 300 * 24 * HOUR_US]}
    assert marks(bale_table(2, columns)) == []


@pytest.mark.derived
def test_rows_without_identity_share_one_mark_a_batch() -> None:
    """No machine, or neither number nor time: said once with the count, not row by row."""
    assert marks(bale_table(3, {"bale_no": [1, 2, 3]})) == [
        ("line 2", Mark.IDENTITY_UNKNOWN, "no machine in this row, nor in 2 rows below")
    ]
    assert marks(bale_table(1, {"machine": ["A"]})) == [
        ("line 2", Mark.IDENTITY_UNKNOWN, "neither number nor time in this row")
    ]


@pytest.mark.law
@given(
    numbers=st.lists(st.none() | st.integers(0, 12), max_size=14),
    cut=st.integers(0, 14),
)
def test_batches_change_no_mark(numbers: list[int | None], cut: int) -> None:
    """The same rows in two batches get the same marks as in one."""
    table = numbered(numbers)
    whole, _ = judge(table, OrderState())
    lines = np.arange(2, table.rows + 2)
    rows = np.arange(table.rows)
    first, state = mark_order(table.take(rows[:cut]), OrderState(), "bales.csv", lines[:cut])
    second, _ = mark_order(table.take(rows[cut:]), state, "bales.csv", lines[cut:])
    assert [*first, *second] == list(whole)


@pytest.mark.law
@given(numbers=st.lists(st.integers(0, 12), max_size=14))
def test_repeats_are_those_that_a_set_finds(numbers: list[int]) -> None:
    """A number is marked repeated exactly where a set of all before holds it already."""
    seen: set[int] = set()
    expected = []
    for line, number in enumerate(numbers, 2):
        if number in seen:
            expected.append(f"line {line}")
        seen.add(number)
    marked = [
        place for place, kind, _ in marks(numbered(list(numbers))) if kind == Mark.NUMBER_REPEATED
    ]
    assert marked == expected


@pytest.mark.law
def test_the_state_stays_small() -> None:
    """However wild the numbers and however many the machines, little is carried on."""
    wild = numbered([number * 2 for number in range(500)])
    _, state = judge(wild, OrderState())
    assert max(len(one.runs) for one in state.seen.values()) <= MAX_RUNS
    rows = MAX_MACHINES + 50
    crowd = bale_table(rows, {"machine": [f"M{row}" for row in range(rows)], "bale_no": [1] * rows})
    _, state = judge(crowd, state)
    assert len(state.seen) == MAX_MACHINES


@pytest.mark.derived
def test_a_gap_at_every_bale_is_told_at_every_bale() -> None:
    """Every second number missing, then the last 32 again: 1999 gaps and 32 repeats; older runs
    are forgotten, so that only what is remembered counts as read."""
    numbers = list(range(1, 4000, 2))
    kinds = [kind for _, kind, _ in marks(numbered([*numbers, *numbers[-MAX_RUNS:]]))]
    assert kinds == [Mark.NUMBER_MISSING] * 1999 + [Mark.NUMBER_REPEATED] * MAX_RUNS
