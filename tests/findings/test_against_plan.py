"""Every bale against its sheet."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.findings.against_plan import cannot_tell, find_against_plan
from balewright.findings.finding import Finding, FindingKind, Weight
from balewright.plan.machine import Machine
from balewright.plan.sheet.sheet import Sheet
from balewright.records.bales import BaleTable, concatenate
from balewright.words.say import say

MakeBales = Callable[..., BaleTable]
S = 1_000_000


@pytest.fixture
def find(
    make_bales: MakeBales, ring: Machine, sheets: Mapping[str, Sheet]
) -> Callable[..., tuple[Finding, ...]]:
    """Findings on 60 good bales with some rows changed; each must have its sentence."""

    def run(changed: Mapping[tuple[int, int], Mapping[str, Any]]) -> tuple[Finding, ...]:
        found = find_against_plan(make_bales(60, changed), ring, sheets)
        assert all(say(finding.words) for finding in found)
        return found

    return run


@pytest.mark.law
def test_bales_that_keep_the_sheet_give_no_finding(find: Any) -> None:
    """Clean bales are silent."""
    assert find({}) == ()


def later(seconds: float) -> dict[str, Any]:
    """Everything on the wrapper comes later."""

    def move(name: str) -> Callable[[dict[str, Any]], int]:
        return lambda row: row[name] + int(seconds * S)

    return {
        name: move(name) for name in ("on_wrapper_at", "wrap_start_at", "wrap_end_at", "tipped_at")
    }


CHAMBER = ("closed_at", "full_at", "bind_start_at", "bind_end_at", "gate_open_at", "on_wrapper_at")


def waiting(seconds: int) -> dict[str, Any]:
    """Each bale from number 130 on waits on the wrapper, and everything after it comes later."""

    def move(name: str, own: int) -> Callable[[dict[str, Any]], int]:
        return lambda row: row[name] + (row["bale_no"] - 130 + own) * seconds * S

    wrapper = ("wrap_start_at", "wrap_end_at", "tipped_at")
    return {name: move(name, 0) for name in CHAMBER} | {name: move(name, 1) for name in wrapper}


# planted change -> kind, weight, first bale, bales
CASES: Mapping[str, tuple[dict[tuple[int, int], dict[str, Any]], tuple[Any, ...]]] = {
    "three turns missing on one bale": (
        {(30, 31): {"wrap_turns": 11.0, "film1_m": 32.1, "film2_m": 32.1}},
        (FindingKind.LAYERS_SHORT, Weight.COST, 130, 1),
    ),
    "one spare turn missing": (
        {(30, 60): {"wrap_turns": 13.0, "film1_m": 37.9, "film2_m": 37.9}},
        (FindingKind.LAYERS_SHORT, Weight.NOTE, 130, 30),
    ),
    "a roll lost after five turns": (
        {(30, 31): {"roll_lost": 1, "roll_lost_turn": 5.0}},
        (FindingKind.LAYERS_SHORT, Weight.HARM, 130, 1),
    ),
    "a third of the film of one dispenser": (
        {(30, 31): {"film2_m": 13.0, "film2_breaks": 1}},
        (FindingKind.LAYERS_SHORT, Weight.HARM, 130, 1),
    ),
    "missing metres on three bales": (
        {(30, 33): {"film2_m": 13.0}},
        (FindingKind.LAYERS_SHORT, Weight.HARM, 130, 3),
    ),
    "missing metres that nothing else bears out": (
        {(30, 31): {"film2_m": 13.0}},
        (FindingKind.LAYERS_SHORT, Weight.NOTE, 130, 1),
    ),
    "one roll on": (
        {(30, 40): {"rolls_on": 1, "film2_m": None}},
        (FindingKind.LAYERS_SHORT, Weight.HARM, 130, 10),
    ),
    "bales of 1.50 m": (
        {
            (30, 60): {"diameter_m": 1.50, "mass_kg": 870.0, "film1_m": 44.9, "film2_m": 44.9}
            | {"binding_m": 11.8}
        },
        (FindingKind.LAYERS_SHORT, Weight.COST, 130, 30),
    ),
    "ten points more stretch on one": (
        {(30, 60): {"film1_m": 38.6}},
        (FindingKind.STRETCH_UNEQUAL, Weight.COST, 130, 30),
    ),
    "both stretch off": (
        {(30, 60): {"film1_m": 36.0, "film2_m": 36.0}},
        (FindingKind.STRETCH_OFF, Weight.COST, 130, 30),
    ),
    "half a binding turn missing": (
        {(30, 60): {"binding_turns": 2.0, "binding_m": 7.9}},
        (FindingKind.BINDING_SHORT, Weight.COST, 130, 30),
    ),
    "one and a half binding turns missing": (
        {(30, 60): {"binding_turns": 1.0, "binding_m": 3.9}},
        (FindingKind.BINDING_SHORT, Weight.HARM, 130, 30),
    ),
    "binding short by metres": (
        {(0, 60): {"binding_turns": None}, (30, 60): {"binding_turns": None, "binding_m": 7.8}},
        (FindingKind.BINDING_SHORT, Weight.COST, 130, 30),
    ),
    "gate open 10 mm": (
        {(30, 60): {"gate_opening_mm": 10.0}},
        (FindingKind.GATE_OPENING_OFF, Weight.COST, 130, 30),
    ),
    "soft bales": (
        {(30, 60): {"mass_kg": 480.0}},
        (FindingKind.DENSITY_LOW, Weight.COST, 130, 30),
    ),
    "light bales of unknown moisture": (
        {(0, 60): {"moisture_frac": None}, (30, 60): {"moisture_frac": None, "mass_kg": 480.0}},
        (FindingKind.DENSITY_LOW, Weight.COST, 130, 30),
    ),
    "bales of 75 % moisture": (
        {(30, 60): {"moisture_frac": 0.75, "mass_kg": 1090.0}},
        (FindingKind.MOISTURE_OUTSIDE, Weight.HARM, 130, 30),
    ),
    "wrapped after three hours": (
        {(30, 31): later(3 * 3600)},
        (FindingKind.WRAPPED_LATE, Weight.COST, 130, 1),
    ),
    "wrapped the next day": (
        {(30, 31): later(15 * 3600)},
        (FindingKind.WRAPPED_LATE, Weight.HARM, 130, 1),
    ),
    "bales wait 100 s": (
        {(30, 60): waiting(100)},
        (FindingKind.WRAPPED_LATE, Weight.COST, 130, 30),
    ),
    "binding ends before it begins": (
        {(30, 31): {"bind_end_at": lambda row: row["full_at"]}},
        (FindingKind.PHASES_DISORDERED, Weight.NOTE, 130, 1),
    ),
    "counter reset": (
        {(30, 60): {"bale_no": lambda row: row["bale_no"] - 129}},
        (FindingKind.COUNTER_CHANGED, Weight.NOTE, 1, 1),
    ),
    "seven numbers missing": (
        {(30, 60): {"bale_no": lambda row: row["bale_no"] + 7}},
        (FindingKind.NUMBER_MISSING, Weight.NOTE, 137, 1),
    ),
    "a number given twice": (
        {(30, 60): {"bale_no": lambda row: row["bale_no"] - 1}},
        (FindingKind.NUMBER_REPEATED, Weight.NOTE, 129, 1),
    ),
    "every second record missing": (
        {(0, 60): {"bale_no": lambda row: 2 * row["bale_no"]}},
        (FindingKind.NUMBER_MISSING, Weight.NOTE, 202, 59),
    ),
    "burst": ({(30, 31): {"status": "burst"}}, (FindingKind.BURST, Weight.COST, 130, 1)),
    "wrapped twice": (
        {(30, 31): {"status": "re-wrapped"}},
        (FindingKind.WRAPPED_TWICE, Weight.NOTE, 130, 1),
    ),
    "test bale": ({(30, 31): {"status": "test"}}, (FindingKind.MADE_AS_TEST, Weight.NOTE, 130, 1)),
    "no film": (
        {(30, 31): {"wrap_turns": 0.0, "film1_m": None, "film2_m": None}},
        (FindingKind.NOT_WRAPPED, Weight.HARM, 130, 1),
    ),
    "wrapper off": (
        {(30, 33): {"wrap_turns": 0.0, "mode": "wrapper off", "film1_m": None, "film2_m": None}},
        (FindingKind.NOT_WRAPPED, Weight.NOTE, 130, 3),
    ),
    "scale silent": (
        {(40, 60): {"mass_kg": None}},
        (FindingKind.NOT_WATCHED, Weight.NOTE, 140, 20),
    ),
}


@pytest.mark.derived
@pytest.mark.parametrize("case", list(CASES))
def test_planted_change_is_found_where_it_began(find: Any, case: str) -> None:
    """Each change gives one finding: its kind and weight, since which bale, on how many."""
    changed, expected = CASES[case]
    found = find(changed)
    assert [(f.kind, f.weight, f.since_bale, f.bales) for f in found] == [expected]


@pytest.mark.law
@pytest.mark.parametrize(
    "changed",
    [
        {"binding_turns": 1.8},
        {"gate_opening_mm": 5.0},
        {"mass_kg": 300.0},
        {"moisture_frac": 0.74},
        {"diameter_m": 1.55},
        {"film1_m": 38.0},
    ],
)
def test_one_noisy_reading_is_no_finding(find: Any, changed: dict[str, Any]) -> None:
    """A single odd reading that physics does not settle is let pass."""
    assert find({(30, 31): changed}) == ()


@pytest.mark.law
def test_a_bale_without_a_sheet_is_judged_only_on_what_needs_none(find: Any) -> None:
    """Without a sheet there is no short binding, but a reset counter is still one."""
    found = find(
        {
            (0, 60): {"sheet": None},
            (30, 60): {"sheet": None, "binding_turns": 1.0, "bale_no": lambda r: r["bale_no"] + 7},
        }
    )
    assert [finding.kind for finding in found] == [FindingKind.NUMBER_MISSING]


@pytest.mark.practice
def test_metres_after_the_stretch_say_nothing_about_it(
    make_bales: MakeBales, ring: Machine, sheets: Mapping[str, Sheet]
) -> None:
    """Where the counter sits after the stretch, unlike metres are no finding and it is said."""
    from dataclasses import replace

    from balewright.plan.machine import MetresCounted

    assert ring.wrapper is not None
    after = replace(ring, wrapper=replace(ring.wrapper, metres_counted=MetresCounted.AFTER_STRETCH))
    bales = make_bales(60, {(30, 60): {"film1_m": 66.0, "film2_m": 69.5}})
    kinds = {finding.kind for finding in find_against_plan(bales, after, sheets)}
    assert FindingKind.STRETCH_UNEQUAL not in kinds
    told = {reason.key for reason in cannot_tell(bales, after, sheets)}
    assert "findings.untold.stretch" in told


@pytest.mark.law
def test_poor_machine_is_watched_on_what_it_has(
    make_bales: MakeBales, ring: Machine, sheets: Mapping[str, Sheet]
) -> None:
    """With times, binding metres and wrap turns alone, what can be seen is found, the rest told."""
    poor = (
        "machine",
        "bale_no",
        "sheet",
        "full_at",
        "tipped_at",
        "binding",
        "binding_m",
        "wrap_turns",
    )
    rich = make_bales(60, {(30, 60): {"wrap_turns": 10.0, "binding_m": 7.0}})
    bales = BaleTable(
        rich.rows, {n: rich.values[n] for n in poor}, {n: rich.known[n] for n in poor}
    )
    kinds = {finding.kind for finding in find_against_plan(bales, ring, sheets)}
    assert kinds == {FindingKind.LAYERS_SHORT, FindingKind.BINDING_SHORT}
    told = {reason.key.rsplit(".", 1)[1] for reason in cannot_tell(bales, ring, sheets)}
    assert told == {"fat", "stretch", "gate", "density", "moisture", "watch"}
    *_, watched = cannot_tell(bales, ring, sheets)
    assert say(watched) == (
        "Not watched for change, because it is not recorded: time to fill a bale, time to bind, "
        "time the gate is open, time from gate to wrapper, time of a wrap turn, chamber pressure, "
        "film breaks."
    )
    assert all(say(reason) for reason in cannot_tell(bales, ring, sheets))


MIXED = {
    (10, 11): {"roll_lost": 1, "roll_lost_turn": 5.0},
    (20, 60): {"binding_turns": 1.8, "gate_opening_mm": 12.0},
    (40, 60): {"bale_no": lambda row: row["bale_no"] + 7},
}


@pytest.mark.law
@settings(max_examples=15, deadline=None)
@given(order=st.permutations(range(60)))
def test_records_taken_in_late_change_nothing(
    make_bales: MakeBales, ring: Machine, sheets: Mapping[str, Sheet], order: list[int]
) -> None:
    """The order in which bales arrive does not matter, only when they were made."""
    bales = make_bales(60, MIXED)
    shuffled = bales.take(np.array(order))
    assert find_against_plan(shuffled, ring, sheets) == find_against_plan(bales, ring, sheets)


@pytest.mark.law
def test_permuting_machines_changes_nothing(
    make_bales: MakeBales, ring: Machine, sheets: Mapping[str, Sheet]
) -> None:
    """A fleet's findings are those of its machines, in whatever order they come."""
    one = make_bales(
        60, {(0, 60): {"machine": "A"}, (20, 60): {"machine": "A", "binding_turns": 1.8}}
    )
    two = make_bales(
        60, {(0, 60): {"machine": "B"}, (30, 60): {"machine": "B", "gate_opening_mm": 9.0}}
    )
    alone = find_against_plan(one, ring, sheets) + find_against_plan(two, ring, sheets)
    assert find_against_plan(concatenate([one, two]), ring, sheets) == alone
    assert find_against_plan(concatenate([two, one]), ring, sheets) == alone


SHORT_BINDING = {"binding_turns": 1.8, "binding_m": 7.1}


@pytest.mark.law
@settings(max_examples=10, deadline=None)
@given(first=st.integers(0, 48), extra=st.integers(0, 40))
def test_later_good_bales_do_not_move_the_start(
    make_bales: MakeBales, ring: Machine, sheets: Mapping[str, Sheet], first: int, extra: int
) -> None:
    """A run of twelve is found since its first bale, whatever good work follows."""
    bales = make_bales(60 + extra, {(first, first + 12): SHORT_BINDING})
    (found,) = find_against_plan(bales, ring, sheets)
    assert (found.since_bale, found.bales) == (100 + first, 12)
    assert found.seen is not None
    assert found.seen.holds(1.8)
