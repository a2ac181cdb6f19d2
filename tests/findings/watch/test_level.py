"""One level watched: false alarms as rare as designed, changes found with their start."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from balewright.findings.finding import FindingKind, Weight
from balewright.findings.measures.measure import Family, Measure
from balewright.findings.watch import level_slots as slot
from balewright.findings.watch.chances import is_told, jobs_limit, level_limits
from balewright.findings.watch.level import (
    Alarm,
    LevelState,
    begin_level,
    usual_of,
    watch_level,
)
from balewright.findings.watch.limits import USUAL_LIMITS
from balewright.findings.watch.series import Series
from balewright.findings.watch.spans import changes_of

MEASURE = Measure(
    "x_s", Family.LEVEL, FindingKind.PHASE_TIME_MOVED, "s", (), lambda _: np.zeros(0),
    Weight.COST, Weight.COST, ("one", "other"),
)  # fmt: skip
LIMITS = ((*level_limits(1.0e6), jobs_limit(USUAL_LIMITS.told_bales)), 40)


def made(
    chance: np.random.Generator, bales: int, group: float = 0.3, moves: tuple[int, float] = (0, 0.0)
) -> Series:
    """Bales in jobs that differ by `group` spreads, moved by moisture, with a step."""
    values, explaining = chance.normal(0.0, 1.0, bales), chance.normal(0.0, 1.0, (bales, 2))
    begins = np.zeros(bales, dtype=np.int8)
    at = 0
    while at < bales:
        begins[at], size = 1, int(chance.integers(30, 90))
        values[at : at + size] += chance.normal(0.0, group)
        explaining[at : at + size] += chance.normal(0.0, 0.5, 2)
        at += size
    values += 100.0 + 0.5 * explaining[:, 0]
    values[moves[0] :] += moves[1]
    return Series(
        MEASURE, values, explaining, begins, np.zeros(bales, dtype=np.int8),
        np.zeros(bales, dtype=np.bool_),
    )  # fmt: skip


def watched(series: Series) -> LevelState:
    """Watched from its first bale on, by what the book says is usual."""
    return watch_level(series, (0, 0), begin_level(usual_of(series.measure)), LIMITS)


def after(state: LevelState, start: int) -> Alarm | None:
    """The first alarm from a bale on."""
    return next((one for one in state.alarms if one.at >= start), None)


@pytest.mark.own
@pytest.mark.parametrize("group", [0.0, 0.3, 0.8])
def test_a_machine_in_order_is_seldom_told_of(group: float) -> None:
    """In 120,000 bales designed for one false alarm a million, at most three, though levels,
    slopes, spreads and the differences between jobs are all learnt on the way."""
    chance = np.random.default_rng(11)
    told = sum(len(watched(made(chance, 3_000, group)).alarms) for _ in range(40))
    assert told <= 3


@pytest.mark.own
def test_a_step_of_two_spreads_is_told_within_a_dozen_bales() -> None:
    """The middle delay of forty steps; each is told, and its start is off by a bale or two."""
    chance = np.random.default_rng(12)
    found = []
    for _ in range(40):
        start = int(chance.integers(300, 1_200))
        told = after(watched(made(chance, 1_500, 0.2, (start, 2.0))), start)
        assert told is not None
        found.append((told.at - start, told.since - start, told.first <= start <= told.last))
    delays, misses, inside = (np.array(one) for one in zip(*found, strict=True))
    assert np.median(delays) <= 12
    assert np.median(np.abs(misses)) <= 1
    assert inside.mean() >= 0.85


@pytest.mark.law
def test_units_change_nothing() -> None:
    """Seconds or minutes: the same bales are told, with sizes in the unit."""
    chance = np.random.default_rng(13)
    series = made(chance, 1_200, 0.3, (700, 1.5))
    times = 60.0
    other = replace(
        series,
        values=series.values * times,
        measure=replace(MEASURE, usual_spread=times, floor=MEASURE.floor * times),
    )
    one, two = watched(series).alarms, watched(other).alarms
    assert [a.at for a in one] == [a.at for a in two]
    assert [a.since for a in one] == [a.since for a in two]
    assert [a.moved * times for a in one] == pytest.approx([a.moved for a in two], rel=1e-6)


@pytest.mark.own
def test_what_explains_a_change_is_not_told() -> None:
    """Moisture that rises for good moves the value by its slope, and nobody is troubled."""
    chance = np.random.default_rng(14)
    for _ in range(10):
        series = made(chance, 1_500, 0.2)
        wetter = series.explaining.copy()
        wetter[800:, 0] += 2.0
        values = series.values.copy()
        values[800:] += 1.0
        assert not watched(replace(series, values=values, explaining=wetter)).alarms


@pytest.mark.own
def test_a_setting_moved_on_purpose_is_learnt_anew() -> None:
    """A level that moves at the bale at which its setting moved raises nothing."""
    chance = np.random.default_rng(15)
    series = made(chance, 1_200, 0.2, (600, 5.0))
    anew = np.zeros(1_200, dtype=np.bool_)
    anew[600] = True
    assert not watched(replace(series, anew=anew)).alarms
    assert watched(series).alarms


@pytest.mark.own
def test_a_change_that_goes_back_is_over() -> None:
    """Two spreads up at bale 500, back at 800: one change, with its end."""
    chance = np.random.default_rng(16)
    series = made(chance, 1_400, 0.0, (500, 2.0))
    values = series.values.copy()
    values[800:] -= 2.0
    changes = changes_of(watched(replace(series, values=values)))
    assert len(changes) == 1
    assert abs(changes[0].since - 500) <= 5
    assert changes[0].until is not None
    assert abs(changes[0].until - 800) <= 5
    assert changes[0].moved == pytest.approx(2.0, abs=0.6)


@pytest.mark.law
def test_unknown_bales_are_passed_over() -> None:
    """A series with gaps tells what the series of its known bales tells."""
    chance = np.random.default_rng(17)
    series = made(chance, 1_000, 0.0, (600, 2.0))
    series = replace(series, jobs=np.zeros(1_000, dtype=np.int8))
    known = chance.random(1_000) < 0.6
    known[0] = True
    gaps = replace(series, values=np.where(known, series.values, np.nan))
    whole = replace(
        series, values=series.values[known], explaining=series.explaining[known],
        jobs=series.jobs[known], rolls=series.rolls[known], anew=series.anew[known],
    )  # fmt: skip
    rows = np.flatnonzero(known)
    one, two = watched(gaps), watched(whole)
    assert [a.at for a in one.alarms] == [int(rows[a.at]) for a in two.alarms]
    assert one.kept[slot.SPREAD2] == two.kept[slot.SPREAD2]


@pytest.mark.law
def test_a_wild_reading_is_no_change() -> None:
    """One reading a thousand spreads off raises nothing, and hardly moves what is usual."""
    chance = np.random.default_rng(18)
    series = made(chance, 1_000, 0.0)
    values = series.values.copy()
    values[500] += 1_000.0
    state = watched(replace(series, values=values))
    assert not state.alarms
    assert np.sqrt(state.kept[slot.SPREAD2]) == pytest.approx(1.0, rel=0.1)


@pytest.mark.own
@pytest.mark.parametrize("group", [0.3, 1.0, 2.5])
def test_how_far_jobs_differ_is_learnt_whatever_was_usual(group: float) -> None:
    """Of a kind whose jobs are much alike, a machine whose jobs are not knows better after some
    forty of them, to a third."""
    chance = np.random.default_rng(20)
    usual = replace(usual_of(MEASURE), group_spread=0.3, is_learnt=True)
    learnt = []
    for _ in range(20):
        state = watch_level(made(chance, 2_400, group), (0, 0), begin_level(usual), LIMITS)
        learnt.append(state.kept[slot.JOB + slot.GROUP2] / state.kept[slot.SPREAD2])
    assert np.sqrt(np.median(learnt)) == pytest.approx(group, rel=0.35)


@pytest.mark.own
def test_two_drivers_cry_no_wolf() -> None:
    """Jobs by one of two drivers, five spreads apart, nobody notes which: jobs agree only by
    chance, so almost nothing is told. A step inside a job is, though the drivers go on."""
    chance = np.random.default_rng(21)
    clean, found = 0, 0
    for _ in range(20):
        series = made(chance, 2_000, 0.1)
        driver = chance.random(len(series.values)) < 0.5
        by_job = driver[np.maximum.accumulate(np.where(series.jobs > 0, np.arange(2_000), 0))]
        values = series.values + 5.0 * by_job
        clean += sum(_is_told(replace(series, values=values), 0))
        job = np.flatnonzero(series.jobs)[14:16]
        middle = int(job.mean())
        values[middle:] += 3.0
        found += any(_is_told(replace(series, values=values), middle - 5))
    assert clean <= 2
    assert found >= 14


def _is_told(series: Series, since: int) -> list[bool]:
    state = watched(series)
    return [
        is_told(one.chance_frac, one.judged, USUAL_LIMITS)
        for one in changes_of(state)
        if one.since >= since
    ]


@pytest.mark.own
def test_one_odd_job_is_no_change() -> None:
    """A job whose bales are all five spreads off, and the next as ever: nothing is told. The same
    from the middle of a job on, and lasting, is told at once."""
    chance = np.random.default_rng(19)
    for _ in range(10):
        series = made(chance, 1_500, 0.1)
        begins = np.flatnonzero(series.new_group)
        odd = begins[begins > 700][:2]
        values = series.values.copy()
        values[odd[0] : odd[1]] += 5.0
        assert not watched(replace(series, values=values)).alarms
        middle = int(odd.mean())
        values[middle:] += 5.0
        told = after(watched(replace(series, values=values)), middle)
        assert told is not None
        assert told.at - middle < 8
