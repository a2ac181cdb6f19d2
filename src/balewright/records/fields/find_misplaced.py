"""Find bales of one machine that stand under a wrong job."""

from __future__ import annotations

from collections.abc import Iterable

from balewright.records.bales import BaleTable
from balewright.records.fields.areas import gather_areas
from balewright.records.fields.by_cloud import find_by_cloud
from balewright.records.fields.by_outline import find_by_outline
from balewright.records.fields.course import course_of
from balewright.records.fields.misplaced import JobPlaces, Misplaced
from balewright.records.outlines import Outline


def find_misplaced(
    machine: str, bales: BaleTable, places: JobPlaces, outlines: Iterable[Outline] = ()
) -> tuple[Misplaced, ...]:
    """Bales that lie in another job's field, by time.

    bales: of that machine, one row a bale, in any order; places: where each job is meant to be,
    as far as somebody says; outlines: of fields. Where a job's own field has an outline it is
    judged by outlines, else by the clouds that the jobs' bales make.
    """
    course = course_of(bales)
    by_outline, judged = find_by_outline(machine, course, gather_areas(outlines), places)
    judged |= {one.job for one in by_outline}
    by_cloud = find_by_cloud(machine, course, judged, places)
    return tuple(sorted((*by_outline, *by_cloud), key=lambda one: (one.since_us, one.job)))
