"""Cases written down before anyone saw what the network makes of them.

The floors rest on the half that the network may be corrected by. Of the other half nothing is
asked but that it can be read and ranked: its shares stand in docs/fault-network.md.
"""

from __future__ import annotations

from functools import cache

import pytest
from bench.causes.told_cases import (
    HALVES,
    NOT_ENOUGH,
    Outcome,
    ToldCase,
    network_of,
    read_cases,
    try_case,
)
from bench.causes.vignettes import totals

from balewright.cause.evidence_value import Answer
from balewright.cause.network import Kind, Side, System

pytestmark = pytest.mark.practice

CASES = {case.key: case for half in HALVES for case in read_cases(half)}


@cache
def outcomes(half: str) -> tuple[Outcome, ...]:
    """How every case of a half comes out."""
    return tuple(try_case(case) for case in read_cases(half))


def test_there_are_sixty_and_more_and_no_key_twice() -> None:
    """Thirty at least in each half, each with a key of its own."""
    sizes = [len(read_cases(half)) for half in HALVES]
    assert min(sizes) >= 30
    assert sum(sizes) == len(CASES) >= 60


@pytest.mark.parametrize("case", CASES.values(), ids=lambda case: case.key)
def test_a_case_names_what_its_machine_has(case: ToldCase) -> None:
    """Every sign, cause and settling check exists there; numbers go to checks that read numbers."""
    network = network_of(case)
    for key, seen in (*case.seen, case.settles):
        one = network.observation_by_key[key]
        reads = one.check is not None and one.check.reading is not None
        assert (seen.answer is Answer.NUMBER) == (reads and seen.answer is not Answer.UNKNOWN), key
    assert set(case.was) <= set(network.cause_by_key)
    assert network.observation_by_key[case.settles[0]].kind is Kind.CHECK
    assert case.settles[0] not in dict(case.seen)
    assert all(len(text) > 20 for text in (case.story, case.because))
    assert case.wrong


def test_cases_cover_every_side_and_most_systems() -> None:
    """No side is left out in either half, and hardly a system in both."""
    for half in HALVES:
        held = [network_of(case).cause_by_key[key] for case in read_cases(half) for key in case.was]
        assert {cause.side for cause in held} == set(Side), half
    systems = {network_of(case).cause_by_key[key].system for case in CASES.values()
               for key in case.was}  # fmt: skip
    assert len(set(System) - systems) <= 2, set(System) - systems


def test_the_cause_it_was_comes_first_or_soon_after() -> None:
    """By the half the network may be corrected by: first in four of five, nearly all in three."""
    shares = totals(outcomes("mending"))
    assert shares["first"] >= 0.80
    assert shares["in_three"] >= 0.93
    assert shares["clear_and_wrong"] <= 0.10


def test_the_check_that_should_settle_it_does() -> None:
    """After it, what it was stands first in nine of ten."""
    assert totals(outcomes("mending"))["settled"] >= 0.90


@pytest.mark.parametrize("half", HALVES)
def test_what_is_not_enough_to_tell_is_not_called_clear(half: str) -> None:
    """One bare complaint never makes a cause stand out."""
    bare = [one for one in outcomes(half) if NOT_ENOUGH in one.case.kinds]
    assert len(bare) >= 2
    assert not [one.case.key for one in bare if one.clear]
