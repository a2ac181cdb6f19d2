"""The microwave's stop rules: what to do after each weighing."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.plan.keeping.microwave import (
    STOP_RULES,
    NextStep,
    Weighing,
    follow_drying,
)
from balewright.quantities.errors import BadInput
from balewright.quantities.sources import source

SILAGE = tuple(
    Weighing(minutes, mass_g)
    for minutes, mass_g in ((0, 100), (3, 62), (4, 49), (5, 41), (6, 37), (7, 35.6), (8, 35.0))
)


@pytest.mark.published
def test_until_less_than_a_gram_is_lost() -> None:
    """Saskatchewan: three minutes, then one by one, on at a loss of 1.4 g and done at 0.6 g."""
    assert follow_drying(SILAGE[:1]).heat_minutes == 3.0
    for count in range(2, 7):
        found = follow_drying(SILAGE[:count], scale_g=0.1)
        assert (found.step, found.heat_minutes) == (NextStep.HEAT, 1.0)
        assert found.dry_matter_frac is None
    done = follow_drying(SILAGE, scale_g=0.1)
    assert done.step is NextStep.STOP
    assert done.dry_matter_frac is not None
    assert done.dry_matter_frac.best == pytest.approx(0.35)


@pytest.mark.published
def test_until_the_last_two_weights_are_the_same() -> None:
    """Kentucky's rule goes on where the first stops, and ends when nothing is lost."""
    rule = STOP_RULES["no-change"]
    assert follow_drying(SILAGE, rule, scale_g=0.1).step is NextStep.HEAT
    still = (*SILAGE, Weighing(9, 34.8), Weighing(10, 34.8))
    done = follow_drying(still, rule, scale_g=0.1)
    assert done.step is NextStep.STOP
    assert done.dry_matter_frac is not None
    assert done.dry_matter_frac.best == pytest.approx(0.348)


@pytest.mark.published
def test_after_charring_the_weight_before_counts() -> None:
    """A nearly dry sample that chars: the weight before (Jacobsen, Kentucky); a wet one: none."""
    charred = (*SILAGE[:6], Weighing(8, 33.0, charred=True))
    found = follow_drying(charred, scale_g=0.1)
    assert found.step is NextStep.STOP_CHARRED
    assert found.dry_matter_frac is not None
    assert found.dry_matter_frac.best == pytest.approx(0.356)
    early = (*SILAGE[:3], Weighing(7, 30.0, charred=True))
    assert follow_drying(early).step is NextStep.START_AGAIN
    assert follow_drying(early).dry_matter_frac is None
    first = (SILAGE[0], Weighing(5, 30.0, charred=True))
    assert follow_drying(first).step is NextStep.START_AGAIN


@pytest.mark.published
def test_the_interval_is_within_what_a_source_allows() -> None:
    """101 g to 85 g with a last loss of half a gram: ours lies inside 16 % +- 3 (Victoria)."""
    weighings = (Weighing(0, 101), Weighing(2, 88), Weighing(3, 85.5), Weighing(4, 85))
    found = follow_drying(weighings).dry_matter_frac
    assert found is not None
    assert 1.0 - found.high >= 0.13
    assert 1.0 - found.low <= 0.19


@pytest.mark.derived
def test_the_gram_is_a_hundredth_of_the_sample() -> None:
    """A sample of 200 g may lose up to 2 g in the last run: the rule is a share."""
    weighings = (Weighing(0, 200), Weighing(4, 90), Weighing(5, 88.5))
    assert follow_drying(weighings).step is NextStep.STOP
    half = tuple(Weighing(one.minutes, one.mass_g / 2) for one in weighings[:2])
    assert follow_drying((*half, Weighing(5, 43.5))).step is NextStep.HEAT


@pytest.mark.derived
@pytest.mark.parametrize("name", sorted(STOP_RULES))
def test_one_run_alone_never_ends_it(name: str) -> None:
    """Dry hay that loses next to nothing at first gets the second run that both rules ask for."""
    first = (Weighing(0, 100), Weighing(3, 99.9))
    assert follow_drying(first, STOP_RULES[name], scale_g=0.5).step is NextStep.HEAT
    second = (*first, Weighing(4, 99.9))
    assert follow_drying(second, STOP_RULES[name], scale_g=0.5).step is NextStep.STOP


@pytest.mark.own
def test_every_rule_names_its_source() -> None:
    """Each stop rule stands in the bibliography."""
    for rule in STOP_RULES.values():
        assert source(rule.source).text


@pytest.mark.law
@settings(max_examples=80)
@given(
    st.floats(50.0, 300.0),
    st.floats(0.1, 0.9),
    st.floats(0.05, 0.5),
    st.sampled_from(sorted(STOP_RULES)),
    st.sampled_from([0.1, 0.5, 1.0]),
)
def test_the_truth_lies_in_the_answer(
    wet_g: float, dry_frac: float, keep: float, name: str, scale_g: float
) -> None:
    """A sample that loses half of its water in every run, or more, weighed on a scale that
    rounds, is stopped in time, and its true dry matter lies in the interval.
    """
    rule, water_g, minutes = STOP_RULES[name], wet_g * (1.0 - dry_frac), 0.0
    weighings = [Weighing(0.0, round(wet_g / scale_g) * scale_g)]
    for _ in range(60):
        found = follow_drying(weighings, rule, scale_g)
        if found.heat_minutes is None:
            break
        minutes += found.heat_minutes
        water_g *= keep
        shown_g = round((wet_g * dry_frac + water_g) / scale_g) * scale_g
        weighings.append(Weighing(minutes, shown_g))
    assert found.step is NextStep.STOP
    assert found.dry_matter_frac is not None
    assert found.dry_matter_frac.low - 1e-9 <= dry_frac <= found.dry_matter_frac.high + 1e-9


@pytest.mark.own
@pytest.mark.parametrize("bad", [math.nan, math.inf, -1.0, 1e9])
def test_absurd_weighings_are_refused(bad: float) -> None:
    """NaN, infinite, negative and absurd numbers are BadInput."""
    with pytest.raises(BadInput):
        follow_drying((Weighing(0.0, bad),))
    with pytest.raises(BadInput):
        follow_drying((SILAGE[0], Weighing(bad, 60.0)))
    with pytest.raises(BadInput):
        follow_drying(SILAGE, scale_g=bad)


@pytest.mark.own
def test_weighings_that_cannot_be_are_refused() -> None:
    """No wet sample, time that stands, weight that grows, char that goes away, a tiny sample."""
    for weighings, words in (
        ((), "weighings"),
        ((Weighing(2, 100),), "wet sample first"),
        ((SILAGE[0], Weighing(0, 60)), "minutes that grow"),
        ((SILAGE[0], Weighing(3, 104)), "only gets lighter"),
        ((SILAGE[0], Weighing(3, 50, charred=True), Weighing(4, 49)), "Char does not go away"),
        ((Weighing(0, 5),), "20 g or more"),
    ):
        with pytest.raises(BadInput, match=words):
            follow_drying(weighings)
