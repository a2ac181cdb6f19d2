"""From what charts told to what lasts: alarms of one measure joined to changes with an end."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from balewright.findings.watch import level_kernel as slot
from balewright.findings.watch.alarm import BACK_SHARE, SETTLED_BALES, Alarm, farthest, runs_of
from balewright.findings.watch.charts_kernel import LASTING, SUDDEN
from balewright.findings.watch.level import LevelState
from balewright.findings.watch.level_kernel import ROLL_BALES


@dataclass(frozen=True)
class Change:
    """One lasting change of a level, on the watched scale.

    first, since, last: ordinals of the likeliest first bale with its interval; told: of the bale
    that told; until: ordinal of the bale from which it was gone, None while it lasts; before: the
    level that was left; moved, moved_spread: how far, at the last bale of it; grows: creeping;
    fits: log-likelihood of it; judged: bales judged until it was told.
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
    sudden: float
    lasting: float
    spread: float
    judged: int


def changes_of(state: LevelState) -> tuple[Change, ...]:
    """The changes of one measure, in order."""
    return tuple(_change(state, run, ended_by) for run, ended_by in runs_of(state.alarms))


@dataclass(frozen=True)
class _Stood:
    """Since a change was told: bales, jobs, batches, and how far the bales lay from the level that
    was left.
    """

    bales: float
    jobs: float
    batches: float
    moved: float


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
    sudden, lasting = (
        max((a.statistic for a in run if a.chart == chart), default=0.0)
        for chart in (SUDDEN, LASTING)
    )
    return Change(
        first=opened.first, since=opened.since, last=opened.last, told=opened.at, until=until,
        before=opened.before, moved=moved if until is None else far, moved_spread=spread,
        grows=any(a.grows for a in run), sudden=sudden,
        lasting=max(lasting, _stands(state, opened, stood)),
        spread=float(np.sqrt(state.kept[slot.SPREAD2])), judged=opened.judged,
    )  # fmt: skip


def _end(ended_by: Alarm, last: Alarm) -> int:
    return ended_by.anew if ended_by.anew > last.at else ended_by.since


def _stood(state: LevelState, ended_by: Alarm | None) -> _Stood:
    if ended_by is not None:
        one = ended_by
        return _Stood(one.stood_bales, one.stood_jobs, one.stood_batches, one.stood)
    bales, total, jobs = state.kept[slot.LEFT_BALES : slot.LEFT_JOBS + 1].tolist()
    return _Stood(bales, jobs, float(state.kept[slot.LEFT_BATCHES]), total / max(bales, 1.0))


def _spread(state: LevelState, opened: Alarm, stood: _Stood) -> float:
    """How well the difference of the levels before and since is known: jobs, rolls and bales."""
    kept = state.kept
    jobs2, rolls2 = (float(kept[base + slot.GROUP2]) for base in (slot.JOB, slot.ROLL))
    like = float(kept[slot.LIKE])
    bales2 = float(kept[slot.SPREAD2]) * (1.0 + like) / (1.0 - like)
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


def _stands(state: LevelState, opened: Alarm, stood: _Stood) -> float:
    """Log-likelihood of the change by the bales since; none speaks louder than a clipped one."""
    if stood.bales < 1.0:
        return 0.0
    z = stood.moved / max(_spread(state, opened, stood), 1e-12)
    return min(0.5 * z * z, 0.5 * slot.CLIP**2 * stood.bales)
