"""Choices that nothing beats, and how flat the best lies."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from balewright.plan.optimum.front import how_flat, undominated
from balewright.quantities.errors import BadInput

TABLES = arrays(np.float64, st.tuples(st.integers(1, 30), st.integers(1, 3)),
                elements=st.integers(0, 6).map(float))  # fmt: skip


@pytest.mark.law
@given(TABLES)
def test_every_choice_left_out_is_beaten_by_one_that_is_kept(table: np.ndarray) -> None:
    """Nothing kept is beaten by anything; nothing is left out without a better one kept."""
    kept = undominated(table)
    assert kept.any()
    for place, row in enumerate(table):
        beaten = any((other <= row).all() and (other < row).any() for other in table[kept])
        assert beaten != kept[place]


@pytest.mark.derived
def test_front_of_a_small_table() -> None:
    """Dear and good, cheap and poor stay; dear and poor goes; twins stay together."""
    table = np.array([[1.0, 5.0], [3.0, 2.0], [3.0, 4.0], [1.0, 5.0], [6.0, 1.0]])
    assert undominated(table).tolist() == [True, True, False, True, True]


@pytest.mark.derived
def test_flat_stretch_is_unbroken() -> None:
    """A second low place beyond a hill does not belong to the stretch round the best."""
    curve = np.array([12.0, 10.4, 10.0, 10.3, 11.5, 10.1])
    flat = how_flat(curve, 0.05)
    assert (flat.best, flat.first, flat.last) == (2, 1, 3)


@pytest.mark.law
@given(arrays(np.float64, st.integers(1, 20), elements=st.floats(0.1, 100.0)), st.floats(0, 1))
def test_the_stretch_grows_with_what_is_allowed(curve: np.ndarray, share: float) -> None:
    """Allowing more never narrows the stretch, and the best is always in it."""
    tight, wide = how_flat(curve, share / 2.0), how_flat(curve, share)
    assert wide.first <= tight.first <= tight.best <= tight.last <= wide.last


@pytest.mark.law
@pytest.mark.parametrize("bad", [np.array([np.nan]), np.array([np.inf, 1.0]), np.array([])])
def test_figures_that_are_none_are_refused(bad: np.ndarray) -> None:
    """NaN, infinity and nothing at all are told, not ranked."""
    with pytest.raises(BadInput):
        how_flat(bad, 0.1)
    if bad.size:
        with pytest.raises(BadInput, match="1 not finite"):
            undominated(bad.reshape(-1, 1))
