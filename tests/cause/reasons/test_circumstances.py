"""Circumstances are said of what somebody called about."""

from __future__ import annotations

import numpy as np
import pytest

from balewright.cause.evidence_value import NO, YES
from balewright.cause.facts import machine_facts
from balewright.cause.laid_out import lay_out, weigh
from balewright.cause.rank import rank_causes
from balewright.cause.reasons.circumstances import focus
from balewright.readers.fault_network import shipped_network
from balewright.readers.profile import shipped_profiles

pytestmark = pytest.mark.own


def test_a_circumstance_is_explained_by_causes_of_the_trouble_alone() -> None:
    """`Since a new roll` lifts the causes of binding that begin with a roll when binding does not
    start, and no fault of a film roll takes it away from them; what shows in no symptom loses its
    link to it, and nothing else changes.
    """
    network = shipped_network().for_machine(machine_facts(shipped_profiles()["mossgrinder-m2"]))
    laid = lay_out(network)
    weighed = weigh(laid, {"binding_wont_start": YES, "since_new_roll": YES})
    focused = focus(laid, weighed)
    at = laid.observation_at["since_new_roll"]
    symptom = laid.observation_at["binding_wont_start"]
    lost = (laid.chance[at] > 0.0) & (focused.chance[at] == 0.0)
    assert lost[laid.cause_at["film_batch_weak"]]
    assert not (lost & (laid.chance[symptom] > 0.0)).any()
    others = np.delete(np.arange(len(laid.observation_at)), at)
    assert np.array_equal(laid.chance[others], focused.chance[others])
    kept = focused.arrays.start[at + 1] - focused.arrays.start[at]
    assert kept == np.count_nonzero(focused.chance[at])


@pytest.mark.parametrize(
    "evidence", [{}, {"binding_wont_start": YES}, {"since_new_roll": YES}, {"since_new_roll": NO}]
)
def test_without_both_nothing_changes(evidence: dict[str, object]) -> None:
    """No circumstance, or nothing it could be said of: the network is as it was."""
    network = shipped_network().for_machine(machine_facts(shipped_profiles()["mossgrinder-m2"]))
    laid = lay_out(network)
    assert focus(laid, weigh(laid, evidence)) is laid  # type: ignore[arg-type]


def test_a_new_roll_lifts_what_comes_with_a_roll() -> None:
    """Wrong threading is likelier to be behind it once it is known that it began with a roll."""
    network = shipped_network().for_machine(machine_facts(shipped_profiles()["mossgrinder-m2"]))
    without = rank_causes(network, {"binding_wont_start": YES})
    with_it = rank_causes(network, {"binding_wont_start": YES, "since_new_roll": YES})
    key = "binding_threaded_wrong"
    assert with_it.cause(key).behind_frac > 1.5 * without.cause(key).behind_frac
