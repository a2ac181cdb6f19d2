"""The account of a machine's numbers: sums that can be done again, whatever the order."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from balewright.records.bales import BaleTable, bale_table, concatenate
from balewright.records.counters import spans_of
from balewright.records.counts.account import CountAccount, account_for, lifetime_by_marks
from balewright.records.counts.swaps import TAKEN_BACK
from balewright.records.events import Event, EventKind

MINUTE_US = 60_000_000
MACHINE = "HAZE-1"


def _bales(*rows: tuple[int | None, int | None], **columns: list[Any]) -> BaleTable:
    """Bales of one machine by number and minute."""
    return bale_table(
        len(rows),
        {
            "machine": [MACHINE] * len(rows),
            "bale_no": [number for number, _ in rows],
            "tipped_at": [None if at is None else at * MINUTE_US for _, at in rows],
            **columns,
        },
    )


def _swap(minute: int, **more: Any) -> Event:
    return Event(MACHINE, EventKind.CONTROL_SWAPPED, at_us=minute * MINUTE_US, **more)


@pytest.mark.derived
def test_a_season_with_everything_in_it() -> None:
    """By hand: 1-4, 7, 7 again, 9,999,999, 8 and 9; 5 and 6 are missing between minutes 4 and 7."""
    numbers = [(1, 1), (2, 2), (3, 3), (4, 4), (7, 7), (7, 8), (9_999_999, 9), (8, 10), (9, 11)]
    account = account_for(MACHINE, _bales(*numbers, (None, 12), (10, None)))
    (counter,) = account.counters
    (gap,) = counter.gaps
    assert (gap.first_no, gap.last_no) == (5, 6)
    assert (gap.after_us, gap.before_us) == (4 * MINUTE_US, 7 * MINUTE_US)
    assert [(leap.first_no, leap.last_no) for leap in counter.leaps] == [(11, 9_999_998)]
    (repeat,) = counter.repeats
    assert (repeat.number, repeat.bales) == (7, 2)
    assert repeat.times_us == (7 * MINUTE_US, 8 * MINUTE_US)
    (junk,) = counter.junk
    assert (junk.first_no, junk.bales, junk.at_us) == (9_999_999, 1, 9 * MINUTE_US)
    assert not counter.steps_back
    assert (counter.numbers, counter.missing, counter.leapt) == (9, 2, 9_999_988)
    assert (account.recorded, account.unnumbered, account.untimed) == (11, 1, 1)


@pytest.mark.derived
def test_a_told_swap_makes_the_lifetime_add_up() -> None:
    """Old control 5231-5234, new one 1-4: at least 5234, then 5238 once told, and back again."""
    rows = [*((5230 + n, n) for n in range(1, 5)), *((n, 10 + n) for n in range(1, 5))]
    before = account_for(MACHINE, _bales(*rows))
    assert (before.lifetime.bales, before.lifetime.at_least) == (5234, True)
    (step,) = before.suggested
    assert (step.from_no, step.to_no, step.at_us) == (5234, 1, 11 * MINUTE_US)
    told = _swap(11, value=20_000.5, note="the electrician")
    after = account_for(MACHINE, _bales(*rows), [told])
    assert (after.lifetime.bales, after.lifetime.at_least) == (5238, False)
    assert not after.suggested
    assert [(one.period, one.first_no, one.last_no) for one in after.counters] == [
        (0, 5231, 5234),
        (1, 1, 4),
    ]
    back = _swap(11, item=TAKEN_BACK, value=20_001.0)
    assert account_for(MACHINE, _bales(*rows), [back, told]) == before
    again = _swap(11, value=20_002.0)
    assert account_for(MACHINE, _bales(*rows), [told, again, back]).lifetime == after.lifetime


@pytest.mark.practice
@pytest.mark.parametrize(("bales", "suggested"), [(60, 0), (1200, 1)])
def test_a_jobs_own_count_begins_again_and_a_controls_does_so_rarely(
    bales: int, suggested: int
) -> None:
    """1-60 and again from 1: two jobs' counts. 1-1200 and again from 1: no job has so many."""
    rows = [*((n, n) for n in range(1, bales + 1)), *((n, 2000 + n) for n in range(1, 30))]
    assert len(account_for(MACHINE, _bales(*rows)).suggested) == suggested


@pytest.mark.derived
def test_a_swap_named_by_number_alone_stands_where_that_number_follows_a_higher_one() -> None:
    """Without a time it is placed at bale 1 of minute 11; a number nobody saw stays unplaced."""
    rows = [(40, 1), (41, 2), (42, 3), (1, 11), (2, 12), (3, 13)]
    named = [Event(MACHINE, EventKind.CONTROL_SWAPPED, bale_no=no) for no in (1, 500)]
    account = account_for(MACHINE, _bales(*rows), named)
    assert [swap.at_us for swap in account.swaps.placed] == [11 * MINUTE_US]
    assert account.swaps.unplaced == (500,)
    assert account.lifetime.bales == 45


@pytest.mark.derived
def test_a_fall_where_the_job_changes_may_be_a_jobs_own_count() -> None:
    """The suggestion says so, and tests, bursts and passes are listed and add no number."""
    rows = [(7, 1), (8, 2), (9, 3), (1, 4), (2, 5), (3, 6), (3, 7)]
    status = ["ok", "burst", "ok", "test", "ok", "ok", "re-wrapped"]
    account = account_for(MACHINE, _bales(*rows, job=["A"] * 3 + ["B"] * 4, status=status))
    assert [step.job_changed for step in account.suggested] == [True]
    assert [account.odd_count(one) for one in ("burst", "test", "re-wrapped")] == [1, 1, 1]
    assert (account.recorded, account.counters[0].repeats) == (6, ())


@pytest.mark.derived
@pytest.mark.parametrize(
    ("epochs", "lifetime", "why"),
    [
        ([0, 0, 1, 1], 8, ()),
        ([1, 1, 2, 2], 8, ()),
        ([1, 1, 3, 3], 8, ("epoch_unseen",)),
        ([2, 2, 3, 3], 8, ("epoch_unseen",)),
        ([None] * 4, 6, ("epoch_untold",)),
    ],
)
def test_an_epoch_nobody_saw_makes_it_a_least(
    epochs: list[int | None], lifetime: int, why: tuple[str, ...]
) -> None:
    """5, 6 of one control and 1, 2 of the next: 8, and more where an epoch lies in between."""
    rows = _bales((5, 1), (6, 2), (1, 3), (2, 4), counter_epoch=epochs)
    account = account_for(MACHINE, rows)
    assert (account.lifetime.bales, account.lifetime.why) == (lifetime, why)


_CELL = st.tuples(
    st.none() | st.integers(1, 6) | st.sampled_from([3_000, 9_999_999]),
    st.none() | st.integers(0, 12),
    st.none() | st.integers(0, 2),
    st.none() | st.sampled_from(["ok", "burst", "test", "re-wrapped"]),
    st.none() | st.sampled_from(["A", "B"]),
)


def _muddled(cells: list[tuple[Any, ...]]) -> BaleTable:
    epochs, statuses, jobs = ([cell[place] for cell in cells] for place in (2, 3, 4))
    pairs = [(cell[0], cell[1]) for cell in cells]
    return _bales(*pairs, counter_epoch=epochs, status=statuses, job=jobs)


_EVENTS = st.lists(
    st.builds(
        _swap,
        st.integers(0, 12),
        bale_no=st.none() | st.integers(1, 4),
        item=st.sampled_from(["", "", TAKEN_BACK]),
        value=st.none() | st.floats(0, 5),
    ),
    max_size=3,
)


def _sums(account: CountAccount) -> None:
    for counter in account.counters:
        assert counter.span == counter.numbers + counter.missing + counter.leapt
        assert counter.bales == counter.numbers - counter.only_passes + counter.further
        lost = [range(gap.first_no, gap.last_no + 1) for gap in counter.gaps]
        assert sum(map(len, lost)) == counter.missing
    assert account.recorded == account.unnumbered + sum(one.bales for one in account.counters)


@pytest.mark.law
@given(st.lists(_CELL, min_size=1, max_size=12), _EVENTS, st.randoms(use_true_random=False))
def test_every_sum_reconciles_in_any_order(
    cells: list[tuple[Any, ...]], events: list[Event], chance: Any
) -> None:
    """Numbers seen + missing + leapt = span; bales = their parts; shuffled rows change nothing."""
    bales = _muddled(cells)
    account = account_for(MACHINE, bales, events)
    _sums(account)
    order = list(range(bales.rows))
    chance.shuffle(order)
    chance.shuffle(events)
    assert account_for(MACHINE, bales.take(np.array(order)), events) == account


@pytest.mark.law
@given(
    st.lists(_CELL, min_size=1, max_size=8),
    st.lists(_CELL, min_size=1, max_size=8),
    _EVENTS.map(lambda events: [event for event in events if event.item != TAKEN_BACK]),
)
def test_lifetime_never_falls_when_more_is_taken_in(
    some: list[tuple[Any, ...]], more: list[tuple[Any, ...]], events: list[Event]
) -> None:
    """Whatever comes later, the same bales with their epochs too, the count stays or rises."""
    few = _muddled(some)
    told = [(number, at, number and number % 2, *rest) for number, at, _, *rest in some]
    all_of_them = concatenate([few, _muddled([*told[::2], *more])])
    before = account_for(MACHINE, few, events).lifetime.bales
    after = account_for(MACHINE, all_of_them, events).lifetime.bales
    assert (after or 0) >= (before or 0)


@pytest.mark.law
@given(st.lists(_CELL, min_size=1, max_size=12))
def test_marks_alone_promise_no_more_than_the_account(cells: list[tuple[Any, ...]]) -> None:
    """By lowest and highest numbers: never more bales than the account has, and where the
    account says `at least` so do the marks, but for a fall that they cannot see."""
    bales = _muddled(cells)
    account = account_for(MACHINE, bales)
    spans = spans_of(bales).get(MACHINE, ())
    marks = lifetime_by_marks(spans, account.recorded)
    assert marks.bales is None or marks.bales <= (account.lifetime.bales or 0)
    if spans:
        assert set(account.lifetime.why) - set(marks.why) <= {"fell"}
        told = lifetime_by_marks(spans, account.recorded, "fell" in account.lifetime.why)
        assert told.at_least >= account.lifetime.at_least
