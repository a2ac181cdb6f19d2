"""Whatever signals say, cutting gives an answer that holds together."""

from __future__ import annotations

from types import MappingProxyType

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.records.cycles.test_pieces import ARRAYS, pieces_of

from balewright.records.cycles.bale_rows import to_bales
from balewright.records.cycles.cutting import cut_cycles, cut_pieces
from balewright.records.cycles.cycles import NEVER_US
from balewright.records.cycles.rules import CycleRules
from balewright.records.signals import SIGNALS, Signal, Signals

NAMES = [kind.name for kind in SIGNALS]
VALUES = st.one_of(
    st.sampled_from([0.0, 1.0]),
    st.floats(0.0, 1500.0),
    st.sampled_from([float("nan"), float("inf"), -float("inf"), -1.0, 1e300, 4_294_967_295.0]),
)


@st.composite
def any_signals(draw: st.DrawFn) -> Signals:
    """Some signals with any values, at times that mostly rise and at times leap or step back."""
    by_name = {}
    seed = draw(st.integers(0, 2**32 - 1))
    chance = np.random.default_rng(seed)
    for name in draw(st.lists(st.sampled_from(NAMES), min_size=1, max_size=8, unique=True)):
        pool = draw(st.lists(VALUES, min_size=1, max_size=6))
        count = draw(st.integers(0, 60))
        steps = chance.choice([100_000, 900_000, 8_000_000, 90_000_000, -7_000_000], count)
        values = np.array(chance.choice(pool, count), dtype=np.float64)
        by_name[name] = Signal(
            1_700_000_000_000_000 + np.cumsum(steps).astype(np.int64),
            values,
            chance.random(count) < 0.9,
            np.zeros(count, dtype=np.bool_),
            np.sort(chance.integers(0, 400, count)),
        )
    return Signals("any", "A-1", MappingProxyType(by_name))


@pytest.mark.law
@given(any_signals())
@settings(max_examples=60)
def test_any_signals_give_cycles_that_hold_together(signals: Signals) -> None:
    """Nothing is raised or warned of; each time told lies in its range; every row is a bale row."""
    cycles = cut_cycles(signals)
    told = cycles.sure > 0
    assert ((cycles.work_us != NEVER_US) == told).all()
    assert (cycles.earliest_us[told] <= cycles.work_us[told]).all()
    assert (cycles.latest_us[told] >= cycles.work_us[told]).all()
    bales, _, at = to_bales(cycles, signals)
    assert bales.rows == cycles.rows == len(at)


@pytest.mark.law
@given(any_signals(), st.lists(st.integers(1, 399), max_size=5, unique=True))
@settings(max_examples=30)
def test_any_signals_may_be_cut_anywhere(signals: Signals, cuts: list[int]) -> None:
    """Pieces give what the whole gives, whatever the signals."""
    rules = CycleRules(keep_us=86_400_000_000)
    whole = cut_cycles(signals, rules)
    parts = [cycles for cycles, _ in cut_pieces(pieces_of(signals, sorted(cuts)), rules)]
    for name in ARRAYS:
        joined = np.concatenate([getattr(part, name) for part in parts])
        assert np.array_equal(joined, getattr(whole, name)), name
