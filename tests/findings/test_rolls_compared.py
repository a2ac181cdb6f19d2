"""Rolls and batches compared over machines, against published figures and laws."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from balewright.findings.finding import FindingKind
from balewright.findings.rolls_compared import (
    RollUse,
    Stratum,
    chance_at_least,
    compare_rolls,
    find_rolls_worse,
    mantel_haenszel_times,
    rate_interval,
    roll_uses,
    times_interval,
)
from balewright.records.bales import BaleTable
from balewright.records.events import Event, EventKind
from balewright.records.rolls import account_rolls
from balewright.words.say import say

# deaths and person-years of doctors who smoke and who do not, by ten years of age from 35 on
DOCTORS = [
    Stratum(52407, 32, 18790, 2),
    Stratum(43248, 104, 10673, 12),
    Stratum(28612, 206, 5710, 28),
    Stratum(12663, 186, 2585, 28),
    Stratum(5317, 102, 1462, 31),
]


@pytest.mark.published
@pytest.mark.check(model="rate ratio over strata", source="breslow-day-rates")
def test_ratio_over_strata_is_the_published_one() -> None:
    """Doll and Hill's doctors: 1.4247, from 1.1547 to 1.7578; the exact one is close to it."""
    ratio = mantel_haenszel_times(DOCTORS)
    assert ratio is not None
    assert (ratio.low, ratio.best, ratio.high) == pytest.approx(
        (1.154703, 1.424682, 1.757784), abs=5e-7
    )
    exact = times_interval(DOCTORS)
    assert exact is not None
    assert exact.best == pytest.approx(ratio.best, rel=0.01)
    assert exact.low == pytest.approx(ratio.low, rel=0.02)
    assert exact.high == pytest.approx(ratio.high, rel=0.02)


@pytest.mark.published
@pytest.mark.check(model="exact limits of a count", source="garwood")
def test_limits_of_a_count_are_the_published_ones() -> None:
    """None seen: up to 3.689. Ten seen: 4.795 to 18.390."""
    assert rate_interval(0, 1).high == pytest.approx(3.689, abs=5e-4)
    ten = rate_interval(10, 1)
    assert (ten.low, ten.high) == pytest.approx((4.795, 18.390), abs=1e-3)


@pytest.mark.derived
def test_chance_within_one_stratum_is_the_binomial_one() -> None:
    """Of 4 breaks 3 fall on a quarter of the bales: 4 (1/4)^3 (3/4) + (1/4)^4 = 13/256."""
    assert chance_at_least([Stratum(10, 3, 30, 1)]) == pytest.approx(13 / 256, rel=1e-12)
    both = [Stratum(10, 1, 10, 0), Stratum(20, 1, 20, 0)]
    assert chance_at_least(both) == pytest.approx(1 / 4, rel=1e-12)
    assert times_interval(both) is None


def fleet(worse_times: float, seed: int) -> list[RollUse]:
    """Forty machines that break film at rates far apart; the worse machines got batch k7."""
    draw = np.random.default_rng(seed)
    uses = []
    for machine in range(40):
        rate = 0.005 if machine < 20 else 0.05
        for batch in ("a1", "b2", "k7"):
            bales = int(draw.integers(40, 200))
            if batch == "k7":
                bales = bales // 4 if machine < 20 else bales * 3
            factor = worse_times if batch == "k7" else 1.0
            breaks = int(draw.poisson(rate * factor * bales))
            uses.append(RollUse(f"m{machine} film 1", batch, bales, breaks))
    return uses


@pytest.mark.law
def test_a_batch_that_went_to_bad_machines_is_not_blamed_for_them() -> None:
    """Crude rates differ by a third and more; over strata nothing is left."""
    told = 0
    for seed in range(40):
        compared = {one.name: one for one in compare_rolls(fleet(1.0, seed))}
        assert compared["k7"].breaks_bale.best > 1.2 * compared["a1"].breaks_bale.best
        told += len(find_rolls_worse(compared.values()))
    assert told <= 5


@pytest.mark.law
def test_a_bad_batch_is_found_and_its_ratio_covered() -> None:
    """Twice as many breaks on every machine: told each time, the interval holds two."""
    covered = 0
    for seed in range(40):
        (worst, *_) = compare_rolls(fleet(2.0, seed))
        assert worst.name == "k7"
        assert worst.told_frac < 0.01
        assert worst.times is not None
        covered += worst.times.holds(2.0)
    assert covered >= 35


@pytest.mark.law
def test_order_and_splitting_of_rolls_change_nothing() -> None:
    """A batch of two rolls is the sum of them, in any order."""
    uses = fleet(1.5, 1)
    halves = [
        half
        for use in uses
        for half in (
            RollUse(use.stratum, use.name, use.bales // 2, use.breaks),
            RollUse(use.stratum, use.name, use.bales - use.bales // 2, 0),
        )
    ]
    mixed = [halves[place] for place in np.random.default_rng(2).permutation(len(halves))]
    assert compare_rolls(mixed) == compare_rolls(uses)


@pytest.mark.law
def test_unnamed_batches_are_only_the_rest() -> None:
    """Nobody is told that what nobody noted is worse."""
    uses = [RollUse("m1 film 1", "", 100, 20), RollUse("m1 film 1", "a1", 100, 1)]
    compared = compare_rolls(uses)
    assert [one.name for one in compared] == ["a1"]
    assert not find_rolls_worse(compared)


@pytest.mark.derived
def test_uses_are_counted_from_the_records(make_bales: Callable[..., BaleTable]) -> None:
    """Two rolls on dispenser 1: thirty bales with three breaks, then thirty with none; a net roll
    with two tries too many. What a bale does not count, no roll is charged with."""
    changed: dict[tuple[int, int], dict[str, Any]] = {
        (0, 60): {"film1_breaks": 0, "binding_tries": 1},
        (3, 6): {"film1_breaks": 1},
        (40, 41): {"binding_tries": 3, "film1_breaks": None},
    }
    bales = make_bales(60, changed)
    events = [
        Event("RING-1", EventKind.FILM_ROLL_CHANGED, 100, None, "film 1", 1500.0, "", "A1 "),
        Event("RING-1", EventKind.FILM_ROLL_CHANGED, 130, None, "film 1", 1500.0, "", "b2"),
        Event("RING-1", EventKind.NET_ROLL_CHANGED, 100, None, "net", 3000.0, "", "n9"),
    ]
    uses = roll_uses(bales, account_rolls("RING-1", bales, events).ranges)
    assert sorted((use.name, use.bales, use.breaks) for use in uses) == [
        ("a1", 30, 3), ("b2", 29, 0), ("n9", 60, 2),
    ]  # fmt: skip


@pytest.mark.practice
def test_the_sentence_says_how_many_times_as_often() -> None:
    """And over how many machines it was compared."""
    (finding, *_) = find_rolls_worse(compare_rolls(fleet(3.0, 5)))
    assert finding.kind is FindingKind.ROLL_WORSE
    assert finding.part == "k7"
    text = say(finding.words)
    assert text.startswith("Batch k7 breaks more than other film on the same machines")
    assert "40 machines compared" in text
