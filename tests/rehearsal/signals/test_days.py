"""Invented days of signals: what their truth promises."""

from __future__ import annotations

import numpy as np
import pytest

from balewright.readers.profile import shipped_profiles
from balewright.records.signals import SIGNAL_BY_NAME
from balewright.rehearsal.signals.habits import POOR, POOREST, RICH, habits_of
from balewright.rehearsal.signals.troubles import Trouble, rehearse_day


@pytest.mark.law
@pytest.mark.parametrize("trouble", list(Trouble), ids=[each.name for each in Trouble])
def test_a_day_holds_together(trouble: Trouble) -> None:
    """Messages rise within each signal; phases of a bale stand in order; names are known."""
    day = rehearse_day(POOR, 6, trouble, np.random.default_rng(7))
    for name, signal in day.signals.by_name.items():
        assert name in SIGNAL_BY_NAME
        assert (np.diff(signal.at) > 0).all()
    places = np.concatenate([signal.at for signal in day.signals.by_name.values()])
    assert len(np.unique(places)) == len(places)
    if "CLOCK" not in trouble.name and "HOUR" not in trouble.name:
        for row in day.truth.shown_us:
            assert (np.diff(row[row >= 0]) >= 0).all()


@pytest.mark.law
def test_the_same_chance_gives_the_same_day() -> None:
    """A day is its seed."""
    days = [rehearse_day(RICH, 4, Trouble.BOUNCE, np.random.default_rng(3)) for _ in range(2)]
    for name, signal in days[0].signals.by_name.items():
        assert np.array_equal(signal.values, days[1].signals.by_name[name].values)


@pytest.mark.own
def test_makes_speak_as_their_profiles_sense() -> None:
    """The three invented makes give all, some and hardly any signals."""
    makes = shipped_profiles()
    assert habits_of(makes["mossgrinder-m2"]) == RICH
    assert habits_of(makes["thistlewick-t1"]) == POOR
    assert habits_of(makes["plainrow-p0"]) == POOREST
