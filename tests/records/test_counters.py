"""Lifetime bales: they add up over controls and never go down."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balewright.records.bales import bale_table
from balewright.records.counters import CounterSpan, lifetime_bales, spans_of


@pytest.mark.derived
@pytest.mark.parametrize(
    ("spans", "lifetime"),
    [
        ([], None),
        ([CounterSpan(0, 1, 5234)], 5234),
        ([CounterSpan(0, 1, 5234), CounterSpan(1, 1, 300)], 5534),  # 5234 + 300
        ([CounterSpan(0, 1, 5234), CounterSpan(1, 5235, 5300)], 5300),  # set to carry on
        ([CounterSpan(None, 1, 40), CounterSpan(0, 20, 50)], 50),  # 40 is at least, 50 is told
        ([CounterSpan(None, 1, 90), CounterSpan(0, 20, 50)], 90),
        ([CounterSpan(0, 1, 10), CounterSpan(1, 1, 20), CounterSpan(2, 21, 30)], 40),
    ],
)
def test_lifetime_adds_up_over_controls(spans: list[CounterSpan], lifetime: int | None) -> None:
    """Counted by hand: restarted controls add, carried-on ones do not add twice."""
    assert lifetime_bales(spans) == lifetime


_SPAN = st.builds(
    lambda epoch, low, more: CounterSpan(epoch, low, low + more),
    st.none() | st.integers(0, 3),
    st.integers(0, 50),
    st.integers(0, 50),
)


@pytest.mark.law
@given(st.lists(_SPAN, min_size=1, max_size=5), st.lists(_SPAN, max_size=3))
def test_more_records_never_lower_the_lifetime(
    spans: list[CounterSpan], more: list[CounterSpan]
) -> None:
    """Whatever is seen later, the lifetime count stays or rises."""
    assert (lifetime_bales([*spans, *more]) or 0) >= (lifetime_bales(spans) or 0)


@pytest.mark.derived
def test_spans_are_read_off_the_bales() -> None:
    """Lowest and highest number by machine and epoch; rows without a number add nothing."""
    bales = bale_table(
        5,
        {
            "machine": ["M", "M", "M", None, "N"],
            "bale_no": [7, 3, 1, 9, None],
            "counter_epoch": [0, 0, None, 0, 0],
        },
    )
    assert spans_of(bales) == {"M": (CounterSpan(0, 3, 7), CounterSpan(None, 1, 1))}
