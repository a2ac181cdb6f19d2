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
    """The area each bale lies in (OUTSIDE, OPEN), shape (n,), and where its own place says so
    beyond doubt.

    deep: from `depths`; areas stand smallest first, so that of two round one place the smaller
    one counts. A bale more than BORDER_M within is in that area, one further than that from all
    areas in none. On a border: if no other area is in reach it lies there when it is within, or
    when a clear neighbour in time does. Else, and without a place of its own, it lies where its
    clear neighbours on both sides lie, if they agree.
    """
    count = len(course.row)
    if not len(deep):
        return np.full(count, OUTSIDE), course.located
    in_reach = deep > -BORDER_M
    nearest = np.where(in_reach.any(axis=0), in_reach.argmax(axis=0), OUTSIDE)
    depth = deep[np.maximum(nearest, 0), np.arange(count)]
    hard = course.located & ((nearest == OUTSIDE) | (depth > BORDER_M))
    alone = course.located & ~hard & (in_reach.sum(axis=0) == 1)
    label = np.where(hard | (alone & (depth > 0)), nearest, OPEN)
    sure = np.flatnonzero(hard)
    for at in np.flatnonzero(label == OPEN).tolist():
        beside = _beside(at, label, sure, course)
        if alone[at]:
            label[at] = nearest[at] if nearest[at] in beside else OPEN
        elif len(beside) == _BOTH and len(set(beside)) == 1 and beside[0] >= 0:
            gainsaid = np.isfinite(course.lat[at]) and deep[beside[0], at] < -BORDER_M
            label[at] = OPEN if gainsaid else beside[0]
    return label, hard


_BOTH: Final = 2


def _beside(at: int, label: NDArray[np.int64], sure: NDArray[np.intp], course: Course) -> list[int]:
    """Labels of the nearest clear bales before and behind, where no more than BETWEEN_S away."""
    behind = int(np.searchsorted(sure, at))
    near = [sure[place] for place in (behind - 1, behind) if 0 <= place < len(sure)]
    limit_us = BETWEEN_S * 1e6
    return [
        int(label[one])
        for one in near
        if abs(int(course.time_us[one] - course.time_us[at])) <= limit_us
    ]
