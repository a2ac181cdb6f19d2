"""Whose a finding is."""

from __future__ import annotations

import pytest
from bench.findings.facts import Fault
from bench.findings.judging import TOLERANCE, Whose, judge, own_findings
from bench.findings.told_by import TOLD_BY

from balewright.findings.finding import FindingKind
from balewright.records.columns import BY_NAME
from balewright.rehearsal.faults import FaultKind
from bench_scoring.seasons_by_hand import BOOK, season, told

FAULT = Fault("stretch slips", "moderate", "at once", 100)


@pytest.mark.derived
@pytest.mark.parametrize(
    ("finding", "whose"),
    [
        (told(), Whose.OWN),
        (told("metres moved", columns=("film1_m", "wrap_turns")), Whose.OWN),
        (told("metres moved", columns=("binding_m",)), Whose.SIDE),
        (told("layers short"), Whose.SIDE),
        (told(since=100 - TOLERANCE), Whose.OWN),
        (told(since=100 - TOLERANCE - 1), Whose.FALSE),
        (told(since=90, alarm=100), Whose.FALSE),
        (told(since=90, alarm=101), Whose.OWN),
        (told("layers short", since=20, alarm=40), Whose.FALSE),
        (told("layers short", since=20, alarm=40, borne_out=True), Whose.TRUE),
        (told("layers short", borne_out=True), Whose.TRUE),
        (told("number missing", note=True), Whose.NOTE),
        (told(note=True), Whose.OWN),
    ],
)
def test_each_finding_is_somebodys(finding, whose) -> None:
    """Kind, measure, first bale and the bale of its alarm say whether a finding is the fault's."""
    assert judge(finding, FAULT, BOOK) is whose


@pytest.mark.derived
def test_a_season_in_order_has_false_findings_only() -> None:
    """Without a fault nothing is own or a side effect."""
    assert judge(told(), None, BOOK) is Whose.FALSE
    assert judge(told(borne_out=True), None, BOOK) is Whose.TRUE
    assert judge(told(note=True), None, BOOK) is Whose.NOTE


@pytest.mark.derived
def test_a_rate_may_begin_with_an_honest_event() -> None:
    """One event in 200 bales: a start told 200 bales too early is no sign of another cause."""
    rate = Fault("stretch slips", "severe", "step", 300, family="rate", slack_bales=200.0)
    assert judge(told(since=100, alarm=350), rate, BOOK) is Whose.OWN
    assert judge(told(since=99, alarm=350), rate, BOOK) is Whose.FALSE


@pytest.mark.derived
def test_a_slow_fault_may_seem_to_begin_sooner() -> None:
    """A quarter of 400 bales of growth; a stated interval counts by its later end."""
    slow = Fault("stretch slips", "severe", "ramp", 500, 400)
    assert judge(told(since=400, alarm=700), slow, BOOK) is Whose.OWN
    assert judge(told(since=399, alarm=700), slow, BOOK) is Whose.FALSE
    assert judge(told(since=350, alarm=700, first=300, last=400), slow, BOOK) is Whose.OWN
    assert judge(told(since=350, alarm=700, first=300, last=399), slow, BOOK) is Whose.FALSE


@pytest.mark.derived
def test_a_fault_that_no_book_knows_owns_nothing() -> None:
    """A kind of fault without an entry has side effects only, and no error hides that."""
    unknown = Fault("worn pin", "severe", "at once", 100)
    assert judge(told(), unknown, BOOK) is Whose.SIDE


@pytest.mark.derived
def test_own_findings_stand_by_their_alarm() -> None:
    """The first alarm leads, whatever order they were told in."""
    later, sooner = (
        told(alarm=140),
        told("metres moved", alarm=112, columns=("film1_m", "wrap_turns")),
    )
    assert own_findings(season(later, sooner, told("layers short")), BOOK) == [sooner, later]


@pytest.mark.law
def test_every_fault_can_be_told_by_something() -> None:
    """No fault of the rehearsal's book is left out, and every kind named is one that exists."""
    assert set(TOLD_BY) == set(FaultKind)
    assert all(TOLD_BY[kind] for kind in FaultKind)
    named = {way.kind for ways in TOLD_BY.values() for way in ways}
    assert named <= set(FindingKind)
    columns = {column for ways in TOLD_BY.values() for way in ways for column in way.columns}
    assert columns <= set(BY_NAME)
