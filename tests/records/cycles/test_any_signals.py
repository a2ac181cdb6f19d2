"""Whatever signals say, cutting gives an answer that holds together."""

from __future__ import annotations

from types import MappingProxyType

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from tests.records.cycles.test_pieces import (
    require_cycles_of_the_whole,
    require_pieces_give_the_whole,
)

from balewright.records.cycles.bale_rows import to_bales
from balewright.records.cycles.clock import BACK_US, Clock, watch_clock
from balewright.records.cycles.cutting import cut_cycles
from balewright.records.cycles.cycles import NEVER_US
from balewright.records.cycles.rules import CycleRules
from balewright.records.signals import SIGNALS, Signal, Signals

START_US = 1_700_000_000_000_000
STEPS_US = (100_000, 900_000, 8_000_000, 90_000_000, -7_000_000, -500_000)
NAMES = [kind.name for kind in SIGNALS]
VALUES = st.one_of(
    st.sampled_from([0.0, 1.0]),
    st.floats(0.0, 1500.0),
    st.sampled_from([float("nan"), float("inf"), -float("inf"), -1.0, 1e300, 4_294_967_295.0]),
)


@st.composite
def any_signals(draw: st.DrawFn, one_clock: bool = False) -> Signals:
    """Some signals with any values, at times that mostly rise and at times leap or step back, of
    one recorder's clock or each of its own."""
    by_name = {}
    together = one_clock or draw(st.booleans())
    seed = draw(st.integers(0, 2**32 - 1))
    chance = np.random.default_rng(seed)
    recorder = np.cumsum(chance.choice(STEPS_US, 400))
    for name in draw(st.lists(st.sampled_from(NAMES), min_size=1, max_size=8, unique=True)):
        pool = draw(st.lists(VALUES, min_size=1, max_size=6))
        count = draw(st.integers(0, 60))
        at = np.sort(chance.integers(0, 400, count))
        gone_us = recorder[at] if together else np.cumsum(chance.choice(STEPS_US, count))
        values = np.array(chance.choice(pool, count), dtype=np.float64)
        by_name[name] = Signal(
            START_US + gone_us.astype(np.int64),
            values,
            chance.random(count) < 0.9,
            np.zeros(count, dtype=np.bool_),
            at,
        )
    return Signals("any", "A-1", MappingProxyType(by_name))


def told(**by_name: list[tuple[int, float, float]]) -> Signals:
    """Signals from (message, seconds shown, value), a value that is not a number unknown."""
    made = {}
    for name, samples in by_name.items():
        at, shown_s, values = (np.array(each) for each in zip(*samples, strict=True))
        made[name] = Signal(
            START_US + np.round(shown_s * 1e6).astype(np.int64),
            values.astype(np.float64),
            ~np.isnan(values),
            np.zeros(len(at), dtype=np.bool_),
            at.astype(np.int64),
        )
    return Signals("any", "A-1", MappingProxyType(made))


def once_a_message(signal: Signal) -> Signal:
    """The first sample of each message."""
    _, first = np.unique(signal.at, return_index=True)
    columns = (signal.at_us, signal.values, signal.known, signal.error, signal.at)
    return Signal(*(column[first] for column in columns))


CLOCKS_DISAGREE = told(
    bale_no=[(20, 90.0, 0), (32, 92.7, 1), (56, 182.7, 1), (58, 280.7, np.nan), (112, 275.6, 0)],
    chamber_closed=[(61, 8.1, 0)],
)
"""A clock set back by 5 s, told by one signal behind another whose clock shows far less."""
OVERTAKEN = told(bale_no=[(1, 0.0, 0), (2, 9.0, 0), (3, 10.0, 1), (4, 10.4, 1), (5, 10.1, 2)])
"""A number that held for long enough, and a message after it that shows an earlier time."""


@pytest.mark.law
@given(any_signals())
@settings(max_examples=60)
def test_any_signals_give_cycles_that_hold_together(signals: Signals) -> None:
    """Nothing is raised or warned of; each time told lies in its range; every row is a bale row."""
    cycles = cut_cycles(signals)
    known = cycles.sure > 0
    assert ((cycles.work_us != NEVER_US) == known).all()
    assert (cycles.earliest_us[known] <= cycles.work_us[known]).all()
    assert (cycles.latest_us[known] >= cycles.work_us[known]).all()
    bales, _, at = to_bales(cycles, signals)
    assert bales.rows == cycles.rows == len(at)


@pytest.mark.law
@given(any_signals())
@example(CLOCKS_DISAGREE)
@example(OVERTAKEN)
@settings(max_examples=30)
def test_the_working_clock_never_steps_back(signals: Signals) -> None:
    """Every jump told is a clock set back; with them taken out no signal's time falls by more
    than messages that overtook each other, whatever clocks the signals show."""
    by_name = {name: once_a_message(signal) for name, signal in signals.by_name.items()}
    clock = watch_clock(Clock(), by_name)
    assert all(jump.step_us < -BACK_US for jump in clock.jumps)
    assert (np.diff([jump.work_us for jump in clock.jumps]) > 0).all()
    for signal in by_name.values():
        assert (np.diff(clock.work_us(signal.at_us, signal.at)) >= -BACK_US).all()
        assert (np.diff(clock.steady_us(signal)) >= 0).all()


@pytest.mark.law
@given(any_signals(), st.lists(st.integers(1, 399), max_size=5, unique=True))
@example(CLOCKS_DISAGREE, [57])
@example(OVERTAKEN, [5])
@settings(max_examples=30)
def test_any_signals_may_be_cut_anywhere(signals: Signals, cuts: list[int]) -> None:
    """Pieces give the cycles that the whole gives, whatever the signals and however little of them
    is kept."""
    require_cycles_of_the_whole(signals, sorted(cuts), CycleRules(keep_us=60_000_000))


@pytest.mark.law
@given(any_signals(one_clock=True), st.lists(st.integers(1, 399), max_size=5, unique=True))
@settings(max_examples=30)
def test_values_of_the_bales_may_be_cut_anywhere(signals: Signals, cuts: list[int]) -> None:
    """Pieces give the bales that the whole gives, whatever signals of one recorder's clock say,
    where all lies within `keep_us`."""
    require_pieces_give_the_whole(signals, sorted(cuts), CycleRules(keep_us=86_400_000_000))
