"""From what charts told to what lasts: alarms of one measure joined to changes with an end."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from balewright.findings.watch import level_slots as slot
from balewright.findings.watch.alarm import BACK_SHARE, SETTLED_BALES, Alarm, farthest, runs_of
from balewright.findings.watch.by_jobs import Shift
from balewright.findings.watch.chances import jobs_chance, level_chance
from balewright.findings.watch.level import LevelState
from balewright.findings.watch.level_slots import ROLL_BALES

ODD_JOB: Final = 3.0
"""No job says more for a change, in log-likelihood, than this: one in twenty is odd for a reason
that nobody recorded (another driver, crop that was rained on), `assumed`."""
_SURE_CHANCE: Final = 1e-9
SURE_JOBS: Final = 3.0
"""After so many further jobs they alone say whether a change stands."""


@dataclass(frozen=True)
class Change:
    """One lasting change of a level, on the watched scale.

    first, since, last: ordinals of the likeliest first bale with its interval; told: of the bale
    that told; until: ordinal of the bale from which it was gone, None while it lasts; before: the
    level that was left; moved, moved_spread: how far, at the last bale of it; grows: creeping;
    chance_frac: how often a machine in order shows as much, by the chart's model; judged: bales
    judged until it was told; by_jobs: whether whole jobs showed it.
    """

    first: int
    since: int
    last: int
    told: int
    until: int | None
    before: float
    moved: float
    moved_spread: float
    grows: bool
    chance_frac: float
    spread: float
    judged: int
    by_jobs: bool = False


def changes_of(state: LevelState) -> tuple[Change, ...]:
    """The changes of one measure, in order of their start: what charts of bales and jobs both tell
    is told once, by the surer."""
    by_bales = [_change(state, run, ended_by) for run, ended_by in runs_of(state.alarms)]
    found = by_bales + [_shifted(state, one) for one in state.by_jobs.shifts]
    kept = [one for one in found if not any(_outdoes(other, one) for other in found)]
    return tuple(sorted(kept, key=lambda one: (one.since, one.told)))


def _outdoes(one: Change, other: Change) -> bool:
    """Whether it tells the same change more surely."""
    if one is other or (one.moved > 0) != (other.moved > 0):
        return False
    both_last = one.until is None and other.until is None
    if not both_last and (one.first > other.told or other.first > one.told):
        return False
    return _rank(one) < _rank(other)


def _rank(one: Change) -> tuple[float, bool, int]:
    """The surer first; of two that are sure, the one by bales, which knows its ends to the bale."""
    return max(one.chance_frac, _SURE_CHANCE), one.by_jobs, one.told


def _shifted(state: LevelState, shift: Shift) -> Change:
    """What jobs showed, as a change."""
    return Change(
        first=shift.first, since=shift.since, last=shift.last, told=shift.at,
        until=None if shift.until < 0 else shift.until, before=shift.before, moved=shift.moved,
        moved_spread=shift.moved_spread, grows=shift.grows,
        chance_frac=jobs_chance(shift.fits, shift.jobs),
        spread=float(np.sqrt(state.kept[slot.SPREAD2])), judged=shift.judged,
        by_jobs=True,
    )  # fmt: skip


@dataclass(frozen=True)
class _Stood:
    """Since a change was told: bales, jobs, batches, and how far the bales lay from the level that
    was left.
    """

    bales: float
    jobs: float
    batches: float
    moved: float
    same_bales: float = 0.0
    same: float = 0.0


def _change(state: LevelState, run: tuple[Alarm, ...], ended_by: Alarm | None) -> Change:
    opened, last = run[0], run[-1]
    far = farthest(run)
    stood = _stood(state, ended_by)
    until = None if ended_by is None else _end(ended_by, last)
    if until is None and state.anew > last.at:
        until = state.anew
    moved, spread = last.before + last.moved - opened.before, last.moved_spread
    if until is None and stood.bales >= SETTLED_BALES:
        if abs(stood.moved) <= BACK_SHARE * abs(far):
            until = last.at
        else:
            moved, spread = stood.moved, _spread(state, opened, stood)
    return Change(
        first=opened.first, since=opened.since, last=opened.last, told=opened.at, until=until,
        before=opened.before, moved=moved if until is None else far, moved_spread=spread,
        grows=any(a.grows for a in run),
        chance_frac=level_chance(0.0, _fits(state, run, stood), opened.judged),
        spread=float(np.sqrt(state.kept[slot.SPREAD2])), judged=opened.judged,
    )  # fmt: skip


def _end(ended_by: Alarm, last: Alarm) -> int:
    return ended_by.anew if ended_by.anew > last.at else ended_by.since


def _stood(state: LevelState, ended_by: Alarm | None) -> _Stood:
    if ended_by is not None:
        one = ended_by
        return _Stood(
            one.stood_bales, one.stood_jobs, one.stood_batches, one.stood, one.same_bales, one.same
        )
    bales, total, jobs = state.kept[slot.LEFT_BALES : slot.LEFT_JOBS + 1].tolist()
    batches = float(state.kept[slot.LEFT_BATCHES])
    same, off = state.kept[[slot.SAME_BALES, slot.SAME_SUM]].tolist()
    return _Stood(bales, jobs, batches, total / max(bales, 1.0), same, off / max(same, 1.0))


def _spread(state: LevelState, opened: Alarm, stood: _Stood) -> float:
    """How well the difference of the levels before and since is known: jobs, rolls and bales."""
    kept = state.kept
    jobs2, rolls2 = (float(kept[base + slot.GROUP2]) for base in (slot.JOB, slot.ROLL))
    bales2 = _bales2(state)
    if kept[slot.ROLLS] < 1.0:
        rolls2 = 0.0
    batch2 = slot.BATCH * float(kept[slot.SPREAD2]) if rolls2 > 0 else 0.0
    before = _Stood(opened.judged, opened.jobs, opened.batches, 0.0)
    square = 0.0
    for one in (stood, before):
        rolls = max(one.bales / ROLL_BALES, 1.0)
        square += jobs2 / (one.jobs + 1.0) + rolls2 / rolls + batch2 / (one.batches + 1.0)
        square += bales2 / max(one.bales, 1.0)
    return float(np.sqrt(square))


def _fits(state: LevelState, run: tuple[Alarm, ...], stood: _Stood) -> float:
    """Log-likelihood of a change: inside jobs, and by jobs held against each other, where no job
    says more than that an odd one is as rare as ODD_JOB."""
    opened = run[0]
    within = max(one.within for one in run)
    if len(run) == 1:
        within = max(within, _in_its_job(state, opened, stood))
    between = _stands(state, opened, stood)
    if stood.jobs < SURE_JOBS:
        between = max(between, *(one.between for one in run), 0.0)
    fewer = min(opened.jobs_before, opened.jobs_after + stood.jobs)
    return within + min(between, ODD_JOB * fewer)


def _in_its_job(state: LevelState, opened: Alarm, stood: _Stood) -> float:
    """The log-likelihood by the bales of the job and roll in which it began and was told alone."""
    after = opened.own_after + stood.same_bales
    if not opened.own_before or not opened.within:
        return 0.0
    moved = (opened.own_after * opened.own_moved + stood.same_bales * stood.same) / after
    apart = max(opened.side * (moved - opened.own_apart), 0.0)
    shown = opened.own_before * after / (opened.own_before + after)
    gain = 0.5 * apart * apart * shown / _bales2(state)
    return min(gain, 0.5 * slot.CLIP**2 * after)


def _bales2(state: LevelState) -> float:
    """Square of the spread of a bale, reckoned as one of many that are alike."""
    like = float(state.kept[slot.LIKE])
    return float(state.kept[slot.SPREAD2]) * (1.0 + like) / (1.0 - like)


def _stands(state: LevelState, opened: Alarm, stood: _Stood) -> float:
    """Log-likelihood of the change by the bales since; none speaks louder than a clipped one."""
    if stood.bales < 1.0:
        return 0.0
    z = stood.moved / max(_spread(state, opened, stood), 1e-12)
    return min(0.5 * z * z, 0.5 * slot.CLIP**2 * stood.bales)
