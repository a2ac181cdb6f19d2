"""Which bales each roll wrapped: by bale number, by time, with batches and without."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from balewright.records.bales import BaleTable, bale_table
from balewright.records.events import Event, EventKind
from balewright.records.rolls import RollRange, account_rolls

MACHINE = "HAZE-1"
MINUTE_US = 60_000_000
FILM, NET = EventKind.FILM_ROLL_CHANGED, EventKind.NET_ROLL_CHANGED


def _bales(count: int, **columns: list[Any]) -> BaleTable:
    """Bales 1, 2, ... wrapped in minutes 1, 2, ..., each for half a minute."""
    minutes = [minute * MINUTE_US for minute in range(1, count + 1)]
    return bale_table(
        count,
        {
            "machine": [MACHINE] * count,
            "bale_no": list(range(1, count + 1)),
            "wrap_start_at": [at - MINUTE_US // 2 for at in minutes],
            "wrap_end_at": minutes,
            **columns,
        },
    )


def _film(item: str = "dispenser 1", minute: float | None = None, **more: Any) -> Event:
    at_us = None if minute is None else round(minute * MINUTE_US)
    return Event(MACHINE, FILM, item=item, at_us=at_us, **more)


def _numbers(bales: BaleTable, one: RollRange) -> list[int]:
    return [int(bales.column("bale_no")[row]) for row in one.rows]


@pytest.mark.derived
def test_ten_bales_and_two_dispensers() -> None:
    """By hand: dispenser 1 changed before bale 4 and at minute 7.75 (into bale 8), dispenser 2
    before bale 6; before the first change nobody knows the batch."""
    bales = _bales(10, film1_m=[40.0] * 10, film1_breaks=[0] * 7 + [1] * 3)
    events = [
        _film(minute=7.75, batch="K 8", value=300.0),
        _film(bale_no=4, batch="K7", value=150.0),
        _film("dispenser 2", bale_no=6),
    ]
    first, second, third, other, last = account_rolls(MACHINE, bales, events, True).ranges
    assert [_numbers(bales, one) for one in (first, second, third, other, last)] == [
        [1, 2, 3],
        [4, 5, 6, 7, 8],
        [8, 9, 10],
        [1, 2, 3, 4, 5],
        [6, 7, 8, 9, 10],
    ]
    assert [one.batch for one in (first, second, third)] == [None, "K7", "K 8"]
    assert (first.is_before_first, first.roll_m, first.is_on) == (True, None, False)
    assert (second.metres_m, second.roll_m, second.breaks) == (200.0, 150.0, 1)
    assert (second.entered_late, third.entered_late) == (True, False)
    assert (third.shared, third.is_on, last.is_on) == (1, True, True)
    assert (last.metres_m, last.measured, last.batch) == (None, 0, None)


@pytest.mark.derived
def test_bales_that_take_nothing_from_a_roll_are_not_on_it() -> None:
    """Wrapper off, no turns, no metres at that dispenser; film bound is not net bound."""
    bales = _bales(
        5,
        mode=["wrapper off", None, None, "automatic", None],
        wrap_turns=[None, 0.0, 16.0, 16.0, None],
        film1_m=[None, None, 0.0, 35.0, None],
        binding=["net", "film", "net", None, "net"],
        binding_m=[20.0, 9.0, 21.0, None, 22.0],
    )
    net = Event(MACHINE, NET, bale_no=1, item="net", value=3000.0, batch="N1")
    film, bound = account_rolls(MACHINE, bales, [_film(bale_no=1), net]).ranges
    assert _numbers(bales, film) == [4, 5]
    assert _numbers(bales, bound) == [1, 3, 4, 5]
    assert (bound.metres_m, bound.measured) == (63.0, 3)


@pytest.mark.derived
def test_one_change_told_twice_is_one_and_two_batches_are_two() -> None:
    """One file knows the number, another the time and the batch; a third names another batch."""
    bales = _bales(4)
    told = [_film(bale_no=3), _film(minute=2.25, batch="K7")]
    ranges = account_rolls(MACHINE, bales, told).ranges
    assert [(one.batch, _numbers(bales, one)) for one in ranges] == [
        (None, [1, 2]),
        ("K7", [3, 4]),
    ]
    against = account_rolls(MACHINE, bales, [*told, _film(bale_no=3, batch="K9")]).ranges
    assert sorted(one.batch or "" for one in against) == ["", "K7", "K9"]
    nameless = account_rolls(MACHINE, bales.take(np.array([0, 1])), [_film(batch="K7")])
    assert nameless.unplaced == (_film(batch="K7"),)


_CHANGES = st.lists(
    st.builds(
        _film,
        st.sampled_from(["dispenser 1", "Dispenser  2"]),
        minute=st.none() | st.floats(0, 14),
        bale_no=st.none() | st.integers(0, 14),
        batch=st.sampled_from(["", "K7", "K8"]),
    ),
    max_size=6,
)


@pytest.mark.law
@given(_CHANGES, st.randoms(use_true_random=False))
def test_each_bale_stands_on_one_roll_of_each_dispenser(events: list[Event], chance: Any) -> None:
    """Ranges cover every bale once, but for those a change fell into; any order gives the same."""
    bales = _bales(12, film1_m=[10.0] * 12)
    account = account_rolls(MACHINE, bales, events)
    for item in {one.item for one in account.ranges}:
        own = [one for one in account.ranges if one.item == item]
        rows = sorted(row for one in own for row in one.rows)
        doubled = sum(one.shared for one in own if own[0] is not one)
        assert sorted(set(rows)) == list(range(12))
        assert len(rows) == 12 + doubled
        assert [one.is_on for one in own] == [False] * (len(own) - 1) + [True]
    chance.shuffle(events)
    order = list(range(12))
    chance.shuffle(order)
    shuffled = account_rolls(MACHINE, bales.take(np.array(order)), events)
    assert [_numbers(bales, one) for one in account.ranges] == [
        [order[row] + 1 for row in one.rows] for one in shuffled.ranges
    ]
    assert [one.batch for one in account.ranges] == [one.batch for one in shuffled.ranges]
