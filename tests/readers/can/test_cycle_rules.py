"""What a profile tells the cutting of cycles, and what it changes."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from balewright.plan.machine import Counter, Span, StepsAt
from balewright.readers.can.cycle_rules import rules_for
from balewright.readers.profile import shipped_profiles
from balewright.records.cycles.cutting import cut_cycles
from balewright.records.cycles.phases import PHASES
from balewright.records.cycles.rules import CycleRules
from balewright.rehearsal.signals.habits import POOR, RICH, Spread
from balewright.rehearsal.signals.troubles import Trouble, rehearse_day

M2 = shipped_profiles()["mossgrinder-m2"]


@pytest.mark.own
def test_without_anything_told_the_rules_are_the_usual_ones() -> None:
    """No profile, a profile that tells neither, a full sign that is no gate opening."""
    assert rules_for(None) == CycleRules()
    for machine in shipped_profiles().values():
        assert rules_for(machine) == CycleRules()


@pytest.mark.law
@pytest.mark.parametrize("steps_at", StepsAt)
def test_every_word_of_a_profile_is_a_phase(steps_at: StepsAt) -> None:
    """So that none of them fails when a trace comes."""
    told = replace(M2, counter=Counter(True, False, steps_at))
    assert rules_for(told).number_at in PHASES


@pytest.mark.law
def test_a_number_that_steps_where_the_profile_says_is_right_from_the_first_bale() -> None:
    """Two bales, too few to learn from: numbered as they truly were."""
    told = replace(M2, counter=Counter(True, False, StepsAt.WRAPPED))
    day = rehearse_day(POOR, 2, Trouble.NONE, np.random.default_rng(3))
    cycles = cut_cycles(day.signals, rules_for(told))
    assert cycles.bale_no.tolist() == day.truth.numbers.tolist()


@pytest.mark.law
def test_a_full_chamber_that_stands_wide_open_is_not_taken_for_an_open_one() -> None:
    """The gate of a full chamber at 110 to 150 mm, by its profile: each bale opens once, when the
    gate truly opened; by the usual thresholds it seemed open while it filled."""
    wide = replace(M2, chamber=replace(M2.chamber, full_at=Span(110.0, 150.0)))
    habits = replace(RICH, fill_s=Spread(20.0, 60.0)).without("chamber_closed")
    day = rehearse_day(habits, 8, Trouble.NONE, np.random.default_rng(7))
    gate = day.signals.by_name["gate_opening_mm"]
    lifted = replace(gate, values=np.where(gate.values > 15.0, gate.values + 105.0, gate.values))
    signals = replace(day.signals, by_name={**day.signals.by_name, "gate_opening_mm": lifted})
    opens = PHASES.index("gate_open_at")
    off_s = {}
    for rules in (rules_for(wide), CycleRules()):
        cycles = cut_cycles(signals, rules)
        assert cycles.rows == 8
        off_s[rules.levels["gate_opening_mm"].low] = (
            np.abs(cycles.at_us[:, opens] - day.truth.shown_us[:, opens]).max() / 1e6
        )
    assert off_s[180.0] < 2.0
    assert off_s[60.0] > 60.0, "an opening is missed"
