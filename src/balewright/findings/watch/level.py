"""A level watched: the filter, its two charts, and what they told."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from balewright.findings.charts.cusum_kernel import new_cusum
from balewright.findings.charts.windows_kernel import new_windows
from balewright.findings.measures.measure import Group, Measure
from balewright.findings.watch import level_slots as slot
from balewright.findings.watch.alarm import Alarm, last_run
from balewright.findings.watch.by_jobs import JobsState, begin_jobs, watch_jobs
from balewright.findings.watch.charts_kernel import LASTING, walk_until_told
from balewright.findings.watch.level_kernel import filter_bales
from balewright.findings.watch.series import Series
from balewright.findings.watch.start import WINDOW_BALES, look_back
from balewright.findings.watched import Floats

_UNKNOWN_LEVEL: Final = 100.0
"""Square of how little is known of a level at first, in bale spreads."""
LEAST_SHARE: Final = 0.1
"""Of the smallest change that matters: a spread below that is as good as none."""
_OTHER_GROUP: Final = 0.3
"""Spread between jobs of what goes by rolls, in bale spreads: `assumed`."""
USUAL_GROUPS: Final = 4.0
_LEARNT_GROUPS: Final = 6.0
_USUAL_LIKE_BALES: Final = 60.0
_ANEW_BALES: Final = 6.0
"""Bales from which a level that is learnt anew is taken before the next is judged."""


@dataclass(frozen=True)
class Usual:
    """What is usual before anything was learnt of this machine, on the watched scale.

    level, level_spread: None where nothing is known; spread: bale to bale; group_spread: between
    jobs; slopes, slope_spreads: of what explains it, one each; is_learnt: from machines of
    its kind, not from the book.
    """

    level: float | None
    level_spread: float | None
    spread: float
    group_spread: float
    slopes: tuple[float, ...]
    slope_spreads: tuple[float, ...]
    least_spread: float = 0.0
    group_like_frac: float = 0.0
    roll_spread: float = 0.0
    roll_like_frac: float = 0.0
    like_frac: float = 0.0
    is_learnt: bool = False


@dataclass(frozen=True, eq=False)
class LevelState:
    """mean, covariance, kept: of the filter; sudden, lasting: of the charts; charts_since: ordinal
    of the bale at which the charts began to count, -1 not yet; anew: ordinal of the bale from
    which the level was last learnt anew on purpose, -1 never; left: level and slopes before the
    change that lasts, NaN where none does; alarms: all told, in order; by_jobs: jobs held against
    jobs.
    """

    mean: Floats
    covariance: Floats
    kept: Floats
    sudden: Floats
    lasting: Floats
    left: Floats
    charts_since: int
    anew: int
    alarms: tuple[Alarm, ...]
    by_jobs: JobsState


def usual_of(measure: Measure) -> Usual:
    """What the book says before any machine of the kind was seen."""
    count, spread = len(measure.explained_by), measure.usual_spread
    goes_by_rolls = measure.group not in (Group.JOB, Group.DAY)
    own = measure.usual_group * spread
    return Usual(
        level=None,
        level_spread=None,
        spread=spread,
        group_spread=_OTHER_GROUP * spread if goes_by_rolls else own,
        slopes=(0.0,) * count,
        slope_spreads=(spread,) * count,
        least_spread=LEAST_SHARE * measure.floor,
        roll_spread=own if goes_by_rolls else 0.0,
    )


def begin_level(usual: Usual) -> LevelState:
    """A state that has seen no bale."""
    spread2 = usual.spread**2
    level2 = _UNKNOWN_LEVEL * spread2  # machines differ by how they are set, not by being wrong
    kept = np.zeros(slot.SLOTS + len(usual.slopes))
    kept[slot.SPREAD2], kept[slot.LIKE_BALES] = spread2, _USUAL_LIKE_BALES
    kept[slot.LAST], kept[slot.LEAST2] = np.nan, usual.least_spread**2
    kept[slot.LIKE] = usual.like_frac
    if usual.is_learnt:
        kept[slot.JUDGED] = kept[slot.SPREAD_BALES] = slot.EARLY_BALES
    groups = []
    for base, group_spread, like in (
        (slot.JOB, usual.group_spread, usual.group_like_frac),
        (slot.ROLL, usual.roll_spread, usual.roll_like_frac),
    ):
        group2 = max(group_spread**2, 0.0025 * spread2) if group_spread > 0 else 0.0
        kept[base + slot.GROUP2], kept[base + slot.LENT] = group2, group2 / spread2
        kept[base + slot.GROUP_LIKE], kept[base + slot.LAST_GROUP] = like, np.nan
        kept[base + slot.WORTH] = _LEARNT_GROUPS if usual.is_learnt else USUAL_GROUPS
        groups.append(group2 if base == slot.JOB else 0.0)  # until a roll is noted it adds nothing
    mean = np.array([np.nan, *usual.slopes, 0.0, 0.0])
    covariance = np.diag([level2, *(one**2 for one in usual.slope_spreads), *groups])
    left = np.full(len(mean) - 2, np.nan)
    return LevelState(
        mean, covariance, kept, new_cusum(), new_windows(), left, -1, -1, (),
        begin_jobs(len(usual.slopes)),
    )  # fmt: skip


def watch_level(
    series: Series,
    places: tuple[int, int],
    state: LevelState,
    limits: tuple[tuple[float, float, float], int],
    trail: list[Floats] | None = None,
) -> LevelState:
    """Go on with new bales; earlier ones in the series are only looked back at.

    places: of the first new bale in the series, and the ordinal of the series' first bale in the
    machine's life; limits: of the sudden and the lasting chart and of jobs, and the bales from
    which a level is learnt before the first is judged. A change that bales tell makes the level be
    learnt anew, so that the next one is seen too. trail: where given, what was expected of each
    bale is added to it, stretch by stretch, with a row of the spread at its end.
    """
    state = _copy(state)
    first, ordinal = places
    at = first
    if state.charts_since < 0:  # the charts begin with the first bale that says anything
        known = np.flatnonzero(np.isfinite(series.values[first:]))
        if not len(known):
            return state
        at = first + int(known[0])
        if np.isnan(state.mean[0]):
            state.mean[0] = series.values[at]
        state = replace(state, charts_since=ordinal + at)
    begins, ended = at, []
    while at < len(series.values):
        (told, *rest), expected, jobs = _walk(series, at, state, limits)
        ended.append(jobs)
        if trail is not None:
            spread = np.full(len(expected), np.sqrt(state.kept[slot.SPREAD2]))
            trail.append(np.stack([expected, spread]))
        if told < 0:
            break
        state = _with_anew(series, ordinal, (at, at + told + 1), state)
        state = _after_alarm(series, ordinal, told + at, state, rest)
        at += told + 1
    state = _with_anew(series, ordinal, (at, len(series.values)), state)
    if not ended:
        return state
    told_of = np.concatenate(ended)
    by_jobs = watch_jobs(series, (begins, ordinal), state.by_jobs, told_of, limits[0][2])
    return replace(state, by_jobs=by_jobs)


def _with_anew(
    series: Series, ordinal: int, span: tuple[int, int], state: LevelState
) -> LevelState:
    """Note where a setting last moved the level on purpose."""
    rows = np.flatnonzero(series.anew[span[0] : span[1]])
    return replace(state, anew=ordinal + span[0] + int(rows[-1])) if len(rows) else state


def _copy(state: LevelState) -> LevelState:
    return replace(
        state,
        mean=state.mean.copy(),
        covariance=state.covariance.copy(),
        kept=state.kept.copy(),
        sudden=state.sudden.copy(),
        lasting=state.lasting.copy(),
        left=state.left.copy(),
    )


def _walk(
    series: Series, at: int, state: LevelState, limits: tuple[tuple[float, float, float], int]
) -> tuple[tuple[int, int, int, int, float], Floats, Floats]:
    """Filter and chart from `at` on; state is that of the bale that told, or of the last. Gives
    what told, what was expected, and the jobs that ended."""
    begun = _copy(state)
    odd, share, expected, ended = _filter(series, at, len(series.values), state, limits[1])
    told = walk_until_told(odd, share, state.sudden, state.lasting, limits[0][:2])
    if told[0] >= 0:  # go back: bales after it are to be judged by a level learnt anew
        for name in ("mean", "covariance", "kept"):
            getattr(state, name)[:] = getattr(begun, name)
        _, _, expected, ended = _filter(series, at, at + told[0] + 1, state, limits[1])
    return told, expected, ended


def _filter(
    series: Series, at: int, end: int, state: LevelState, learning: int
) -> tuple[Floats, Floats, Floats, Floats]:
    part = slice(at, end)
    given = (series.values[part], series.explaining[part], series.jobs[part],
             series.rolls[part], series.anew[part], state.left)  # fmt: skip
    return filter_bales(given, state.mean, state.covariance, state.kept, float(learning))


def _after_alarm(
    series: Series, ordinal: int, place: int, state: LevelState, rest: list[float]
) -> LevelState:
    chart, side, since, statistic = int(rest[0]), int(rest[1]), int(rest[2]), float(rest[3])
    told = _alarm(series, ordinal, place, state, (chart, side, state.charts_since + since))
    kept = state.kept.copy()
    covariance = state.covariance.copy()
    covariance[0, 0] += _UNKNOWN_LEVEL * kept[slot.SPREAD2]
    kept[slot.SINCE] = max(kept[slot.SINCE] - _ANEW_BALES, 0.0)
    kept[slot.LAST] = np.nan
    alarm = replace(
        told,
        statistic=statistic,
        stood_bales=float(kept[slot.LEFT_BALES]),
        stood_jobs=float(kept[slot.LEFT_JOBS]),
        stood_batches=float(kept[slot.LEFT_BATCHES]),
        stood=float(kept[slot.LEFT_SUM] / max(kept[slot.LEFT_BALES], 1.0)),
        same_bales=float(kept[slot.SAME_BALES]),
        same=float(kept[slot.SAME_SUM] / max(kept[slot.SAME_BALES], 1.0)),
    )
    left = _left_behind(state, alarm)
    kept[slot.LEFT_BALES : slot.LEFT_JOBS + 1] = kept[slot.LEFT_BATCHES] = 0.0
    kept[slot.SAME_BALES : slot.SAME_OVER + 1] = 0.0
    return LevelState(
        state.mean, covariance, kept, new_cusum(), new_windows(), left, ordinal + place + 1,
        state.anew, (*state.alarms, alarm), state.by_jobs,
    )  # fmt: skip


def _left_behind(state: LevelState, alarm: Alarm) -> Floats:
    """Level and slopes of what is left: of the change that goes on, of this one, or none."""
    run = last_run((*state.alarms, alarm))
    if not run:
        return np.full(len(state.left), np.nan)
    if len(run) > 1 and np.isfinite(state.left[0]):
        return state.left
    return np.array([alarm.before, *state.mean[1:-2]])


def _alarm(
    series: Series, ordinal: int, place: int, state: LevelState, told: tuple[int, int, int]
) -> Alarm:
    """Look back over what was handed in for the start, never beyond the last alarm."""
    chart, side, since = told
    told_before = state.alarms[-1].at + 1 - ordinal if state.alarms else 0
    low = max(place + 1 - WINDOW_BALES, told_before, state.anew - ordinal, 0)
    like = state.kept[slot.LIKE]
    spreads2 = (
        float(state.kept[slot.SPREAD2] * (1.0 + like) / (1.0 - like)),
        float(state.kept[slot.JOB + slot.GROUP2] + state.kept[slot.ROLL + slot.GROUP2]),
    )
    began = look_back(series, (low, place), state.mean[1:-2], spreads2, side)
    spread = float(np.sqrt(state.covariance[0, 0]))
    alarm = Alarm(
        at=ordinal + place, first=since, since=since, last=since, side=side, chart=chart,
        statistic=0.0, before=float(state.mean[0]), before_spread=spread,
        moved=side * float(np.sqrt(state.kept[slot.SPREAD2])), moved_spread=spread,
        grows=chart == LASTING, judged=int(state.kept[slot.JUDGED]),
        jobs=int(state.kept[slot.JOBS]), batches=int(state.kept[slot.BATCHES]), anew=state.anew,
        within=0.0, between=0.0, jobs_before=1, jobs_after=1, own_before=0, own_apart=0.0,
        own_after=0, own_moved=0.0,
        same_bales=0.0, same=0.0,
        stood_bales=0.0, stood_jobs=0.0, stood_batches=0.0, stood=0.0,
    )  # fmt: skip
    if began is None:
        return alarm
    first, best, last = (ordinal + at for at in (began.first, began.best, began.last))
    borders = series.jobs[low + 1 : place + 1] > 0
    earlier = int(borders[: best - ordinal - low].sum())  # a job that begins with it counts to it
    within = 0.0 if series.measure.wanders else began.within
    begins_job = series.jobs[best - ordinal] > 0
    return replace(
        alarm, first=first, since=best, last=last, before=began.before, moved=began.moved.best,
        moved_spread=(began.moved.high - began.moved.low) / 3.92, grows=began.grows,
        within=within, between=began.fits - within,
        jobs_before=max(earlier + (0 if begins_job else 1), 1),
        jobs_after=int(borders.sum()) - earlier + 1,
        own_before=began.own[0], own_apart=began.own[1],
        own_after=began.own[2], own_moved=began.own[3],
    )  # fmt: skip
