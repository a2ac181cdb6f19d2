"""Bales under a wrong job where no outline is known: by the clouds that the jobs' bales make.

A job's bales fall into places that lie well apart. One of its places whose bales lie among those
of another job, which goes on there right behind (or ended there right before), is very likely that
other job's.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from balewright.quantities.reason import because
from balewright.records.fields.course import Course
from balewright.records.fields.inside import Floats, flat_m
from balewright.records.fields.misplaced import JobPlace, JobPlaces, Misplaced, tell_sure

APART_M: Final = 250.0
"""Bales of one place lie no further than this from the next one of it."""
PAUSE_S: Final = 300.0
FAR_M: Final = 1_000.0
"""A way this long is a drive, however short its time; a shorter one is where it took a while."""
NEAR_M: Final = 120.0
"""Half of a place's bales lie no further than this from the nearest of the other job."""
SOON_S: Final = 1_800.0
"""The other job's bales follow within this time."""


@dataclass(frozen=True, eq=False)
class _Place:
    """Bales of one job that lie together: places in the course, and where, shape (bales, 2)."""

    job: str
    at: NDArray[np.intp]
    where_m: Floats


def find_by_cloud(
    machine: str, course: Course, judged: frozenset[str], places: JobPlaces
) -> tuple[Misplaced, ...]:
    """Places of a job that are another's. judged: jobs that outlines have judged already."""
    clouds = _clouds(course)
    found = []
    for place in (one for job in sorted(set(clouds) - judged) for one in clouds[job]):
        other = _neighbour(course, place, clouds)
        if other is not None and _gives_way(place, other, clouds):
            found.append(_misplaced(machine, course, place, other, places))
    return tuple(found)


def _clouds(course: Course) -> dict[str, list[_Place]]:
    """Each job's places, the one of most bales first."""
    known = np.flatnonzero(np.isfinite(course.lat))
    if not len(known):
        return {}
    origin = (float(np.median(course.lat[known])), float(course.lon[known[0]]))
    where = np.full((len(course.row), 2), np.nan)
    where[known] = np.stack(flat_m(course.lat[known], course.lon[known], origin), axis=1)
    clouds = {}
    for job in sorted({job for job in course.job[known].tolist() if job}):
        own = known[course.job[known] == job]
        stays = _join(_stays(course, own, where), where)
        stays.sort(key=lambda at: (-len(at), int(at[0])))
        clouds[job] = [_Place(job, at, where[at]) for at in stays]
    return clouds


def _stays(course: Course, own: NDArray[np.intp], where: Floats) -> list[NDArray[np.intp]]:
    """The job's bales, cut where the machine drove to another place."""
    way = np.hypot(*np.diff(where[own], axis=0).T)
    pause_s = np.diff(course.time_us[own]) / 1e6
    cuts = np.flatnonzero((way > APART_M) & ((pause_s > PAUSE_S) | (way > FAR_M))) + 1
    return np.split(own, cuts)


def _join(stays: list[NDArray[np.intp]], where: Floats) -> list[NDArray[np.intp]]:
    """Stays of one place become one, however often the machine came back to it."""
    joined: list[NDArray[np.intp]] = []
    for stay in stays:
        tree = cKDTree(where[stay])
        touching = [one for one in joined if _nearest(tree, where[one]).min() <= APART_M]
        rest = [one for one in joined if not any(one is other for other in touching)]
        joined = [*rest, np.sort(np.concatenate([*touching, stay]))]
    return joined


def _nearest(tree: cKDTree, where: Floats) -> Floats:
    return np.asarray(tree.query(where)[0], dtype=np.float64)


def _neighbour(course: Course, place: _Place, clouds: dict[str, list[_Place]]) -> _Place | None:
    """The place of another job that this one's bales lie among and that follows or led up."""
    beside = _beside(course, place)
    for job in beside:
        for other in clouds.get(job, []):
            if not np.isin(beside[job], other.at).any():
                continue
            if _away_m(place, other) <= NEAR_M:
                return other
    return None


def _beside(course: Course, place: _Place) -> dict[str, list[int]]:
    """Bales of other jobs right behind the place's last bale, then right before its first one."""
    found: dict[str, list[int]] = {}
    for edge, step in ((int(place.at[-1]), 1), (int(place.at[0]), -1)):
        at = edge + step
        if not 0 <= at < len(course.row) or course.job[at] in ("", place.job):
            continue
        if abs(int(course.time_us[at] - course.time_us[edge])) <= SOON_S * 1e6:
            found.setdefault(course.job[at], []).append(at)
    return found


def _gives_way(place: _Place, other: _Place, clouds: dict[str, list[_Place]]) -> bool:
    """Whether it is this place that is astray: its job has another one, away from the other job's,
    and the other job is at home here. Of two such places the smaller gives way."""
    rest = [one for one in clouds[place.job] if one is not place]
    if not rest or other is not clouds[other.job][0]:
        return False
    is_main = place is clouds[place.job][0]
    return not (is_main and len(clouds[other.job]) > 1 and len(place.at) >= len(other.at))


def _misplaced(
    machine: str, course: Course, place: _Place, other: _Place, places: JobPlaces
) -> Misplaced:
    at = place.at
    located = int(np.count_nonzero(course.located[at]))
    field = places.get(other.job, JobPlace()).field
    away_m = _away_m(place, other)
    return Misplaced(
        machine=machine,
        job=place.job,
        rows=tuple(course.row[at].tolist()),
        lies_in=field,
        belongs_to=other.job,
        since_us=int(course.time_us[at[0]]),
        until_us=int(course.time_us[at[-1]]),
        sure=tell_sure(located, False, True, False),
        on_border=0,
        by_time=len(at) - located,
        why=(
            because("misplaced.cloud", bales=len(at), job=other.job, near_m=away_m),
            because("misplaced.meets", job=other.job),
            because("misplaced.no_outline", job=place.job),
        ),
    )


def _away_m(place: _Place, other: _Place) -> float:
    """How far half of the place's bales lie from the other's nearest, at most."""
    return float(np.median(_nearest(cKDTree(other.where_m), place.where_m)))
