"""What makes a real bale good: more turns, a fault put right, or wrapping it again once tipped."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

from balewright.plan.film.course import Course, Leg
from balewright.plan.film.from_here import Need
from balewright.plan.film.laying import Laying
from balewright.plan.film.real_bale import RealCount, count_real_bale
from balewright.plan.film.shape import Shape
from balewright.plan.film.tipped import LEAST_LAYERS, ThinSpots, Tipped, judge_spots
from balewright.quantities.checks import require_between, require_count

#: A bale that is short after so many more turns is not made good by turns.
MOST_MORE: Final = 128


def with_more_turns(course: Course, more: int) -> Course:
    """The same course gone on with: the rolls that ran last, at the turning they ended with.

    more: whole wrap turns, 0 to 1000.
    """
    require_count("more", more, 0, 1000)
    if more == 0:
        return course
    last = course.legs[-1]
    bale_turn = last.bale_turn if last.end_bale_turn is None else last.end_bale_turn
    return Course((*course.legs, Leg(float(more), last.running, bale_turn)))


def more_turns(
    shape: Shape, laying: Laying, course: Course, need_layers: int, allowed_sliver_m: float = 0.0
) -> int | None:
    """Smallest number of more wrap turns after which no spot of wrap film is short.

    allowed_sliver_m: a stretch no wider round the bale may stay short, 0 to 1; 0 where the bale is
    good already, None where 128 more turns are not enough. Layers never fall when turns are
    added, so the number is searched for by halving. Valid and with errors as `count_real_bale`.
    Source key: `real-bale`.
    """
    require_between("allowed_sliver_m", allowed_sliver_m, 0.0, 1.0)

    def is_enough(more: int) -> bool:
        longer = with_more_turns(course, more)
        return count_real_bale(shape, laying, longer, need_layers).wrap.sliver_m <= allowed_sliver_m

    if is_enough(0):
        return 0
    below, above = 0, 1
    while not is_enough(above):
        below, above = above, 2 * above
        if above > MOST_MORE:
            return None
    while above - below > 1:
        middle = (below + above) // 2
        below, above = (below, middle) if is_enough(middle) else (middle, above)
    return above


def judge_real(
    shape: Shape, laying: Laying, course: Course, count: RealCount, allowed_sliver_m: float = 0.0
) -> Tipped:
    """What to do with a real bale that is already tipped; binding film counts where it lies.

    count: of the same bale; allowed_sliver_m: a stretch no wider is no reason, 0 to 1. Source
    keys: as `judge_tipped`.
    """
    least = count_real_bale(shape, laying, course, LEAST_LAYERS).bound
    bound, need = count.bound, Need(count.need_layers, 0, allowed_sliver_m)
    wanted = max(count.need_layers, LEAST_LAYERS)
    missing = max(0, wanted - bound.thinnest)
    return judge_spots(ThinSpots(bound.thinnest, bound.sliver_m, least.sliver_m, missing), need)


class Amiss(StrEnum):
    """What can be put right on a bale or a wrapper."""

    SHAPE = "shape"
    OFF_HEIGHT = "off_height"
    TILT = "tilt"
    SLIP = "slip"
    TAIL = "tail"


@dataclass(frozen=True)
class PutRight:
    """The bale with one fault put right and the others left: thinnest, and share short."""

    amiss: Amiss
    thinnest: int
    short_frac: float


def put_right(
    shape: Shape, laying: Laying, courses: tuple[Course, Course], need_layers: int
) -> tuple[PutRight, ...]:
    """What putting right each fault alone would give, the one that helps most first.

    courses: as it went, and without slip (the same twice where it did not slip). The shape put
    right is the cylinder of the middle's diameter, its shoulders kept. Faults that the bale does
    not have are left out. Source key: `real-bale`.
    """
    went, steady = courses
    across_m = shape.middle_m
    even = replace(shape, left_m=across_m, right_m=across_m)
    tries = (
        (Amiss.SHAPE, (even, laying, went), not shape.is_cylinder),
        (Amiss.OFF_HEIGHT, (shape, replace(laying, off_height_m=0.0), went), laying.off_height_m),
        (Amiss.TILT, (shape, replace(laying, tilt_rad=0.0), went), laying.tilt_rad),
        (Amiss.SLIP, (shape, laying, steady), steady != went),
        (Amiss.TAIL, (shape, replace(laying, tail_half_turns=0), went), laying.tail_half_turns),
    )
    found = []
    for amiss, (better, laid, course), has in tries:
        if has:
            cover = count_real_bale(better, laid, course, need_layers).wrap
            found.append(PutRight(amiss, cover.thinnest, cover.short_frac))
    return tuple(sorted(found, key=lambda one: (one.short_frac, -one.thinnest)))
