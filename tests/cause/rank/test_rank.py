"""The ranking: what is likely behind what was seen, and when that is not enough to tell."""

from __future__ import annotations

import math

import numpy as np
import pytest

from balewright.cause.evidence_value import NO, UNKNOWN, YES, Answer, Seen, read
from balewright.cause.laid_out import NotUsed
from balewright.cause.network import Reading, Way
from balewright.cause.rank import rank_causes
from balewright.quantities.errors import BadInput
from cause.networks_by_hand import Brute, cause, check, network, permuted, random_network, report


def some_evidence(rng: np.random.Generator, given) -> dict[str, Seen]:
    """An answer to about two observations in three, at least one of them yes."""
    found = {
        one.key: YES if rng.random() < 0.5 else NO
        for one in given.observations
        if rng.random() < 0.66
    }
    return {given.observations[0].key: YES, **found, given.observations[0].key: YES}


@pytest.mark.derived
@pytest.mark.parametrize("seed", range(6))
def test_a_ranking_is_what_trying_all_states_gives(seed: int) -> None:
    """Posteriors, no cause at all, two causes alone and the evidence's chance, to 1e-12."""
    rng = np.random.default_rng(seed)
    given = random_network(rng, 7, 4, 4)
    evidence = some_evidence(rng, given)
    ranking, brute = rank_causes(given, evidence), Brute(given, evidence)
    posterior = brute.posterior()
    for one in ranking.causes:
        assert one.posterior_frac == pytest.approx(posterior[one.key], rel=1e-12)
        assert one.prior_frac == pytest.approx(given.cause(one.key).prior_frac(), rel=1e-12)
    assert ranking.none_frac == pytest.approx(brute.exactly(), rel=1e-12)
    assert ranking.log_evidence == pytest.approx(math.log(brute.evidence_chance), rel=1e-12)
    singles = [brute.exactly(key) for key in brute.keys]
    pairs = {(a, b): brute.exactly(a, b) for a in brute.keys for b in brute.keys if a < b}
    best = max(pairs, key=lambda pair: pairs[pair])
    if pairs[best] > max(*singles, brute.exactly()):
        assert ranking.pair is not None
        assert ranking.pair.causes == best
        assert ranking.pair.both_frac == pytest.approx(pairs[best], rel=1e-12)
        times = pairs[best] / max(singles)
        assert ranking.pair.times_ratio == pytest.approx(times, rel=1e-12)
    else:
        assert ranking.pair is None


@pytest.mark.derived
@pytest.mark.parametrize("seed", range(4))
def test_behind_is_the_chance_that_a_symptom_hangs_on_the_cause(seed: int) -> None:
    """With nothing but reports, and things seen off, it is exact: held by taking causes away."""
    rng = np.random.default_rng(100 + seed)
    given = random_network(rng, 6, 4, 3)
    evidence = {"r0": YES, "r1": YES, "r2": NO, "k0": NO, "k1": NO}
    ranking, brute = rank_causes(given, evidence), Brute(given, evidence)
    for one in ranking.causes:
        needed = brute.needed(one.key, ["r0", "r1"])
        assert one.behind_frac == pytest.approx(needed, abs=1e-12)
        assert one.behind_frac <= one.posterior_frac + 1e-15
    order = [one.behind_frac for one in ranking.causes]
    assert order == sorted(order, reverse=True)


@pytest.mark.derived
@pytest.mark.parametrize("seed", range(3))
def test_a_sign_is_the_odds_with_it_over_the_odds_without(seed: int) -> None:
    """Each piece of evidence is left out in turn and everything answered anew."""
    rng = np.random.default_rng(200 + seed)
    given = random_network(rng, 5, 4, 3)
    evidence = some_evidence(rng, given)
    whole = Brute(given, evidence).posterior()
    for one in rank_causes(given, evidence).causes[:3]:
        for sign in (*one.lifted, *one.against):
            less = {key: seen for key, seen in evidence.items() if key != sign.on}
            without = Brute(given, less).posterior()[one.key]
            odds = whole[one.key] / (1 - whole[one.key]) / (without / (1 - without))
            assert sign.lift_ratio == pytest.approx(odds, rel=1e-9)
            assert sign.seen == evidence[sign.on]
        assert all(sign.lift_ratio > 1.0 for sign in one.lifted)
        assert all(sign.lift_ratio < 1.0 for sign in one.against)


def two_rivals(**priors: float):
    """Two causes of one complaint, a circumstance, a check that tells them apart."""
    return network(
        [cause("a", priors.get("a", 0.02)), cause("b", priors.get("b", 0.02)), cause("far", 0.1)],
        [report("slow"), report("new_roll", 0.1), check("look"), check("other")],
        {
            ("a", "slow"): 0.8, ("b", "slow"): 0.8, ("a", "new_roll"): 0.7, ("a", "look"): 0.95,
            ("b", "other"): 0.9, ("far", "other"): 0.9,
        },
    )  # fmt: skip


@pytest.mark.practice
def test_a_common_fault_that_shows_in_nothing_seen_is_not_put_first() -> None:
    """It may well be there; it is not what somebody called for."""
    ranking = rank_causes(two_rivals(a=0.001, b=0.0005), {"slow": YES})
    assert [one.key for one in ranking.causes] == ["a", "b", "far"]
    far = ranking.cause("far")
    assert far.behind_frac < 1e-12
    assert far.posterior_frac == pytest.approx(0.1)
    unlikely = rank_causes(two_rivals(), {"slow": YES, "other": YES})
    assert unlikely.cause("far").behind_frac < 1e-12


@pytest.mark.practice
def test_not_enough_to_tell_is_said_and_so_is_that_no_check_is_left() -> None:
    """Two rivals alike are not told apart until something is looked at."""
    given = two_rivals()
    first = rank_causes(given, {"slow": YES})
    assert not first.clear
    assert first.verdict.key == "cause.verdict.close"
    assert first.causes[0].expected == ("look", "new_roll")
    asked = {"slow": YES, "look": UNKNOWN, "other": UNKNOWN}
    assert rank_causes(given, asked).verdict.key == "cause.verdict.no_check"
    told = rank_causes(given, {"slow": YES, "look": YES})
    assert told.clear
    assert told.causes[0].key == "a"
    assert [sign.on for sign in told.causes[0].lifted] == ["look", "slow"]
    denied = rank_causes(given, {"slow": YES, "look": NO}).cause("a")
    assert [sign.on for sign in denied.against] == ["look"]
    assert rank_causes(given, {"look": NO}).verdict.key == "cause.verdict.nothing"


@pytest.mark.derived
def test_what_no_cause_explains_is_told_and_so_is_what_does_not_go_together() -> None:
    """A report that only its leak can turn on; two faults of one machine."""
    given = network(
        [cause("a", 0.02), cause("b", 0.0001)],
        [report("slow"), report("odd", 0.01), report("loud")],
        {("a", "slow"): 0.8, ("b", "odd"): 0.3, ("b", "loud"): 0.8},
    )
    ranking = rank_causes(given, {"slow": YES, "odd": YES, "loud": NO})
    prior = given.cause("b").prior_frac()
    off = (1 - 0.01) * (1 - prior + prior * 0.2 * 0.7) / (1 - prior + prior * 0.2)
    alone = 0.01 / 0.99 * off / (1 - off)
    assert [one.on for one in ranking.unexplained] == ["odd"]
    assert ranking.unexplained[0].alone_frac == pytest.approx(alone, rel=1e-9)
    slow_alone = 0.001 * (1 - 0.02 * 0.8) / (1 - 0.999 * (1 - 0.02 * 0.8))
    assert ranking.beyond_frac == pytest.approx(alone * slow_alone, rel=1e-9)
    apart = rank_causes(given, {"slow": YES, "odd": YES})
    assert apart.conflict_ratio == pytest.approx(1.0, rel=1e-12)
    rivals = rank_causes(two_rivals(), {"slow": YES, "look": YES})
    assert rivals.conflict_ratio < 1.0


@pytest.mark.derived
def test_evidence_that_cannot_be_used_is_listed() -> None:
    """A key the machine has not, and a number where nothing reads one."""
    ranking = rank_causes(two_rivals(), {"slow": YES, "gone": YES, "look": read(3.0)})
    listed = {(one.key, one.why) for one in ranking.left_out}
    assert listed == {("gone", NotUsed.NOT_HERE), ("look", NotUsed.NO_NUMBER)}
    with pytest.raises(BadInput, match="finite"):
        read(math.nan)
    with pytest.raises(BadInput, match="no number"):
        Seen(Answer.YES, 3.0)


@pytest.mark.derived
def test_a_number_counts_by_how_well_it_goes_with_the_fault() -> None:
    """The odds move by what the two densities and the links make of it."""
    reading = Reading("bar", 120.0, Way.DOWN, (180.0, 20.0), (90.0, 20.0))
    given = network(
        [cause("a", 0.1), cause("b", 0.1)],
        [report("slow"), check("gauge", 0.02, reading=reading)],
        {("a", "slow"): 0.8, ("b", "slow"): 0.8, ("a", "gauge"): 0.9},
    )
    for bar in (80.0, 120.0, 137.0, 190.0):
        evidence = {"slow": YES, "gauge": read(bar)}
        expected = Brute(given, evidence).posterior()
        for one in rank_causes(given, evidence).causes:
            assert one.posterior_frac == pytest.approx(expected[one.key], rel=1e-12)


@pytest.mark.law
@pytest.mark.parametrize("seed", range(4))
def test_the_order_of_lists_does_not_matter(seed: int) -> None:
    """Causes and observations in another order give the same ranking."""
    rng = np.random.default_rng(300 + seed)
    given = random_network(rng, 7, 4, 4)
    evidence = some_evidence(rng, given)
    one, two = rank_causes(given, evidence), rank_causes(permuted(given, rng), evidence)
    assert [c.key for c in one.causes] == [c.key for c in two.causes]
    for a, b in zip(one.causes, two.causes, strict=True):
        assert a.behind_frac == pytest.approx(b.behind_frac, abs=1e-12)
        assert [s.on for s in a.lifted] == [s.on for s in b.lifted]
    assert one.verdict.key == two.verdict.key


@pytest.mark.own
def test_an_exposure_that_is_no_number_is_refused_by_its_cause() -> None:
    """Not by its place in an array, which nobody can look up."""
    given = random_network(np.random.default_rng(5), 3, 3, 2)
    with pytest.raises(BadInput, match=f"exposure, {given.causes[0].key}"):
        rank_causes(given, {}, {given.causes[0].key: math.nan})


@pytest.mark.derived
def test_a_cause_known_not_to_be_there_is_out_and_exposure_lowers_it() -> None:
    """Just put right: chance 0. Fewer bales since it was last known to be well: less likely."""
    given = two_rivals()
    assert rank_causes(given, {"slow": YES}, {"a": 0.0}).cause("a").posterior_frac == 0.0
    usual = rank_causes(given, {"slow": YES}).cause("a")
    recent = rank_causes(given, {"slow": YES}, {"a": 0.25}).cause("a")
    assert recent.prior_frac == pytest.approx(1 - 0.98**0.25)
    assert recent.posterior_frac < usual.posterior_frac
