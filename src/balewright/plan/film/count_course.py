"""How many layers lie where after any course of wrapping: exact, as `layers` has it for a plan."""

from __future__ import annotations

from balewright.plan.film.course import Course, Crossing, crossings
from balewright.plan.film.layers import Bale, LayerCount, Strips, count_strips
from balewright.quantities.checks import require_between, require_count


def count_course(
    bale: Bale, strip_m: float, course: Course, need_layers: int, binding_layers: int = 0
) -> LayerCount:
    """Count the layers on every spot of a bale whose wrapping went as `course` says.

    strip_m: width of the strip on the bale, 0.01 to 3; need_layers: 1 to 40; binding_layers: whole
    layers of binding film on the round side, 0 to 40. Raises BadInput outside, and where the strip
    would reach round more than half of the bale. A half turn in which film broke or began counts
    for nothing, so a bale is never flattered. Valid as `count_layers`. Source key: `geometry`.
    """
    require_count("need_layers", need_layers, 1, 40)
    require_count("binding_layers", binding_layers, 0, 40)
    strips = course_strips(strip_m, crossings(course))
    return count_strips(bale, strips, need_layers, binding_layers)


def course_strips(strip_m: float, laid: tuple[Crossing, ...]) -> Strips:
    """Where the strips of `laid` lie. strip_m: 0.01 to 3; raises BadInput outside."""
    require_between("strip_m", strip_m, 0.01, 3.0)
    return Strips(
        width_m=strip_m,
        centres=tuple(one.round_turn for one in laid),
        directions=(
            [one.flat_turn for one in laid if one.side == 0],
            [one.flat_turn for one in laid if one.side == 1],
        ),
    )
