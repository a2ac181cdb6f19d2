"""A level watched by its jobs: what none of them can say alone, all before against all since.

The charts of bales ask how odd the next bale is, and soon take a change for what its job adds. Here
whole jobs are held against whole jobs, over all that is remembered: a change no larger than what
jobs differ by shows after some jobs on either side. Everything is kept in one row a job, so that a
bale costs nothing and a season may be cut anywhere.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from balewright.findings.charts.jobs_kernel import (
    best_split,
    between_jobs,
    held_mean,
    judge_since,
)
from balewright.findings.measures.measure import Group
from balewright.findings.watch import level_slots as slot
from balewright.findings.watch.alarm import BACK_SHARE
from balewright.findings.watch.series import Series
from balewright.findings.watch.start import WINDOW_BALES, look_back
from balewright.findings.watched import Floats

JOBS_KEPT: Final = 64
"""Jobs that are remembered; the oldest go."""
_MEAN, _CHANCE2, _FIRST, _EXPLAINS = 0, 1, 2, 3
_SETTLED_JOBS: Final = 3
"""So many jobs near the level that was left, and the change is over."""
_USUAL_JOBS: Final = 6.0
"""Jobs that the usual spread between jobs weighs beside those seen."""
_WARMS: Final = "oil_c"
_COLD: Final = 2.0
"""What oil explains differs so much from day to day that, where its temperature is not recorded,
the evidence must be twice as strong: measured on rehearsed tuning seasons."""


@dataclass(frozen=True)
class Shift:
    """A lasting change that jobs show. Places are ordinals of the machine's bales.

    at: the bale that told, first of the job after; first, since, last: when it began, with its
    interval; side: 1 up, -1 down; before, moved, moved_spread: the level that was left, and how far
    it lies from there since, on the watched scale; before_spread, before_jobs: how well
    the level that was left is known, and the jobs that show it;
    grows: creeping; fits: log-likelihood in units of what is asked of the measure; jobs, judged:
    jobs and bales judged until it was told; until: of the bale from which it was gone, -1 while it
    lasts.
    """

    at: int
    first: int
    since: int
    last: int
    side: int
    before: float
    before_spread: float
    before_jobs: int
    moved: float
    moved_spread: float
    grows: bool
    fits: float
    jobs: int
    judged: int
    until: int


@dataclass(frozen=True, eq=False)
class JobsState:
    """jobs: (n, 3 + p) those remembered: mean, variance by chance, first bale, means of what
    explains them (slopes are taken off anew each time, as they are known by then); begun: ordinal
    of the first bale of the job that goes on, -1 before any; ended, judged: jobs and their bales so
    far; warm: bales of which the oil was known; seen: bales looked at; shifts: all told, in order.
    """

    jobs: Floats
    begun: int = -1
    ended: int = 0
    judged: int = 0
    warm: int = 0
    seen: int = 0
    shifts: tuple[Shift, ...] = ()


def begin_jobs(explains: int) -> JobsState:
    """A state that has seen no job of a measure that so many things explain."""
    return JobsState(np.zeros((0, _EXPLAINS + explains)))


def watch_jobs(
    series: Series, places: tuple[int, int], state: JobsState, ended: Floats, limit: float
) -> JobsState:
    """Go on with the jobs that ended among new bales.

    places: of the first new bale in the series, and the ordinal of the series' first bale; ended:
    of the new bales, as the filter tells of jobs; limit: of the statistic. Rolls that outlast jobs
    make neighbours alike: measures that go by the binding's roll are not watched so.
    """
    first, ordinal = places
    if series.measure.group is Group.NET:
        return state
    walk, looked_at = _Walk(series, ordinal, limit), first
    if state.begun < 0:
        state = replace(state, begun=ordinal + first)
    for at in (first + np.flatnonzero((series.jobs[first:] > 0) | series.anew[first:])).tolist():
        state, looked_at = _look_at(state, series, looked_at, at), at
        if ended[at - first, slot.ENDED_BALES] > 0.0:
            state = walk.end_job(state, at, ended[at - first])
        if series.anew[at]:
            state = _learn_anew(state, ordinal + at)
        state = replace(state, begun=ordinal + at)
    return _look_at(state, series, looked_at, len(series.values))


def _look_at(state: JobsState, series: Series, low: int, high: int) -> JobsState:
    """Count bales, and those of which the oil was known where it explains."""
    warm = high - low
    if _WARMS in series.measure.explained_by:
        place = series.measure.explained_by.index(_WARMS)
        warm = int(np.count_nonzero(series.explaining[low:high, place]))
    return replace(state, warm=state.warm + warm, seen=state.seen + high - low)


def _learn_anew(state: JobsState, at: int) -> JobsState:
    """A setting moved the level on purpose: what was is no measure for what comes."""
    return replace(_over(state, at), jobs=state.jobs[:0])


def _over(state: JobsState, until: int) -> JobsState:
    """The change that lasts is over from a bale on."""
    if not state.shifts or state.shifts[-1].until >= 0:
        return state
    return replace(state, shifts=(*state.shifts[:-1], replace(state.shifts[-1], until=until)))


@dataclass(frozen=True, eq=False)
class _Walk:
    """What stays the same while jobs end."""

    series: Series
    ordinal: int
    limit: float

    def end_job(self, state: JobsState, at: int, told: Floats) -> JobsState:
        """Remember a job, and judge all that are remembered."""
        explains = told[slot.ENDED_SLOPES :].reshape(2, -1)[1]
        head = [told[slot.ENDED_MEAN], told[slot.ENDED_CHANCE2], float(state.begun)]
        row = np.concatenate([head, explains])[None, :]
        jobs = np.concatenate([state.jobs, row])[-JOBS_KEPT:]
        state = replace(
            state, jobs=jobs, ended=state.ended + 1,
            judged=state.judged + int(told[slot.ENDED_BALES]),
        )  # fmt: skip
        followed = self._follow(state, told)
        if followed is None:
            return self._back(state, told)
        state = followed
        asked = self.limit * self._times(state)
        prior = _prior(told)
        means, chances = _columns(state.jobs, told)
        fits, split, moved, variance = best_split(means, chances, prior, asked)
        if fits < asked:
            return state
        return self._tell(state, at, told, (fits, split, moved, variance))

    def _times(self, state: JobsState) -> float:
        """How much stronger than usual the evidence must be."""
        cold = _COLD if state.warm * 2 < state.seen else 1.0
        return self.series.measure.by_jobs_ratio * cold

    def _back(self, state: JobsState, told: Floats) -> JobsState:
        """The change is over from the first of the newest jobs that lies nearer to where it was."""
        shift, newest = state.shifts[-1], state.jobs[-_SETTLED_JOBS:]
        lie = shift.side * (_columns(newest, told)[0] - shift.before)
        back = newest[lie <= 0.5 * abs(shift.moved)]
        return replace(_over(state, int(back[0, _FIRST])), jobs=back)

    def _follow(self, state: JobsState, told: Floats) -> JobsState | None:
        """What a job more says of the change that lasts; None where it is over."""
        if not state.shifts or state.shifts[-1].until >= 0:
            return state
        shift = state.shifts[-1]
        newest = state.jobs[-_SETTLED_JOBS:]
        lie = _columns(newest, told)[0]
        near = float(np.median(lie)) - shift.before
        if len(newest) == _SETTLED_JOBS and shift.side * near <= BACK_SHARE * abs(shift.moved):
            return None
        means, chances = _columns(state.jobs, told)
        left = shift.before, shift.before_spread**2, shift.before_jobs
        fits, moved, variance = judge_since(means, chances, _prior(told), left)
        fits /= self._times(state)
        more = replace(
            shift, moved=moved, moved_spread=float(np.sqrt(variance)), fits=max(fits, shift.fits)
        )
        return replace(state, shifts=(*state.shifts[:-1], more))

    def _tell(
        self, state: JobsState, at: int, told: Floats, found: tuple[float, int, float, float]
    ) -> JobsState:
        """A change began with a job, or one that lasts goes on or ends."""
        fits, split, moved, variance = found
        side = 1 if moved > 0 else -1
        since = state.jobs[split:]
        lasting = state.shifts[-1] if state.shifts and state.shifts[-1].until < 0 else None
        if lasting is not None and lasting.side == side:
            return replace(state, jobs=since)
        state = _over(state, int(since[0, _FIRST]))
        means, chances = _columns(state.jobs, told)
        group2 = between_jobs(means, chances, _prior(told))
        before, weight = held_mean(means[:split], chances[:split], group2)
        shift = Shift(
            at=self.ordinal + at, first=int(state.jobs[split - 1, _FIRST]),
            since=int(since[0, _FIRST]), last=int(since[0, _FIRST]), side=side, before=before,
            before_spread=1.0 / float(np.sqrt(weight)), before_jobs=split, moved=moved,
            moved_spread=float(np.sqrt(variance)), grows=False, fits=fits / self._times(state),
            jobs=state.ended, judged=state.judged, until=-1,
        )  # fmt: skip
        shift = self._began(shift, int(state.jobs[0, _FIRST]), told, group2)
        return replace(state, jobs=since, shifts=(*state.shifts, shift))

    def _began(self, shift: Shift, oldest: int, told: Floats, group2: float) -> Shift:
        """The very bale, where it lies within what is looked back at."""
        low = max(shift.at - WINDOW_BALES, oldest, self.ordinal)
        rows = low - self.ordinal, shift.at - 1 - self.ordinal
        slopes = told[slot.ENDED_SLOPES :].reshape(2, -1)[0]
        spreads2 = float(told[slot.ENDED_SPREAD2]), group2
        began = look_back(self.series, rows, slopes, spreads2, shift.side)
        if began is None:
            return replace(shift, first=max(shift.first, low), since=max(shift.since, low))
        first, best, last = (self.ordinal + one for one in (began.first, began.best, began.last))
        return replace(shift, first=first, since=best, last=last, grows=began.grows)


def _prior(told: Floats) -> tuple[float, float, float]:
    """What is usual between jobs, how many of them that weighs, and the spread of bales."""
    return float(told[slot.ENDED_USUAL2]), _USUAL_JOBS, float(told[slot.ENDED_SPREAD2])


def _columns(jobs: Floats, told: Floats) -> tuple[Floats, Floats]:
    """Where jobs lie beside what explains them, as slopes are known now, and their variances."""
    slopes = told[slot.ENDED_SLOPES :].reshape(2, -1)[0]
    means = jobs[:, _MEAN] - jobs[:, _EXPLAINS:] @ slopes
    return np.ascontiguousarray(means), np.ascontiguousarray(jobs[:, _CHANCE2])
