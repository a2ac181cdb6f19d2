"""Two bales made by hand: every boundary and value as drawn."""

from __future__ import annotations

import numpy as np
import pytest
from tests.records.cycles.hand_made import SECOND, START_US, recording, two_bales

from balewright.records.cycles.bale_rows import to_bales
from balewright.records.cycles.cutting import cut_cycles
from balewright.records.cycles.phases import PHASES, Sureness

DRAWN_S = np.array(
    [[5, 45, 47, 52, 54, 57, 60, 85, 88], [62, 101, 103, 108, 110, 113, 116, 140, 144]]
)


@pytest.mark.derived
def test_every_boundary_is_where_it_was_drawn() -> None:
    """With all signals there each boundary is seen, within the samples around it."""
    cycles = cut_cycles(recording(two_bales()))
    drawn_us = START_US + DRAWN_S * SECOND
    assert (cycles.at_us == drawn_us).all()
    assert (cycles.sure == Sureness.SEEN).all()
    assert (cycles.earliest_us <= drawn_us).all()
    assert (cycles.latest_us >= drawn_us).all()
    assert (cycles.latest_us - cycles.earliest_us <= 160_000).all()


@pytest.mark.derived
def test_values_are_taken_over_their_own_part_of_the_cycle() -> None:
    """Speed over the filling, metres and turns by what rose, the number from the counter."""
    signals = recording(two_bales())
    bales, doubts, at = to_bales(cut_cycles(signals), signals)
    assert bales.column("bale_no").tolist() == [701, 702]
    assert bales.floats("speed_m_s").tolist() == [2.0, 3.0]
    assert bales.floats("binding_m") == pytest.approx([15.0, 14.0], abs=1e-9)
    assert bales.floats("wrap_turns") == pytest.approx([16.0, 15.0], abs=1e-9)
    assert bales.column("binding_tries").tolist() == [1, 1]
    assert doubts == ()
    assert at.tolist() == [541, 1101]  # the messages that tell the opening of the gate


@pytest.mark.derived
@pytest.mark.parametrize(
    ("missing", "phases"),
    [
        ("binding_on", ("bind_start_at", "bind_end_at")),
        ("wrapper_on", ("wrap_start_at", "wrap_end_at")),
        ("bale_on_wrapper", ("tipped_at",)),
    ],
)
def test_a_missing_signal_is_inferred_from_another(missing: str, phases: tuple[str, ...]) -> None:
    """What another signal tells is said to be inferred, and its range holds the truth."""
    by_name = two_bales()
    del by_name[missing]
    cycles = cut_cycles(recording(by_name))
    assert cycles.rows == 2
    for name in phases:
        place = PHASES.index(name)
        drawn_us = START_US + DRAWN_S[:, place] * SECOND
        assert (cycles.sure[:, place] == Sureness.INFERRED).all()
        assert (cycles.earliest_us[:, place] <= drawn_us).all()
        assert (cycles.latest_us[:, place] >= drawn_us).all()


@pytest.mark.derived
def test_what_nothing_tells_is_unknown() -> None:
    """A machine with binding, turns and number only: the rest of the cycle is not made up."""
    poor = {name: two_bales()[name] for name in ("binding_on", "wrap_turns", "bale_no")}
    signals = recording(poor)
    bales, _, _ = to_bales(cut_cycles(signals), signals)
    assert bales.rows == 2
    assert bales.column("bale_no").tolist() == [701, 702]
    for name in ("closed_at", "full_at", "gate_open_at", "on_wrapper_at", "tipped_at", "mass_kg"):
        assert not bales.has(name)
    assert bales.has("bind_end_at")
    assert bales.has("wrap_end_at")


@pytest.mark.derived
def test_a_machine_that_only_counts_gives_its_bales() -> None:
    """With the number alone there are as many bales as steps, at the times of the steps."""
    signals = recording({"bale_no": two_bales()["bale_no"]})
    bales, doubts, _ = to_bales(cut_cycles(signals), signals)
    assert bales.column("bale_no").tolist() == [701, 702]
    assert bales.column("gate_open_at").tolist() == [START_US + 54_400_000, START_US + 110_400_000]
    assert [doubt.kind for doubt in doubts] == ["cycle unseen", "cycle unseen"]


@pytest.mark.derived
def test_a_recording_without_the_cycle_gives_no_bales() -> None:
    """Speed alone makes no bale."""
    signals = recording({"speed_m_s": two_bales()["speed_m_s"]})
    bales, doubts, at = to_bales(cut_cycles(signals), signals)
    assert (bales.rows, doubts, len(at)) == (0, (), 0)
