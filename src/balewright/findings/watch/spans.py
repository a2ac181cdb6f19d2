"""From what charts told to what lasts: alarms of one measure joined to changes with an end."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from balewright.findings.watch import level_kernel as slot
from balewright.findings.watch.charts_kernel import LASTING, SUDDEN
from balewright.findings.watch.level import Alarm, LevelState

BACK_SHARE: Final = 0.35
"""A level that is nearer to the one it left than this share of the way is back: `assumed`."""
SETTLED_BALES: Final = 40.0


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
    judged: int


def changes_of(state: LevelState) -> tuple[Change, ...]:
    """The changes of one measure, in order."""
    changes: list[Change] = []
    alarms = list(state.alarms)
    at = 0
    while at < len(alarms):
        end = at + 1
        while end < len(alarms) and not _is_fresh(alarms, at, end):
            end += 1
        changes.append(_change(state, alarms[at:end], alarms[end] if end < len(alarms) else None))
        at = end
    return tuple(changes)


def _is_fresh(alarms: list[Alarm], first: int, next_one: int) -> bool:
    """Whether an alarm begins another change: the level had come back, or was set on purpose."""
    one, before = alarms[next_one], alarms[next_one - 1]
    if one.anew > before.at:
        return True
    if next_one - first < 2:
        return False
    run = alarms[first:next_one]
    far = max(abs(a.before + a.moved - run[0].before) for a in run)
    return abs(one.before - run[0].before) <= BACK_SHARE * far


def _change(state: LevelState, run: list[Alarm], after: Alarm | None) -> Change:
    opened, last = run[0], run[-1]
    ends = [a.before + a.moved - opened.before for a in run]
    far = max(ends, key=abs)
    until: int | None = None
    moved, spread = ends[-1], last.moved_spread
    if len(run) > 1 and abs(ends[-1]) <= BACK_SHARE * abs(far):
        until, moved, spread = last.since, far, run[ends.index(far)].moved_spread
    if after is not None:
        until = until if until is not None else after.since
    elif state.anew > last.at:
        until = until if until is not None else state.anew
    elif until is None:
        moved, spread = _as_it_stands(state, opened, (moved, spread))
        settled = state.kept[slot.SINCE] >= SETTLED_BALES
        if settled and abs(moved) <= BACK_SHARE * abs(far):
            until, moved = last.at, far
    sudden, lasting = (
        max((a.statistic for a in run if a.chart == chart), default=0.0)
        for chart in (SUDDEN, LASTING)
    )
    if until is None:
        lasting = max(lasting, _stands(state, opened, moved, spread))
    return Change(
        opened.first, opened.since, opened.last, opened.at, until, opened.before, moved, spread,
        any(a.grows for a in run), sudden, lasting, opened.judged,
    )  # fmt: skip


def _stands(state: LevelState, opened: Alarm, moved: float, spread: float) -> float:
    """Log-likelihood of the change by the level now; no bale speaks louder than a clipped one."""
    z = moved / max(float(np.hypot(spread, opened.before_spread)), 1e-12)
    bales = max(float(state.kept[slot.JUDGED]) - opened.judged, 0.0) + 3.0
    return min(0.5 * z * z, 0.5 * slot.CLIP**2 * bales)


def _as_it_stands(
    state: LevelState, opened: Alarm, told: tuple[float, float]
) -> tuple[float, float]:
    """The level now against the one that was left, once it is better known than when told."""
    spread = float(np.sqrt(state.covariance[0, 0]))
    if spread >= told[1]:
        return told
    return float(state.mean[0]) - opened.before, spread
