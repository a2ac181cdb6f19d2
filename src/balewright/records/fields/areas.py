"""Outlines gathered by field, and the field each bale lies in."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.records.fields.course import Course
from balewright.records.fields.inside import Floats, area_m2, flat_m, outline_depth_m
from balewright.records.fields.misplaced import BORDER_M, JobPlace
from balewright.records.fields.positions import BETWEEN_S
from balewright.records.outlines import Outline

OUTSIDE: Final = -1
OPEN: Final = -2
"""Nobody can say in which field: on a border, or without a place."""


@dataclass(frozen=True)
class Area:
    """A field and its outlines, which several files may draw; size_m2: of the largest."""

    field: str
    farm: str | None
    customer: str | None
    outlines: tuple[Outline, ...]
    size_m2: float

    @cached_property
    def plain(self) -> str:
        """The field's name without regard to letter case and spaces."""
        return _plain(self.field)

    def is_of(self, place: JobPlace) -> bool:
        """Whether a job meant to be at `place` is meant to be here."""
        if place.field is None or _plain(place.field) != self.plain:
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
    areas = []
    for _, same in sorted(found.items()):
        drawn = tuple(sorted(same, key=lambda one: (one.source or "", one.rings)))
        size_m2 = max(area_m2(one) for one in drawn)
        areas.append(Area(drawn[0].field, drawn[0].farm, drawn[0].customer, drawn, size_m2))
    return tuple(sorted(areas, key=lambda area: area.size_m2))


def depths(areas: Sequence[Area], course: Course) -> Floats:
    """How deep each bale lies in each area, metres, below zero outside: shape (areas, n).

    Minus infinity where it lies further than BORDER_M outside the area's box.
    """
    deep = np.full((len(areas), len(course.row)), -np.inf)
    for place, area in enumerate(areas):
        for outline in area.outlines:
            near = np.flatnonzero(_in_box(outline, course))
            if len(near):
                found = outline_depth_m(outline, course.lat[near], course.lon[near])
                deep[place, near] = np.maximum(deep[place, near], found)
    return deep


def near_areas(
    areas: Iterable[Area], course: Course, places: Iterable[JobPlace]
) -> tuple[Area, ...]:
    """The areas that matter to one machine: with a bale of it near by, or a job of it told."""
    told: dict[str, list[JobPlace]] = {}
    for place in places:
        told.setdefault(_plain(place.field or ""), []).append(place)
    return tuple(
        area
        for area in areas
        if any(area.is_of(place) for place in told.get(area.plain, ()))
        or any(bool(_in_box(outline, course).any()) for outline in area.outlines)
    )


def _in_box(outline: Outline, course: Course) -> NDArray[np.bool_]:
    """Which bales lie within the outline's box, BORDER_M wider; a first look that costs little."""
    corners = np.concatenate([np.empty((0, 2)), *(np.array(ring) for ring in outline.rings)])
    if not len(corners):
        return np.zeros(len(course.row), dtype=np.bool_)
    origin = (float(corners[0, 0]), float(corners[0, 1]))
    east, north = flat_m(corners[:, 0], corners[:, 1], origin)
    x, y = flat_m(course.lat, course.lon, origin)
    return np.asarray(
        (x >= east.min() - BORDER_M)
        & (x <= east.max() + BORDER_M)
        & (y >= north.min() - BORDER_M)
        & (y <= north.max() + BORDER_M)
    )


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
