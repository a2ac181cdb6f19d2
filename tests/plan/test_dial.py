"""Dials: what can be set, and back without loss."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balewright.plan.dial import Dial
from balewright.quantities.errors import BadInput

values = st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=12, unique=True).map(sorted)


@st.composite
def dials(draw: st.DrawFn) -> Dial:
    """Any dial."""
    found = draw(values)
    names = draw(
        st.lists(st.text(min_size=1), min_size=len(found), max_size=len(found), unique=True)
    )
    return Dial("chamber_bar", tuple(names), tuple(found))


@pytest.mark.law
@given(dial=dials())
def test_a_position_turns_back_exactly(dial: Dial) -> None:
    """Position to value and back is the same position, whatever the scale."""
    for position in dial.positions:
        assert dial.position_for(dial.value_at(position)) == position


@pytest.mark.law
@given(dial=dials(), value=st.floats(-2e6, 2e6), more=st.floats(0, 1e6))
def test_the_nearest_position_is_taken_and_never_turns_round(
    dial: Dial, value: float, more: float
) -> None:
    """No other position lies nearer, and a higher value never gives a lower position."""
    set_to = dial.value_at(dial.position_for(value))
    assert all(abs(set_to - value) <= abs(other - value) for other in dial.values)
    assert dial.value_at(dial.position_for(value + more)) >= set_to


@pytest.mark.own
@pytest.mark.parametrize(
    ("positions", "numbers"),
    [(("1", "2"), (1.0,)), (("1", "1"), (1.0, 2.0)), (("1", "2"), (2.0, 1.0)), ((), ())],
)
def test_a_dial_that_is_none_is_refused(
    positions: tuple[str, ...], numbers: tuple[float, ...]
) -> None:
    """Too few values, a position twice, falling values and an empty scale are refused."""
    with pytest.raises(BadInput, match="dial knife_bar: needs as many positions as values"):
        Dial("knife_bar", positions, numbers)


@pytest.mark.own
def test_a_position_that_is_not_on_the_machine_is_refused() -> None:
    """The message lists the positions there are."""
    dial = Dial("knife_bar", ("low", "high"), (20.0, 40.0))
    with pytest.raises(BadInput, match="dial knife_bar: needs one of low, high, was given 'mid'"):
        dial.value_at("mid")
