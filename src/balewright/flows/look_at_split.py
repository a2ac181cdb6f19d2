"""What is drawn of a proposed split: its bales, those near by, and the fields they lie in."""

from __future__ import annotations

from typing import Final

import numpy as np

from balewright.flows.find_misplaced_bales import Split
from balewright.flows.workplace import Workplace
from balewright.pictures.field_map import BaleDot, FieldDrawn
from balewright.records.fields.course import course_of
from balewright.records.fields.inside import flat_m
from balewright.records.identity import TELLING

NEAR_M: Final = 250.0
"""Bales and outlines this near to those astray are drawn with them."""


def look_at_split(workplace: Workplace, split: Split) -> FieldDrawn:
    """Bales of one proposal and of the machine near by; empty where none has a place."""
    columns = (*TELLING, "job", "lat", "lon")
    course = course_of(workplace.journal.read_bales(split.entry.serial, columns))
    astray = np.isin(course.row, np.array(split.found.rows))
    placed = np.isfinite(course.lat)
    own = np.flatnonzero(astray & placed)
    if not len(own):
        return FieldDrawn((), (), split.found.job, split.found.belongs_to)
    origin = (float(course.lat[own[0]]), float(course.lon[own[0]]))
    east, north = flat_m(course.lat, course.lon, origin)
    box = [float(end) for axis in (east[own], north[own]) for end in (axis.min(), axis.max())]
    near = placed & (east >= box[0] - NEAR_M) & (east <= box[1] + NEAR_M)
    near &= (north >= box[2] - NEAR_M) & (north <= box[3] + NEAR_M)
    dots = tuple(
        BaleDot(float(course.lat[at]), float(course.lon[at]), course.job[at], bool(astray[at]))
        for at in np.flatnonzero(near).tolist()
    )
    outlines = []
    for one in workplace.register.load_outlines():
        corners = np.concatenate([np.array(ring) for ring in one.rings])
        x, y = flat_m(corners[:, 0], corners[:, 1], origin)
        apart = x.max() < box[0] - NEAR_M or x.min() > box[1] + NEAR_M
        if not (apart or y.max() < box[2] - NEAR_M or y.min() > box[3] + NEAR_M):
            outlines.append(one)
    return FieldDrawn(dots, tuple(outlines), split.found.job, split.found.belongs_to)
