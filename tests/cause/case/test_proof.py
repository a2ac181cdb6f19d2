"""Proof of cure: what later bales show, and nothing else."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from tests.findings.episodes_by_hand import MACHINE, found, judged_bales, made_us

from balewright.cause.case.case import Outcome
from balewright.cause.case.proof import (
    CureProof,
    LaterBales,
    RepairedAt,
    bales_needed,
    no_records,
    prove,
)
from balewright.findings.episode import Episode, EpisodeState, SetAside
from balewright.findings.episodes import follow
from balewright.words.say import say

REPAIRED = RepairedAt(made_us(100), 100)


def followed(last_bad: int, bales: int) -> Episode:
    """The episode of a trouble from bale 60 on, as a review of so many bales leaves it."""
    (one,) = follow((), [found(60, last_bad)], made_us(bales), judged_bales(bales))
    return one


def later(episode: Episode, count: int) -> LaterBales:
    """So many bales after the repair that could all have shown it."""
    return LaterBales(count, {episode.key: count}, 101, 100 + count)


@pytest.mark.derived
@pytest.mark.parametrize(
    ("last_bad", "bales", "outcome"),
    [
        (100, 110, Outcome.NOT_YET),  # 10 good bales since
        (100, 141, Outcome.CURED),  # 41: more than close an episode
        (100, 140, Outcome.NOT_YET),
        (130, 135, Outcome.NOT_CURED),  # seen 30 bales after the repair
        (60, 102, Outcome.NOT_YET),  # closed before the repair, two bales since
    ],
)
def test_later_bales_say_whether_it_is_cured(last_bad: int, bales: int, outcome: Outcome) -> None:
    """Closed and enough bales since: cured; seen after the repair and lasting: not; else not yet.
    The reason says so in words with the counts.
    """
    one = followed(last_bad, bales)
    proof = prove((one,), REPAIRED, later(one, bales - 100))
    assert proof.outcome is outcome
    assert (proof.from_bale, proof.to_bale) == (101, bales)
    assert proof.need_bales == 41
    sides = (proof.ended, proof.going_on, proof.waiting)
    place = (Outcome.CURED, Outcome.NOT_CURED, Outcome.NOT_YET).index(outcome)
    assert sides[place] == (one.key,)
    assert "gate opening off" in say(proof.why[0])


@pytest.mark.derived
def test_a_rare_trouble_needs_more_good_bales() -> None:
    """A trouble seen on one bale of fifty stays hidden in 41 bales of a machine that still has it
    in 44 of 100 cases; after 149 in 5 of 100: 0.98 ** 149 = 0.0493, 0.98 ** 148 = 0.0503.
    """
    one = followed(100, 141)
    rare = replace(one, finding=replace(one.finding, bales=2, looked_at=100))
    assert bales_needed(rare) == 149
    assert math.isclose(0.98**41, 0.44, abs_tol=0.01)
    assert prove((rare,), REPAIRED, later(rare, 148)).outcome is Outcome.NOT_YET
    assert prove((rare,), REPAIRED, later(rare, 149)).outcome is Outcome.CURED


@pytest.mark.derived
def test_a_number_of_an_earlier_control_is_not_after_the_repair() -> None:
    """A control that was swapped shows numbers again that bales had before the case was opened: a
    finding on those was not seen after the repair, however high their numbers.
    """
    one = followed(130, 135)
    swapped = RepairedAt(made_us(500), 20, made_us(400))
    assert prove((one,), swapped, later(one, 0)).outcome is Outcome.NOT_YET
    assert prove((one,), RepairedAt(made_us(500), 20), later(one, 0)).outcome is Outcome.NOT_CURED


@pytest.mark.own
def test_a_case_is_as_ill_as_its_worst_finding() -> None:
    """One that goes on makes it not cured, one that waits makes it not yet, whatever ended."""
    ended, lasting, waiting = followed(100, 141), followed(130, 135), followed(100, 120)
    ended, lasting = replace(ended, key="ended"), replace(lasting, key="lasting")
    bales = LaterBales(60, {"ended": 60, "lasting": 60, waiting.key: 20})
    assert prove((ended, waiting), REPAIRED, bales).outcome is Outcome.NOT_YET
    assert prove((ended, waiting, lasting), REPAIRED, bales).outcome is Outcome.NOT_CURED
    assert prove((ended,), REPAIRED, bales).outcome is Outcome.CURED


@pytest.mark.own
def test_what_nothing_shows_is_no_proof() -> None:
    """A finding withdrawn or set aside, a sensor that fell silent, a case without findings and a
    machine without records never prove a cure.
    """
    one = followed(100, 141)
    aside = SetAside(made_us(1), "mara", "known")
    for quiet in (
        replace(one, withdrawn=True),
        replace(one, state=EpisodeState.SET_ASIDE, set_aside=aside),
    ):
        assert prove((quiet,), REPAIRED, later(quiet, 500)).outcome is Outcome.NOT_YET
    silent = LaterBales(500, {}, 101, 600)
    assert prove((one,), REPAIRED, silent).outcome is Outcome.NOT_YET
    nothing = prove((), REPAIRED, silent)
    assert (nothing.outcome, nothing.bales) == (Outcome.SAID, 500)
    assert no_records().outcome is Outcome.SAID
    for proof in (nothing, no_records()):
        assert isinstance(proof, CureProof)
        assert say(proof.why[0])
    assert MACHINE in one.key
