"""The plain NumPy counts of `bench/film.py` count what ours counts."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parents[3] / "bench"))

import film as bench


@pytest.mark.derived
def test_sorted_edges_in_numpy_give_our_shares() -> None:
    """On cylinders the share of the whole surface short is the same to 1e-12, lost rolls and all.

    The strips' places and the sums are written anew there, from whole columns.
    """
    cases = bench.invent(400)
    exact = bench.exact_shares(cases)
    straight = np.flatnonzero((cases.cone_m == 0.0) & (cases.barrel_m == 0.0))
    sorted_shares = [bench.by_sorting(cases, int(case)) for case in straight]
    # spots under 1e-9 of a side count for nothing with us
    assert exact[straight] == pytest.approx(sorted_shares, abs=2e-9)
    assert (np.abs(exact[straight] - sorted_shares) < 1e-12).mean() > 0.98


@pytest.mark.law
def test_grid_points_agree_with_the_closed_form_on_cones_and_barrels() -> None:
    """Points counted one by one lean to neither side of our share.

    One case may be off by a hundredth, where strips come back to the same places and all their
    edges fall between the same points; the mean over the cases lies within five of its standard
    errors of nothing.
    """
    cases = bench.invent(150)
    off = bench.exact_shares(cases) - [bench.by_grid(cases, case) for case in range(150)]
    shaped = off[(cases.cone_m != 0.0) | (cases.barrel_m != 0.0)]
    assert len(shaped) > 80
    assert abs(shaped.mean()) < 5 * shaped.std() / np.sqrt(len(shaped))
