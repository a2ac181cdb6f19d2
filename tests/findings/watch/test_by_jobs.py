"""What whole jobs show that no single one can say."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from balewright.findings.measures.measure import Group
from balewright.findings.watch.by_jobs import JOBS_KEPT, Shift
from balewright.findings.watch.level import begin_level, usual_of, watch_level
from balewright.findings.watch.series import Series
from balewright.findings.watch.spans import changes_of

from .test_level import LIMITS, made, watched


def shifts(series: Series) -> tuple[Shift, ...]:
    """What jobs told."""
    return watched(series).by_jobs.shifts


@pytest.mark.own
def test_a_change_no_larger_than_jobs_differ_by_is_told_by_jobs() -> None:
    """One bale spread up at bale 900 of 2,400, jobs that differ by nearly half of it: told in at
    least 17 of 20 seasons, in which bales alone tell fewer; the interval of the start holds it in
    at least 15."""
    chance = np.random.default_rng(31)
    by_jobs, by_bales, held = 0, 0, 0
    for _ in range(20):
        state = watched(made(chance, 2_400, 0.45, (900, 1.0)))
        up = [one for one in state.by_jobs.shifts if one.side > 0 and one.at > 900]
        by_jobs += bool(up)
        by_bales += any(one.side > 0 and one.at > 900 for one in state.alarms)
        held += bool(up) and up[0].first <= 900 <= up[0].last
    assert by_jobs >= 17
    assert by_bales < by_jobs
    assert held >= 15


@pytest.mark.own
def test_jobs_that_differ_by_chance_tell_nothing() -> None:
    """40 seasons of 2,400 bales, jobs two bale spreads apart: at most one is told of."""
    chance = np.random.default_rng(32)
    assert sum(bool(shifts(made(chance, 2_400, 2.0))) for _ in range(40)) <= 1


@pytest.mark.own
def test_what_explains_jobs_is_taken_off_as_it_is_known_by_then() -> None:
    """A wet half of the season moves every value by what moisture does, which is learnt on the
    way: no change."""
    chance = np.random.default_rng(33)
    told = 0
    for _ in range(20):
        series = made(chance, 2_000, 0.3)
        wetter = np.where(np.arange(2_000) >= 1_000, 2.0, 0.0)
        explaining = series.explaining + np.column_stack([wetter, np.zeros(2_000)])
        values = series.values + 0.5 * wetter
        told += bool(shifts(replace(series, values=values, explaining=explaining)))
    assert told <= 1


@pytest.mark.law
def test_a_season_may_be_cut_anywhere() -> None:
    """Jobs remembered and changes told are the same, to the bit, however bales come in, also where
    the oil is known of some bales only."""
    series = made(np.random.default_rng(34), 2_000, 0.4, (900, 1.5))
    explaining = series.explaining.copy()
    explaining[:1_100, 1] = 0.0
    oil = replace(series.measure, explained_by=("air_c", "oil_c"))
    series = replace(series, measure=oil, explaining=explaining)
    whole = watched(series)
    state = begin_level(usual_of(series.measure))
    for low, high in ((0, 333), (333, 334), (334, 1_207), (1_207, 2_000)):
        part = replace(
            series, values=series.values[:high], explaining=series.explaining[:high],
            jobs=series.jobs[:high], rolls=series.rolls[:high], anew=series.anew[:high],
        )  # fmt: skip
        state = watch_level(part, (low, 0), state, LIMITS)
    assert whole.by_jobs.shifts
    assert state.by_jobs.shifts == whole.by_jobs.shifts
    assert (state.by_jobs.jobs == whole.by_jobs.jobs).all()
    assert (state.by_jobs.warm, state.by_jobs.seen) == (900, 2_000)


@pytest.mark.own
def test_a_change_that_goes_back_is_over_for_jobs_too() -> None:
    """Two spreads up at bale 600, back at 1,300: over within two jobs of there."""
    series = made(np.random.default_rng(35), 2_200, 0.3, (600, 2.0))
    values = series.values.copy()
    values[1_300:] -= 2.0
    (shift,) = shifts(replace(series, values=values))
    assert abs(shift.since - 600) <= 60
    assert abs(shift.until - 1_300) <= 180


@pytest.mark.own
def test_a_setting_ends_it_and_begins_anew() -> None:
    """A level that moves with its setting is no change, and one that lasted then is over."""
    series = made(np.random.default_rng(36), 2_000, 0.3, (600, 2.0))
    anew = np.zeros(2_000, dtype=np.bool_)
    anew[600] = True
    assert not shifts(replace(series, anew=anew))
    later = np.zeros(2_000, dtype=np.bool_)
    later[1_500] = True
    (shift,) = shifts(replace(series, anew=later))
    assert shift.until == 1_500


@pytest.mark.own
def test_rolls_that_outlast_jobs_are_left_to_the_charts_of_bales() -> None:
    """What goes by the binding's roll is alike over several jobs: it is not watched so."""
    series = made(np.random.default_rng(37), 2_000, 0.3, (900, 2.0))
    net = replace(series, measure=replace(series.measure, group=Group.NET))
    assert shifts(series)
    assert not shifts(net)


@pytest.mark.own
def test_one_change_is_told_once_and_memory_is_bounded() -> None:
    """Bales and jobs tell the same step: one change; of 8,000 bales no more jobs are kept."""
    state = watched(made(np.random.default_rng(38), 8_000, 0.3, (700, 2.0)))
    assert len(state.by_jobs.jobs) <= JOBS_KEPT
    assert state.alarms
    assert state.by_jobs.shifts
    lasting = [one for one in changes_of(state) if one.until is None]
    assert len(lasting) == 1
    assert abs(lasting[0].since - 700) <= 30
