"""Bales under a wrong job, told by outlines of fields."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.quantities.reason import Reason, because
from balewright.records.fields.areas import Area, depths, tell_fields
from balewright.records.fields.course import Course
from balewright.records.fields.misplaced import (
    BORDER_M,
    MANY,
    JobPlace,
    JobPlaces,
    Misplaced,
    tell_sure,
)

_MOST: Final = 0.6
"""A job whose field nobody names is at home where at least this share of its bales lies."""
_HALF: Final = 0.5
_PAUSE_US: Final = 12 * 3_600_000_000


@dataclass(frozen=True, eq=False)
class _Ground:
    """What is known of one machine's course: areas, the field of each bale, homes of jobs."""

    machine: str
    course: Course
    areas: Sequence[Area]
    places: JobPlaces
    deep: NDArray[np.float64]
    label: NDArray[np.int64]
    hard: NDArray[np.bool_]
    told: dict[str, frozenset[int]]
    guessed: dict[str, frozenset[int]]

    def home(self, job: str) -> frozenset[int]:
        """Areas a job is at home in, as told or else as its bales lie."""
        return self.told.get(job) or self.guessed.get(job, frozenset())


def find_by_outline(
    machine: str, course: Course, areas: Sequence[Area], places: JobPlaces
) -> tuple[tuple[Misplaced, ...], frozenset[str]]:
    """Bales whose field is another job's, and the jobs whose own field has an outline."""
    ground = _survey(machine, course, areas, places)
    jobs = sorted({job for job in course.job.tolist() if job})
    found = [_group(ground, job, rows, area) for job in jobs for rows, area in _astray(ground, job)]
    judged = frozenset(job for job in jobs if ground.home(job))
    return tuple(found), judged


def _survey(machine: str, course: Course, areas: Sequence[Area], places: JobPlaces) -> _Ground:
    deep = depths(areas, course)
    label, hard = tell_fields(deep, course)
    jobs = {job for job in course.job.tolist() if job} | set(places)
    told = {
        job: frozenset(at for at, area in enumerate(areas) if area.is_of(places[job]))
        for job in jobs & set(places)
    }
    unnamed = {job for job in jobs if places.get(job, JobPlace()).field is None}
    lie = {job: Counter(label[(course.job == job) & hard].tolist()) for job in sorted(unnamed)}
    return _Ground(machine, course, areas, places, deep, label, hard, told, _guess(lie, told))


def _guess(
    lie: dict[str, Counter[int]], told: dict[str, frozenset[int]]
) -> dict[str, frozenset[int]]:
    """Homes of jobs whose field nobody names, by where their bales lie: where most of them lie,
    or more than half and the rest where another job is at home."""
    guessed: dict[str, frozenset[int]] = {}
    for share in (_MOST, _HALF):
        homes = frozenset().union(*told.values(), *guessed.values())
        for job, counts in lie.items():
            area, most = max(counts.items(), key=lambda one: (one[1], -one[0]), default=(-1, 0))
            clear = share == _MOST or all(at in homes for at in counts if at not in (area, -1))
            enough = most >= max(MANY, share * counts.total()) and 2 * most > counts.total()
            if clear and enough and area >= 0:
                guessed.setdefault(job, frozenset({area}))
    return guessed


def _astray(ground: _Ground, job: str) -> Iterator[tuple[list[int], int]]:
    """Runs of the job's bales in an area that is not its own, each with that area."""
    own = np.flatnonzero(ground.course.job == job)
    home = ground.home(job)
    run: list[int] = []
    area = -1
    for at in own.tolist():
        here = int(ground.label[at])
        at_home = any(float(ground.deep[place, at]) > -BORDER_M for place in home)
        if here >= 0 and (here in home or (at_home and ground.hard[at])):
            here = -1
        elif here < -1:
            continue
        pause = bool(run) and ground.course.time_us[at] - ground.course.time_us[run[-1]] > _PAUSE_US
        if run and (here != area or pause):
            yield from _worth(ground, own, run, area)
            run = []
        if here >= 0:
            run.append(at)
            area = here
    if run:
        yield from _worth(ground, own, run, area)


def _worth(
    ground: _Ground, own: NDArray[np.intp], run: list[int], area: int
) -> Iterator[tuple[list[int], int]]:
    """The run, where some bale's own place says so.

    Where nobody knows the job's own field only a lesser part of its bales, and where nobody even
    names it only in a field that another job names.
    """
    job = ground.course.job[run[0]]
    if not ground.hard[run].any():
        return
    if not ground.home(job):
        names_field = ground.places.get(job, JobPlace()).field is not None
        is_anothers = any(area in homes for homes in ground.told.values())
        lies_there = np.count_nonzero(ground.label[own] == area)
        lesser = lies_there < _HALF * np.count_nonzero(ground.hard[own])
        if not lesser or not (names_field or is_anothers):
            return
    yield run, area


def _group(ground: _Ground, job: str, run: list[int], area: int) -> Misplaced:
    course, here = ground.course, ground.areas[area]
    belongs_to = _job_there(ground, job, run, area)
    meets = belongs_to is not None and belongs_to in _beside(ground, run, area)
    belongs_told = area in ground.told.get(belongs_to or "", frozenset())
    hard = int(np.count_nonzero(ground.hard[run]))
    located = course.located[run]
    return Misplaced(
        machine=ground.machine,
        job=job,
        rows=tuple(course.row[run].tolist()),
        lies_in=here.field,
        belongs_to=belongs_to,
        since_us=int(course.time_us[run[0]]),
        until_us=int(course.time_us[run[-1]]),
        sure=tell_sure(hard, bool(ground.told.get(job)), meets, belongs_told),
        on_border=int(np.count_nonzero(located & ~ground.hard[run])),
        by_time=int(np.count_nonzero(~located)),
        why=tuple(_why(ground, job, hard, here, (belongs_to, belongs_told, meets))),
    )


def _beside(ground: _Ground, run: list[int], area: int) -> list[str]:
    """Jobs of the bales right behind and right before the run, where they lie in the area too."""
    beside = [at for at in (run[-1] + 1, run[0] - 1) if 0 <= at < len(ground.label)]
    return [ground.course.job[at] for at in beside if ground.label[at] == area]


def _job_there(ground: _Ground, job: str, run: list[int], area: int) -> str | None:
    """The job at home in that area: one told there first, then the nearest in time."""
    told = sorted(name for name, homes in ground.told.items() if area in homes and name != job)
    guessed = sorted(name for name, homes in ground.guessed.items() if area in homes)
    names = told or [name for name in guessed if name != job]
    if not names:
        return None
    beside = [name for name in _beside(ground, run, area) if name in names]
    return min(names, key=lambda name: (name not in beside, _pause_us(ground, name, run), name))


def _pause_us(ground: _Ground, job: str, run: list[int]) -> int:
    """How long before or behind the run the job's nearest bale was made."""
    times = ground.course.time_us[ground.course.job == job]
    if not len(times):
        return int(np.iinfo(np.int64).max)
    ends = ground.course.time_us[[run[0], run[-1]]]
    return int(np.minimum(np.abs(times - ends[0]), np.abs(times - ends[1])).min())


def _why(
    ground: _Ground, job: str, hard: int, here: Area, belongs: tuple[str | None, bool, bool]
) -> Iterator[Reason]:
    belongs_to, belongs_told, meets = belongs
    yield because("misplaced.inside", bales=hard, field=here.field, border_m=BORDER_M)
    home = ground.home(job)
    if home:
        name = ground.areas[min(home)].field
        told = "told" if ground.told.get(job) else "guessed"
        yield because(f"misplaced.home.{told}", job=job, field=name)
    else:
        yield because("misplaced.home.unseen", job=job)
    if belongs_to is None:
        yield because("misplaced.nobody", field=here.field)
        return
    told = "told" if belongs_told else "guessed"
    yield because(f"misplaced.there.{told}", job=belongs_to, field=here.field)
    if meets:
        yield because("misplaced.meets", job=belongs_to)
