"""A bale's name: readable, the same whatever order files came in, and none for two bales."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.records.bale_keys import bale_keys, row_keys
from balewright.records.bales import BaleTable, bale_table
from balewright.records.identity import Sources, count_known, read_marks, tell_bales_apart

T = 1_938_067_200_000_000  # 2031-06-01T08:00:00Z
MINUTE = 60_000_000


@pytest.mark.derived
@pytest.mark.parametrize(
    ("said", "key"),
    [
        ({"bale_no": 812, "counter_epoch": 0, "tipped_at": T}, "812-e0"),
        ({"bale_no": 812, "tipped_at": T}, "812-20310601T080000Z"),
        ({"bale_no": 812, "tipped_at": T + 1}, "812-20310601T080000.000001Z"),
        ({"bale_no": 812}, "812"),
        ({"tipped_at": T}, "20310601T080000Z-1"),
        ({"job": "J"}, "row-0-0"),
        ({"machine": None, "bale_no": 812}, "row-0-0"),
        ({"bale_no": 812, "counter_epoch": 3, "status": "re-wrapped"}, "812-e3-w"),
    ],
)
def test_a_key_says_what_is_known(said: dict[str, Any], key: str) -> None:
    """Number and epoch, number and time, time and place, or the row's place in its file."""
    one = bale_table(1, {name: [value] for name, value in ({"machine": "M"} | said).items()})
    assert bale_keys(one) == (key,)


@pytest.mark.derived
def test_bales_of_one_time_are_numbered_in_their_file() -> None:
    """A clock that stands: the second row of that time in each file is the same second bale."""
    bales = bale_table(4, {"machine": ["M"] * 4, "tipped_at": [T] * 4})
    sources = Sources(np.array([0, 1, 0, 1]), np.array([0, 0, 1, 1]), count_known(bales))
    first, second = "20310601T080000Z-1", "20310601T080000Z-2"
    assert bale_keys(bales, sources, ("a" * 64, "b" * 64)) == (first, first, second, second)


_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_MOMENTS_US = st.integers(-30_000_000_000_000_000, 253_402_300_799_999_999)  # years 1019 to 9999
_LATER_US = st.integers(0, 253_402_300_799_999_999)


@pytest.mark.reference
@settings(max_examples=100, deadline=None)
@given(st.lists(_MOMENTS_US, max_size=5) | st.lists(_LATER_US, max_size=5), st.booleans())
def test_times_in_keys_are_those_of_the_standard_library(given_us: list[int], whole: bool) -> None:
    """Python's own calendar writes the same digits, of whole seconds or not, in any year."""
    us = [one // 1_000_000 * 1_000_000 if whole else one for one in given_us]
    columns = {"machine": ["M"] * len(us), "bale_no": [7] * len(us), "tipped_at": us}
    told = [_EPOCH + timedelta(microseconds=one) for one in us]
    forms = ["7-%Y%m%dT%H%M%S.%fZ" if one.microsecond else "7-%Y%m%dT%H%M%SZ" for one in told]
    expected = [one.strftime(form) for one, form in zip(told, forms, strict=True)]
    assert list(bale_keys(bale_table(len(us), columns))) == expected


_ROWS = st.lists(
    st.tuples(
        st.integers(0, 2),
        st.fixed_dictionaries(
            {"machine": st.sampled_from(["M", "N", None])},
            optional={
                "bale_no": st.integers(1, 2),
                "counter_epoch": st.integers(0, 1),
                "tipped_at": st.integers(0, 2).map(lambda n: T + n * 700 * MINUTE),
                "full_at": st.just(T),
                "status": st.sampled_from(["ok", "re-wrapped"]),
            },
        ),
    ),
    min_size=1,
    max_size=7,
)


def _table(rows: list[tuple[int, dict[str, Any]]], order: list[int]) -> tuple[BaleTable, Sources]:
    names = sorted({name for _, said in rows for name in said})
    columns = {name: [rows[at][1].get(name) for at in order] for name in names}
    bales = bale_table(len(rows), columns)
    file = [number for number, _ in rows]
    place = [sum(f == file[at] for f in file[:at]) for at in range(len(rows))]
    sources = Sources(
        np.array([file[at] for at in order]),
        np.array([place[at] for at in order]),
        count_known(bales),
    )
    return bales, sources


def _without_pass(key: str) -> str:
    return key.removesuffix("-w")


@pytest.mark.law
@settings(max_examples=120, deadline=None)
@given(_ROWS, st.randoms(use_true_random=False))
def test_one_key_a_bale_and_one_bale_a_key(
    rows: list[tuple[int, dict[str, Any]]], chance: Any
) -> None:
    """On each machine rows share a key exactly when they are one bale; shuffled rows keep theirs;
    the key of a bale is the own key of one of its rows or, where only a pass tells its epoch, that
    of the pass without its end; an own key needs no other file.
    """
    files = ("a" * 64, "b" * 64, "c" * 64)
    bales, sources = _table(rows, list(range(len(rows))))
    keys = bale_keys(bales, sources, files)
    own = row_keys(read_marks(bales, sources), sources, files)
    group = tell_bales_apart(bales, sources).group
    machine = [bales.cell(row, "machine") for row in range(bales.rows)]
    for one in range(bales.rows):
        of_one = [row for row in range(bales.rows) if machine[row] == machine[one]]
        bale = [row for row in of_one if _without_pass(keys[row]) == _without_pass(keys[one])]
        assert _without_pass(keys[one]) in {_without_pass(own[row]) for row in bale}
        for other in of_one:
            assert (keys[one] == keys[other]) == (group[one] == group[other])
    order = list(range(len(rows)))
    chance.shuffle(order)
    shuffled = bale_keys(*_table(rows, order), files)
    assert shuffled == tuple(keys[at] for at in order)
    for number in range(3):
        alone = np.flatnonzero(sources.file == number)
        only = Sources(sources.file[alone], sources.row[alone], sources.known_cells[alone])
        marks = read_marks(bales.take(alone), only)
        assert row_keys(marks, only, files) == tuple(own[row] for row in alone.tolist())
