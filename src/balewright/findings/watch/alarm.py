"""What a chart told of a level, and which alarms are one change."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

BACK_SHARE: Final = 0.35
"""A level that is nearer to the one it left than this share of the way is back: `assumed`."""
SETTLED_BALES: Final = 40.0
"""A further move in so many bales after an alarm belongs to it: `assumed`."""


@dataclass(frozen=True)
class Alarm:
    """What a chart told. Places are ordinals of the machine's bales from 0.

    at: the bale that told; first, since, last: when it began, with its interval; side: 1 up, -1
    down; chart: which; statistic: of the chart; before, moved: the level that was left and by how
    much, on the watched scale; before_spread, moved_spread: how well they are known; grows:
    creeping; judged, jobs, batches: bales judged, jobs and batches begun until then; anew: the bale
    from which the level was last learnt anew on purpose, -1 never; within, between: log-likelihood
    of the change by what shows inside jobs and rolls, and by the rest; jobs_before, jobs_after:
    jobs that show the level before and after, the one in which it began among both; own_before,
    own_apart, own_after, own_moved: of the job and roll in which it was told, the bales before it
    began and after, and how far each lie from the level before, 0 bales where it began earlier;
    same_bales, same: of the change before, how many more came in its job and roll after it was
    told, and how far they lay from the level that was left; stood_bales, stood_jobs,
    stood_batches, stood: of the change before, while it lasted: the same three, and how far its
    bales lay from the level that was left.
    """

    at: int
    first: int
    since: int
    last: int
    side: int
    chart: int
    statistic: float
    before: float
    before_spread: float
    moved: float
    moved_spread: float
    grows: bool
    judged: int
    jobs: int
    batches: int
    anew: int
    within: float
    between: float
    jobs_before: int
    jobs_after: int
    own_before: int
    own_apart: float
    own_after: int
    own_moved: float
    same_bales: float
    same: float
    stood_bales: float
    stood_jobs: float
    stood_batches: float
    stood: float


def last_run(alarms: Sequence[Alarm]) -> tuple[Alarm, ...]:
    """The alarms of the change that lasts after the last of them; none where that went back."""
    runs = runs_of(alarms)
    return () if not runs or runs[-1][1] is not None else runs[-1][0]


def runs_of(alarms: Sequence[Alarm]) -> list[tuple[tuple[Alarm, ...], Alarm | None]]:
    """Alarms that are one change, each with the alarm that ended it (None: the last one lasts).

    An alarm goes on with the change before it where that creeps on; it ends it where the level is
    back, or was set on purpose; else it ends it and begins another.
    """
    runs: list[tuple[tuple[Alarm, ...], Alarm | None]] = []
    run: tuple[Alarm, ...] = ()
    for alarm in alarms:
        if run and alarm.anew <= run[-1].at and _is_back(run, alarm):
            runs.append((run, alarm))
            run = ()
        elif run and (alarm.anew > run[-1].at or not _goes_on(run, alarm)):
            runs.append((run, alarm))
            run = (alarm,)
        else:
            run = (*run, alarm)
    if run:
        runs.append((run, None))
    return runs


def farthest(run: Sequence[Alarm]) -> float:
    """The farthest that the level went from the one it left."""
    return max((one.before + one.moved - run[0].before for one in run), key=abs)


def _is_back(run: Sequence[Alarm], alarm: Alarm) -> bool:
    after = alarm.before + alarm.moved - run[0].before
    return alarm.side != run[-1].side and abs(after) <= BACK_SHARE * abs(farthest(run))


def _goes_on(run: Sequence[Alarm], alarm: Alarm) -> bool:
    near = alarm.since - run[-1].at < SETTLED_BALES
    return alarm.side == run[-1].side and (alarm.grows or near)
