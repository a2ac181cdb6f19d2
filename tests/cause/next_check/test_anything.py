"""Whatever is known, asked and priced: every answer is a number in its range and a sentence."""

from __future__ import annotations

import math
from dataclasses import fields, replace

import numpy as np
import pytest

from balewright.cause.evidence_value import NO, UNKNOWN, YES, Seen, read
from balewright.cause.network import Hands, Network, Reading, Way
from balewright.cause.next_check.advise import next_step
from balewright.cause.next_check.costs import Costs
from balewright.cause.next_check.step import Deed
from balewright.cause.rank import rank_causes
from balewright.cause.reasons.sentence import oddities_of, reasons_of
from balewright.words.say import say
from cause.networks_by_hand import cause, check, network, random_network, report


def with_numbers(given: Network, rng: np.random.Generator) -> Network:
    """Some of its checks read a number."""
    reading = Reading("bar", 120.0, Way.DOWN, (180.0, 20.0), (90.0, 20.0))
    seen = tuple(
        replace(one, check=replace(one.check, reading=reading))
        if one.check is not None and rng.random() < 0.3
        else one
        for one in given.observations
    )
    return replace(given, observations=seen)


def some(rng: np.random.Generator) -> Seen | None:
    """An answer of any kind, or none."""
    number = read(float(rng.uniform(-500.0, 500.0)))
    return [YES, NO, UNKNOWN, number, None, None][int(rng.integers(0, 6))]


@pytest.mark.law
@pytest.mark.parametrize("seed", range(40))
def test_every_answer_is_a_number_and_a_sentence(seed: int) -> None:
    """Networks, evidence, exposure, complaint and prices by chance, extremes among them."""
    rng = np.random.default_rng(seed)
    sizes = (int(rng.integers(1, 8)), int(rng.integers(1, 5)), int(rng.integers(0, 6)))
    given = with_numbers(random_network(rng, *sizes), rng)
    answers = {one.key: some(rng) for one in given.observations}
    evidence = {key: seen for key, seen in answers.items() if seen is not None}
    exposure = {
        one.key: float(rng.choice([0.0, 0.5, 100.0])) for one in given.causes if rng.random() < 0.3
    }
    prices = {
        one.name: float(rng.uniform(0.0, 100.0))
        for one in fields(Costs)
        if one.name not in {"parts_to_hand", "there"} and rng.random() < 0.5
    }
    costs = Costs(**prices, there=list(Hands)[int(rng.integers(0, 3))])
    complaint = None if rng.random() < 0.6 else list(evidence)[:2]
    ranking = rank_causes(given, evidence, exposure, complaint)
    for one in ranking.causes:
        assert 0.0 <= one.behind_frac <= one.posterior_frac * (1.0 + 1e-12) <= 1.0 + 1e-9
        assert all(map(say, reasons_of(one, given)))
    assert 0.0 <= ranking.none_frac <= 1.0
    assert 0.0 <= ranking.beyond_frac <= 1.0
    assert math.isfinite(ranking.conflict_ratio)
    assert all(map(say, (ranking.verdict, *oddities_of(ranking, given))))
    advice = next_step(given, evidence, costs, exposure, complaint)
    assert 0.0 <= advice.step.step_money < math.inf
    assert advice.step.total_money <= advice.repair_money * (1.0 + 1e-12)
    assert all(map(say, (advice.step.why, *advice.assumed)))
    assert advice.stop is None or say(advice.stop)
    for look in advice.looks:
        assert 0.0 <= look.on_frac <= 1.0
        assert 0.0 <= look.moves_frac <= sizes[0]
        assert 0.0 <= look.new_first_frac <= 1.0 + 1e-12
        assert math.isfinite(look.total_money)
    assert all(0.0 <= one.reached_frac <= 1.0 for one in advice.repairs)


@pytest.mark.practice
def test_a_trouble_no_cause_can_be_behind_is_for_somebody_who_knows_more() -> None:
    """Everything that shows so was put right, and it goes on: no check is made up."""
    given = network(
        [cause("a", 0.02), cause("b", 0.02)],
        [report("slow"), check("look")],
        {("a", "slow"): 0.8, ("a", "look"): 0.9, ("b", "look"): 0.9},
    )
    advice = next_step(given, {"slow": YES}, Costs(hour_money=60.0), {"a": 0.0})
    assert advice.step.deed is Deed.ASK
    assert advice.repairs == ()
