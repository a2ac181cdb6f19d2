"""Several measures show one fault: it is told once, by the one that says most exactly what."""

from __future__ import annotations

import numpy as np
import pytest

from balewright.findings.finding import Finding
from balewright.findings.watch.watch import WatchedMachine, watch
from balewright.plan.machine import Machine
from balewright.records.bales import bale_table

BALES = 1_200


def watched(ring: Machine, first_factor: float, second_factor: float) -> list[Finding]:
    """Film findings where from bale 600 on each dispenser draws so many times its metres."""
    chance = np.random.default_rng(11)
    closed = 1_900_000_000_000_000 + np.cumsum(chance.integers(80, 120, BALES)) * 1_000_000
    late = np.arange(BALES) >= 600
    both = chance.normal(1.0, 0.02, BALES)  # what bale and path do to both alike
    metres = [
        np.round(41.0 * both * chance.normal(1.0, 0.008, BALES) * np.where(late, factor, 1.0), 1)
        for factor in (first_factor, second_factor)
    ]
    bales = bale_table(
        BALES,
        {
            "machine": ["R"] * BALES, "bale_no": np.arange(1, BALES + 1),
            "job": [f"job {row // 60}" for row in range(BALES)],
            "closed_at": closed, "full_at": closed + 40_000_000, "wrap_turns": np.full(BALES, 14.0),
            "film1_m": metres[0], "film2_m": metres[1],
        },
    )  # fmt: skip
    found = watch(bales, WatchedMachine("R", ring, {})).findings
    return [one for one in found if one.measure.startswith("film")]


@pytest.mark.law
def test_the_dispenser_that_moved_is_told_and_not_the_ratio_too(ring: Machine) -> None:
    """Dispenser 1 draws 9 % more: told once, by name, with about that size; a clean pair is not."""
    (finding,) = watched(ring, 1.09, 1.0)
    assert (finding.measure, finding.part) == ("film1_stretch_ratio", "dispenser 1")
    assert finding.start is not None
    assert finding.start.first_bale is not None
    assert finding.start.last_bale is not None
    assert finding.start.first_bale <= 601 <= finding.start.last_bale
    assert finding.moved is not None
    assert finding.seen is not None
    assert finding.seen.best / (finding.seen.best - finding.moved.best) == pytest.approx(
        1 / 1.09, abs=0.01
    )
    assert watched(ring, 1.0, 1.0) == []


@pytest.mark.law
def test_what_only_the_ratio_shows_is_told_by_the_ratio(ring: Machine) -> None:
    """Dispenser 1 draws 1 % more: too little for its own chart to be sure of soon, not for the
    ratio, in which bale and path cancel."""
    found = watched(ring, 1.01, 1.0)
    assert [one.measure for one in found] == ["film_pair_ratio"]
