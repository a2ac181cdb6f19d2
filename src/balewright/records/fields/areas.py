"""Outlines gathered by field, and the field each bale lies in."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.records.fields.course import Course
from balewright.records.fields.inside import Floats, area_m2, outline_depth_m
from balewright.records.fields.misplaced import BORDER_M, JobPlace
from balewright.records.fields.positions import BETWEEN_S
from balewright.records.outlines import Outline

OUTSIDE: Final = -1
OPEN: Final = -2
"""Nobody can say in which field: on a border, or without a place."""


@dataclass(frozen=True)
class Area:
    """A field and its outlines, which several files may draw."""

    field: str
    farm: str | None
    customer: str | None
    outlines: tuple[Outline, ...]

    def is_of(self, place: JobPlace) -> bool:
        """Whether a job meant to be at `place` is meant to be here."""
        if place.field is None or _plain(place.field) != _plain(self.field):
            return False
        pairs = ((self.farm, place.farm), (self.customer, place.customer))
        return all(a is None or b is None or _plain(a) == _plain(b) for a, b in pairs)


def _plain(name: str) -> str:
    return " ".join(name.casefold().split())


def gather_areas(outlines: Iterable[Outline]) -> tuple[Area, ...]:
    """Outlines by field, farm and customer; the smallest field first."""
    found: dict[tuple[str, str, str], list[Outline]] = {}
    for one in outlines:
        key = (_plain(one.field), _plain(one.farm or ""), _plain(one.customer or ""))
        found.setdefault(key, []).append(one)
    areas = [
        Area(same[0].field, same[0].farm, same[0].customer, tuple(sorted(same, key=repr)))
        for _, same in sorted(found.items())
    ]
    return tuple(sorted(areas, key=lambda area: max(area_m2(one) for one in area.outlines)))


def depths(areas: Sequence[Area], course: Course) -> Floats:
    """How deep each bale lies in each area, metres, below zero outside: shape (areas, n)."""
    deep = np.full((len(areas), len(course.row)), -np.inf)
    for place, area in enumerate(areas):
        for outline in area.outlines:
            deep[place] = np.maximum(deep[place], outline_depth_m(outline, course.lat, course.lon))
    return deep


def tell_fields(deep: Floats, course: Course) -> tuple[NDArray[np.int64], NDArray[np.bool_]]:
    """The area each bale lies in (OUTSIDE, OPEN), shape (n,), and where its own place says so.

    deep: from `depths`; areas stand smallest first, so that of two round one place the smaller
    one counts. A bale within BORDER_M of a border, or without a place of its own, lies where its
    nearest neighbours in time lie that are clear, if they agree and its place does not gainsay.
    """
    count = len(course.row)
    if not len(deep):
        return np.full(count, OUTSIDE), course.located
    within = deep > BORDER_M
    best = np.where(within.any(axis=0), within.argmax(axis=0), OUTSIDE)
    near = (np.abs(deep) <= BORDER_M).any(axis=0)
    hard = course.located & ((best >= 0) | ~near)
    label = np.where(hard, best, OPEN)
    sure = np.flatnonzero(hard)
    for at in np.flatnonzero(~hard).tolist():
        label[at] = _by_neighbours(at, label, sure, course, deep)
    return label, hard


def _by_neighbours(
    at: int, label: NDArray[np.int64], sure: NDArray[np.intp], course: Course, deep: Floats
) -> int:
    behind = int(np.searchsorted(sure, at))
    if behind in (0, len(sure)):
        return OPEN
    before, after = sure[behind - 1], sure[behind]
    pauses = np.diff(course.time_us[[before, at, after]])
    area = int(label[before])
    if area != label[after] or area < 0 or bool((pauses > BETWEEN_S * 1e6).any()):
        return OPEN
    is_placed = bool(np.isfinite(course.lat[at]))
    return OPEN if is_placed and deep[area, at] < -BORDER_M else area
