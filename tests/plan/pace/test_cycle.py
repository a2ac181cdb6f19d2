"""Pace against worked values and what must hold for every cycle."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balewright.plan.pace.cycle import Cycle, HeldBack, fill_time_s, pace_of
from balewright.quantities.errors import BadInput

seconds = st.floats(1.0, 600.0)


@pytest.mark.derived
def test_stop_time_model() -> None:
    """600 kg at 36 t/h fill in 60 s; with 25 s standing that is 25.4 t/h, 0.706 of the time.

    Throughput M / (M/F + ts), worked out by hand; same structure as Grisso, Webb & Cundiff 2020.
    """
    fill_s = fill_time_s(600.0, 36.0 / 3.6)
    pace = pace_of(Cycle(fill_s, standing_s=25.0), 600.0)
    assert fill_s == pytest.approx(60.0)
    assert pace.throughput_t_h == pytest.approx(25.4, abs=0.05)
    assert pace.efficiency_frac == pytest.approx(0.706, abs=5e-4)
    assert pace.pace_bales_h == pytest.approx(3600 / 85)


@pytest.mark.derived
def test_a_machine_that_never_stops_takes_all_that_is_fed() -> None:
    """Without standing time the throughput is the feed rate."""
    assert pace_of(Cycle(60.0, 0.0), 600.0).throughput_t_h == pytest.approx(36.0)


@pytest.mark.published
def test_binding_and_ejecting_can_halve_the_capacity() -> None:
    """Standing as long as filling halves the throughput.

    Grisso, Cundiff & Webb, AgriEngineering 2(3), 2020: wrap/eject time gave a 50 % reduction.
    """
    full = pace_of(Cycle(30.0, 0.0), 500.0).throughput_t_h
    assert pace_of(Cycle(30.0, 30.0), 500.0).throughput_t_h == pytest.approx(full / 2)


@pytest.mark.derived
@pytest.mark.parametrize(
    ("cycle", "cycle_s", "held_back_by"),
    [
        (Cycle(60.0, 20.0, 40.0), 80.0, HeldBack.FILLING),  # wrapped within the next filling
        (Cycle(30.0, 20.0, 70.0), 70.0, HeldBack.WRAPPER),  # the chamber waits 20 s
        (Cycle(20.0, 30.0, 45.0), 50.0, HeldBack.STANDING),
        (Cycle(20.0, 30.0), 50.0, HeldBack.STANDING),
    ],
)
def test_chamber_and_wrapper_run_side_by_side(
    cycle: Cycle, cycle_s: float, held_back_by: HeldBack
) -> None:
    """The slower of chamber and wrapper sets the cycle, and is named."""
    pace = pace_of(cycle, 600.0)
    assert pace.cycle_s == cycle_s
    assert pace.held_back_by is held_back_by


@pytest.mark.law
@given(fill_s=seconds, standing_s=seconds, wrapping_s=seconds, more_s=seconds)
def test_more_time_never_makes_more_bales(
    fill_s: float, standing_s: float, wrapping_s: float, more_s: float
) -> None:
    """Adding time to any part never raises the pace, and no cycle is shorter than its parts."""
    cycle = Cycle(fill_s, standing_s, wrapping_s)
    pace = pace_of(cycle, 600.0)
    assert pace.cycle_s == max(fill_s + standing_s, wrapping_s)
    for slower in (
        Cycle(fill_s + more_s, standing_s, wrapping_s),
        Cycle(fill_s, standing_s + more_s, wrapping_s),
        Cycle(fill_s, standing_s, wrapping_s + more_s),
    ):
        assert pace_of(slower, 600.0).pace_bales_h <= pace.pace_bales_h


@pytest.mark.own
def test_no_crop_is_refused() -> None:
    """A feed rate of zero or NaN has no fill time and is refused by name."""
    with pytest.raises(BadInput, match="feed_kg_s"):
        fill_time_s(600.0, 0.0)
    with pytest.raises(BadInput, match="standing_s"):
        Cycle(60.0, float("nan"))
