"""Find bales of one machine that stand under a wrong job."""

from __future__ import annotations

from collections.abc import Sequence

from balewright.records.bales import BaleTable
from balewright.records.fields.areas import Area, near_areas
from balewright.records.fields.by_cloud import find_by_cloud
from balewright.records.fields.by_outline import find_by_outline
from balewright.records.fields.course import course_of
from balewright.records.fields.misplaced import JobPlaces, Misplaced


def find_misplaced(
    machine: str, bales: BaleTable, places: JobPlaces, areas: Sequence[Area] = ()
) -> tuple[Misplaced, ...]:
    """Bales that lie in another job's field, by time.

    bales: of that machine, one row a bale, in any order; places: where each job is meant to be,
    as far as somebody says; areas: fields that are drawn, from `gather_areas`. A job whose own
    field is drawn is judged by outlines, else by the clouds that the jobs' bales make.
    """
    course = course_of(bales)
    jobs = set(course.job.tolist())
    here = [place for job, place in places.items() if job in jobs]
    near = near_areas(areas, course, here)
    by_outline, judged = find_by_outline(machine, course, near, places)
    judged |= {one.job for one in by_outline}
    by_cloud = find_by_cloud(machine, course, judged, places)
    return tuple(sorted((*by_outline, *by_cloud), key=lambda one: (one.since_us, one.job)))
