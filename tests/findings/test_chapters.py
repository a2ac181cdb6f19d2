"""A long history judged chapter by chapter."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.findings.against_plan import find_against_plan, worst_first
from balewright.findings.chapters import LEAD_IN, find_in_chapter
from balewright.findings.finding import Finding, FindingKind
from balewright.plan.machine import Machine
from balewright.plan.sheet.sheet import Sheet
from balewright.records.bales import BaleTable

MakeBales = Callable[..., BaleTable]
CHAPTER, ALL = 250, 1000

FAULTS: Mapping[str, tuple[int, dict[str, Any]]] = {
    "turns": (1, {"wrap_turns": 11.0, "film1_m": 32.1, "film2_m": 32.1}),
    "roll": (1, {"roll_lost": 1, "roll_lost_turn": 5.0}),
    "stretch": (30, {"film1_m": 38.6}),
    "binding": (20, {"binding_turns": 1.8, "binding_m": 7.1}),
    "gate": (25, {"gate_opening_mm": 10.0}),
    "slip": (30, {"binding_m": 12.0}),
    "scale": (30, {"mass_kg": 200.0}),
    "soft": (30, {"mass_kg": 480.0}),
    "burst": (2, {"status": "burst"}),
    "bare": (1, {"wrap_turns": 0.0, "film1_m": None, "film2_m": None}),
    "phases": (1, {"bind_end_at": lambda row: row["full_at"]}),
}
"""Bales and what is wrong with them."""


def by_chapters(
    bales: BaleTable, machine: Machine, sheets: Mapping[str, Sheet], size: int
) -> tuple[Finding, ...]:
    """All that the chapters find; each is given what the one before found."""
    told: list[Finding] = []
    before: tuple[Finding, ...] = ()
    for start in range(0, bales.rows, size):
        lead_in = bales.take(np.arange(max(0, start - LEAD_IN), start))
        chapter = bales.take(np.arange(start, min(start + size, bales.rows)))
        before = find_in_chapter(chapter, lead_in, machine, sheets, before)
        told = [one for one in told if one.kind is not FindingKind.NOT_WATCHED]
        told += before
    return worst_first(told)


@pytest.mark.law
@settings(max_examples=12, deadline=None)
@given(
    planted=st.lists(
        st.tuples(st.sampled_from(sorted(FAULTS)), st.integers(50, 170)), min_size=4, max_size=4
    )
)
def test_chapters_find_what_the_whole_does(
    make_bales: MakeBales,
    ring: Machine,
    sheets: Mapping[str, Sheet],
    planted: list[tuple[str, int]],
) -> None:
    """With nothing wrong near a chapter's edge, nothing is lost, told twice or told otherwise."""
    changed = {}
    for chapter, (name, place) in enumerate(planted):
        count, columns = FAULTS[name]
        first = chapter * CHAPTER + place
        changed[(first, first + count)] = columns
    bales = make_bales(ALL, changed)
    whole = find_against_plan(bales, ring, sheets)
    assert whole
    assert by_chapters(bales, ring, sheets, CHAPTER) == whole


@pytest.mark.law
def test_a_run_over_the_edge_is_told_since_it_began(
    make_bales: MakeBales, ring: Machine, sheets: Mapping[str, Sheet]
) -> None:
    """Eight bales before the edge and eight after are a run: told once, in the second chapter,
    since the first of them; a number left out at the edge is missed as well."""
    bales = make_bales(
        500,
        {
            (242, 258): {"binding_turns": 1.8, "binding_m": 7.1},
            (250, 500): {"bale_no": lambda r: r["bale_no"] + 3},
        },
    )
    told = by_chapters(bales, ring, sheets, CHAPTER)
    assert told == find_against_plan(bales, ring, sheets)
    assert [(one.kind, one.since_bale, one.bales) for one in told] == [
        (FindingKind.BINDING_SHORT, 342, 16),
        (FindingKind.NUMBER_MISSING, 353, 1),
    ]


@pytest.mark.law
def test_a_sensor_silent_for_many_chapters_stays_told(
    make_bales: MakeBales, ring: Machine, sheets: Mapping[str, Sheet]
) -> None:
    """That it ever spoke is known from the chapter before; when it speaks again that is over."""
    bales = make_bales(900, {(120, 900): {"mass_kg": None}})
    told = by_chapters(bales, ring, sheets, CHAPTER)
    assert told == find_against_plan(bales, ring, sheets)
    assert [(one.since_bale, one.until_bale, one.bales) for one in told] == [(220, 999, 780)]
    again = make_bales(900, {(120, 800): {"mass_kg": None}})
    assert by_chapters(again, ring, sheets, CHAPTER) == ()
