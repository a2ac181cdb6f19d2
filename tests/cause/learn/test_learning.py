"""Closed cases move rates and links; what was not proved does not; lessons can be taken back."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from balewright.cause.evidence_value import NO, UNKNOWN, YES, Seen, read
from balewright.cause.learn.learn import learn
from balewright.cause.learn.lesson import ClosedCase
from balewright.cause.learn.saying import change_said
from balewright.cause.learn.taught import apply, link_changes, rate_changes, taught
from balewright.cause.learn.track import Judged, judged, track
from balewright.cause.learn.weights import STRENGTH_CASES, STRENGTH_EVENTS, rate_interval
from balewright.cause.network import Network, Reading, Strength, Way
from balewright.cause.rank import rank_causes
from balewright.quantities.errors import BadInput
from balewright.words.say import say
from cause.networks_by_hand import cause, check, network, report


def two_causes() -> Network:
    """Both arise once in a thousand bales."""
    reading = Reading("bar", 120.0, Way.DOWN, (180.0, 20.0), (90.0, 20.0))
    made = network(
        [cause("a", 0.02), cause("b", 0.02)],
        [report("slow", 0.01), report("loud", 0.02), check("gauge", reading=reading)],
        {("a", "slow"): 0.8, ("b", "slow"): 0.4, ("a", "loud"): 0.5, ("a", "gauge"): 0.9},
    )
    even = tuple(replace(one, arises_per_1000=1.0, stays_bales=20.0) for one in made.causes)
    return replace(made, causes=even)


def case(key: str, of: str | None, proven: bool = True, **evidence: Seen) -> ClosedCase:
    """A closed case."""
    return ClosedCase(key, of, "" if of else "a bird's nest", proven, evidence)


@pytest.mark.derived
def test_rates_are_gamma_and_links_are_beta() -> None:
    """By hand: prior worth its cases, and what the cases add; ends by scipy's own laws."""
    cases = [case(f"n{n}", "a", slow=YES if n < 6 else NO) for n in range(8)]
    cases += [case("m", "b", slow=NO, loud=YES)]
    lesson = learn(two_causes(), cases, "invented", 6000.0, "autumn")
    assert lesson.told_frac == pytest.approx(9.0 / 12.0)
    (change,) = [one for one in rate_changes(two_causes(), [lesson]) if one.cause == "a"]
    worth = STRENGTH_EVENTS[Strength.FAIR]
    bales = 6000.0 * 0.75
    mean = (worth + 8) / (worth * 1000.0 + bales) * 1000.0
    assert change.after_per_1000.best == pytest.approx(mean, rel=1e-12)
    law = stats.gamma(worth + 8, scale=1000.0 / (worth * 1000.0 + bales))
    assert change.after_per_1000.low == pytest.approx(law.ppf(0.05), rel=1e-9)
    assert change.after_per_1000.high == pytest.approx(law.ppf(0.95), rel=1e-9)
    assert change.before_per_1000.best == pytest.approx(1.0)
    assert change.cases == tuple(f"n{n}" for n in range(8))
    (link,) = [one for one in link_changes(two_causes(), [lesson]) if one.cause == "a"]
    worth = STRENGTH_CASES[Strength.FAIR]
    by_itself = 6 * 0.8 / (1 - 0.2 * 0.99)
    assert link.after_frac.best == pytest.approx((worth * 0.8 + by_itself) / (worth + 8))
    assert (link.on, link.seen, len(link.cases)) == ("slow", 6, 8)
    assert apply(two_causes(), lesson).cause("a").arises_per_1000 == pytest.approx(mean)
    said = say(change_said(link)).replace("\N{NO-BREAK SPACE}", " ")
    assert said == "Seen in 6 of 8 cases asked: from 80 % to 78 %."
    assert "8\N{NO-BREAK SPACE}cases in 4,500" in say(change_said(change))


@pytest.mark.derived
def test_few_told_cases_do_not_make_every_cause_rare() -> None:
    """A tenth of the troubles told, in the proportion that was thought: nothing moves."""
    cases = [case(f"a{n}", "a") for n in range(10)] + [case(f"b{n}", "b") for n in range(10)]
    lesson = learn(two_causes(), cases, "invented", 100_000.0, "autumn")
    assert lesson.told_frac == pytest.approx(0.1)
    for change in rate_changes(two_causes(), [lesson]):
        assert change.after_per_1000.best == pytest.approx(1.0)
    lesson = learn(two_causes(), cases[:12], "invented", 100_000.0, "autumn")
    after = apply(two_causes(), lesson)
    assert after.cause("a").arises_per_1000 > 1.2
    assert after.cause("b").arises_per_1000 < 0.8


@pytest.mark.law
def test_a_case_without_proof_teaches_nothing_and_is_shown() -> None:
    """Unproven cases beside proven ones change no number; their share is told by cause."""
    proven = [case("1", "a", slow=YES), case("2", "b", slow=NO), case("3", None)]
    unproven = [case("4", "a", False, slow=NO), case("5", "a", False), case("6", None, False)]
    one = learn(two_causes(), proven, "invented", 4000.0, "k")
    both = learn(two_causes(), [*unproven, *proven], "invented", 4000.0, "k")
    assert replace(both, left_out=one.left_out) == one
    shares = {out.cause: (out.cases, out.left_out_frac) for out in both.left_out}
    assert shares == {"": (2, 0.5), "a": (3, pytest.approx(2 / 3)), "b": (1, 0.0)}
    none = learn(two_causes(), unproven, "invented", 4000.0, "k")
    assert apply(two_causes(), none) == two_causes()


@pytest.mark.derived
def test_only_answers_that_say_something_count() -> None:
    """Unknown, a number between both, and a number for what reads none teach nothing."""
    cases = [
        case("1", "a", gauge=UNKNOWN), case("2", "a", gauge=read(95.0)),
        case("3", "a", gauge=read(170.0)), case("4", "a", gauge=read(134.0), slow=read(3.0)),
    ]  # fmt: skip
    lesson = learn(two_causes(), cases, "invented", 4000.0, "k")
    (link,) = lesson.links
    assert (link.on, link.seen, link.cases) == ("gauge", 1, ("2", "3"))
    assert lesson == learn(two_causes(), [*cases, cases[1]], "invented", 4000.0, "k")


@settings(max_examples=25, deadline=None)
@given(st.lists(st.integers(0, 3), min_size=1, max_size=12), st.randoms(use_true_random=False))
@pytest.mark.law
def test_lessons_add_up_in_any_order_and_are_taken_back(places: list[int], random) -> None:
    """The same lessons give the same network; without one it is as if that had never been."""
    cases: list[list[ClosedCase]] = [[], [], [], []]
    for n, at in enumerate(places):
        cases[at].append(case(f"c{n}", "ab"[n % 2], slow=(YES, NO)[n % 3 == 0], loud=YES))
    lessons = [
        learn(two_causes(), own, "invented", 900.0 * (at + 1), f"l{at}")
        for at, own in enumerate(cases)
    ]
    mixed = random.sample(lessons, len(lessons))
    assert taught(two_causes(), mixed) == taught(two_causes(), lessons)
    left = [one for one in mixed if one.key != "l2"]
    before = taught(two_causes(), [one for one in lessons if one.key != "l2"])
    assert taught(two_causes(), left) == before
    assert taught(two_causes(), []) == two_causes()
    for link in taught(two_causes(), lessons).links:
        assert 0.001 <= link.chance_frac <= 0.999


@pytest.mark.derived
def test_lessons_that_do_not_belong_are_refused() -> None:
    """Of another network, of another profile, and one case in two lessons."""
    lesson = learn(two_causes(), [case("1", "a")], "invented", 4000.0, "k")
    with pytest.raises(BadInput, match="version 2"):
        taught(replace(two_causes(), version=2), [lesson])
    with pytest.raises(BadInput, match="one profile"):
        taught(two_causes(), [lesson, replace(lesson, profile="other", cases=())])
    with pytest.raises(BadInput, match="count once"):
        taught(two_causes(), [lesson, replace(lesson, key="again")])
    with pytest.raises(BadInput, match="run_bales"):
        learn(two_causes(), [], "invented", -1.0, "k")


@pytest.mark.derived
def test_learning_finds_rates_and_links_that_cases_were_drawn_from() -> None:
    """Three thousand cases drawn from other numbers: back to those, inside the intervals."""
    rng = np.random.default_rng(4)
    cases = []
    for n in range(3000):
        of = "a" if rng.random() < 0.25 else "b"
        on = rng.random() < 1 - (1 - 0.3 if of == "a" else 1 - 0.9) * 0.99
        cases.append(case(f"c{n}", of, slow=YES if on else NO))
    net = two_causes()
    lesson = learn(net, cases, "invented", 1_500_000.0, "k")
    after = apply(net, lesson)
    ratio = after.cause("a").arises_per_1000 / after.cause("b").arises_per_1000
    assert ratio == pytest.approx(1 / 3, rel=0.1)
    link = {(one.cause, one.on): one.chance_frac for one in after.links}
    assert link["a", "slow"] == pytest.approx(0.3, abs=0.03)
    assert link["b", "slow"] == pytest.approx(0.9, abs=0.03)


@pytest.mark.derived
def test_the_track_record_counts_ranks_and_calibration() -> None:
    """Places, shares with Jeffreys' interval, stated against true, what the network lacks."""
    stated = (("a", 0.7), ("b", 0.3))
    cases = [Judged(f"c{n}", "a" if n < 7 else "b", "", stated) for n in range(10)]
    cases.append(Judged("odd", None, "a bird's nest", stated))
    found = track(two_causes(), cases)
    assert found.cases == 11
    assert found.first_frac is not None
    law = stats.beta(7.5, 4.5)
    assert found.first_frac.low == pytest.approx(law.ppf(0.05), rel=1e-9)
    assert found.first_frac.high == pytest.approx(law.ppf(0.95), rel=1e-9)
    (high,) = [one for one in found.bins if one.low_frac == 0.6]
    assert (high.stated, high.mean_frac) == (11, pytest.approx(0.7))
    assert sum(one.stated for one in found.bins) == 22
    (missed,) = found.missed
    assert (missed.cause, missed.ranks, missed.first) == ("b", (2, 2, 2), (("a", 3),))
    assert found.unknown == (("a bird's nest", "odd"),)
    assert track(two_causes(), []).first_frac is None


@pytest.mark.derived
def test_a_case_is_judged_by_what_was_said_at_its_opening() -> None:
    """The place of what it was, in the ranking of that day."""
    ranking = rank_causes(two_causes(), {"slow": YES})
    one = judged("c", "b", "", ranking)
    assert one.stated[0][0] == "a"
    assert one.rank == 2
    assert judged("c", None, "nest", ranking).rank is None


@pytest.mark.derived
def test_an_interval_of_a_rare_rate_holds_its_mean() -> None:
    """Even where the law is so skewed that the mean is near an end."""
    span = rate_interval(0.05, 1000.0)
    assert span.low <= span.best <= span.high
