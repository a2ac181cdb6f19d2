"""The frame of a plot."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balewright.pictures.plot import Axis, Plot, legend, on_paper, picture


@pytest.mark.law
@given(st.floats(-1e6, 1e6), st.floats(1e-3, 1e6))
def test_ticks_are_few_round_and_inside(low: float, span: float) -> None:
    """Two to eight numbers, rising, none outside the axis."""
    ticks = Axis(low, low + span, "x").ticks()
    assert 2 <= len(ticks) <= 8
    assert ticks == sorted(set(ticks))
    slack = span * 1e-6 + abs(low) * 1e-9
    assert low - slack <= ticks[0]
    assert ticks[-1] <= low + span + slack


@pytest.mark.law
@given(st.floats(0, 10), st.floats(0, 5))
def test_places_rise_to_the_right_and_upward(x: float, y: float) -> None:
    """A larger x lies further right, a larger y higher, and all inside the picture."""
    plot = Plot(Axis(0, 10, "h"), Axis(0, 5, "kg"), "name")
    across, down = plot.at(x, y)
    assert 44 <= across <= 350
    assert 26 <= down <= 166
    assert plot.at(10, 0)[0] >= across
    assert plot.at(0, 5)[1] <= down


@pytest.mark.derived
def test_a_picture_is_well_formed_and_told_in_words() -> None:
    """Title and description are there, and words cannot break out of their element."""
    plot = Plot(Axis(0, 10, "a < b"), Axis(0, 5, "kg"), "<b>")
    drawn = picture(
        220, "Name & more", "What <it> shows", plot.frame(), legend(210, [("#fff", "&")])
    )
    for one in (drawn, on_paper(drawn)):
        root = ET.fromstring(one)
        assert root.findtext("{*}title") == "Name & more"
        assert root.findtext("{*}desc") == "What <it> shows"
        assert "style" not in one
