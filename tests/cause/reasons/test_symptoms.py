"""What wants explaining, what is behind it, and the chance that it is nothing of the network."""

from __future__ import annotations

import numpy as np
import pytest

from balewright.cause.evidence_value import NO, YES
from balewright.cause.infer.posterior import infer
from balewright.cause.infer.sweep import sweep
from balewright.cause.laid_out import lay_out, weigh
from balewright.cause.rank import rank_causes
from balewright.cause.reasons.beyond import beyond_after, beyond_of, shared_out
from balewright.cause.reasons.symptoms import symptoms_of
from cause.networks_by_hand import Brute, cause, check, network, random_network, report


def by_all_states(brute: Brute, symptoms: list[str]) -> float:
    """Chance that every symptom came by its leak, no cause having turned any on."""
    weight = 0.0
    for state, one in zip(brute.states, brute.weight, strict=True):
        part = 1.0
        for key in symptoms:
            leak = brute.network.observation_by_key[key].leak_frac
            dark = brute.off(state, key)
            part *= leak * dark / (1.0 - leak) / (1.0 - dark)
        weight += one * part
    return weight / brute.evidence_chance


@pytest.mark.derived
@pytest.mark.parametrize("seed", range(3))
def test_the_chance_that_it_is_none_of_them_is_exact_before_and_after_a_check(seed: int) -> None:
    """Held by trying all states, now and for both answers of every check that is open."""
    given = random_network(np.random.default_rng(60 + seed), 6, 3, 5)
    evidence = {"r0": YES, "r1": YES, "r2": NO, "k0": YES, "k1": NO}
    laid = lay_out(given)
    weighed = weigh(laid, evidence)
    whole = infer(laid.arrays, weighed.on, weighed.off)
    beyond = beyond_of(laid, weighed, whole)
    assert beyond.frac == pytest.approx(by_all_states(Brute(given, evidence), ["r0", "r1"]))
    checks = np.array([laid.observation_at[key] for key in ("k2", "k3", "k4")])
    shown = sweep(laid.arrays, weighed.on, weighed.off, checks)
    after = beyond_after(laid, beyond, checks, shown.on_frac)
    for row, key in enumerate(("k2", "k3", "k4")):
        for answer, chance in ((YES, after[0][row]), (NO, after[1][row])):
            brute = Brute(given, {**evidence, key: answer})
            assert chance == pytest.approx(by_all_states(brute, ["r0", "r1"]), rel=1e-9)


@pytest.mark.derived
def test_symptoms_are_what_was_reported_and_not_its_circumstances() -> None:
    """Reports before findings before checks; a circumstance never; or what the complaint names."""
    given = network(
        [cause("a", 0.1)],
        [report("slow"), report("new_roll", 0.1), check("look"), check("other")],
        {("a", key): 0.5 for key in ("slow", "new_roll", "look", "other")},
    )
    laid = lay_out(given)

    def keys(evidence, complaint=None) -> list[str]:
        at = symptoms_of(laid, weigh(laid, evidence, complaint))
        return [given.observations[one].key for one in at]

    assert keys({"slow": YES, "new_roll": YES, "look": YES}) == ["slow"]
    assert keys({"slow": NO, "look": YES}) == ["look"]
    assert keys({"slow": YES, "look": YES, "other": NO}, ["look", "other"]) == ["look"]


@pytest.mark.practice
def test_a_check_that_reads_bad_for_both_rivals_leaves_both_behind_the_trouble() -> None:
    """It says the same as the complaint; neither becomes unneeded by it."""
    given = network(
        [cause("a", 0.02), cause("b", 0.02)],
        [report("slow"), check("look")],
        {(key, on): 0.9 for key in "ab" for on in ("slow", "look")},
    )
    ranking = rank_causes(given, {"slow": YES, "look": YES})
    for one in ranking.causes:
        assert one.behind_frac == pytest.approx(0.5, abs=0.02)


@pytest.mark.law
def test_chances_are_shared_out_only_where_they_add_up_to_less() -> None:
    """Rows that fall short are filled in proportion; fuller ones and empty ones stay."""
    rows = np.array([[0.3, 0.3], [0.9, 0.8], [0.0, 0.0]])
    shared = shared_out(rows, np.array([0.1, 0.1, 1.0]))
    assert shared.tolist() == [pytest.approx([0.45, 0.45]), [0.9, 0.8], [0.0, 0.0]]
