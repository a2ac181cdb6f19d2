"""From here on: how many more wrap turns make a bale good, whatever happened before.

Layers never fall when turns are added, so the smallest number that is enough is searched for, by
laying each continuation on what is there. Doubling what is missing is wrong both ways: it depends
on where the strips fell.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

from balewright.plan.film.arcs import SPOT
from balewright.plan.film.count_course import course_strips
from balewright.plan.film.course import Course, Leg, crossings
from balewright.plan.film.events import Running, Story
from balewright.plan.film.layers import Bale, LayerCount, lay_round
from balewright.plan.film.turns import turns_needed
from balewright.quantities.checks import require_between, require_count
from balewright.quantities.errors import BadInput

#: A continuation that has not covered the bale by then never will.
_GIVE_UP: Final = 1024


@dataclass(frozen=True)
class Need:
    """What is wanted on the round side.

    layers: everywhere, 1 to 40; binding_layers: whole layers of binding film that count with
    them, 0 to 40; allowed_sliver_m: a stretch no wider than this may stay short, 0 to 1.
    """

    layers: int
    binding_layers: int = 0
    allowed_sliver_m: float = 0.0

    def __post_init__(self) -> None:
        require_count("layers", self.layers, 1, 40)
        require_count("binding_layers", self.binding_layers, 0, 40)
        require_between("allowed_sliver_m", self.allowed_sliver_m, 0.0, 1.0)

    @property
    def wrap_layers(self) -> int:
        """Layers of wrap film wanted, 0 or more."""
        return max(0, self.layers - self.binding_layers)


@dataclass(frozen=True)
class WayOn:
    """One way to go on.

    running: which rolls lay film from here on; fresh: which start with a new tail;
    turns_from_now: whole wrap turns that make the round side good, None where none do;
    good_at_turn: the turn at which that is, as the machine counts them; turns_anywhere: wrap turns
    that do it wherever the strips fell so far (a bale that was tipped and is put back), None where
    none do.
    """

    running: tuple[bool, ...]
    fresh: tuple[bool, ...]
    turns_from_now: int | None
    good_at_turn: float | None
    turns_anywhere: int | None


@dataclass(frozen=True)
class Areas:
    """Area short of the need, on the round side and on the two flat sides."""

    round_m2: float
    flats_m2: tuple[float, float]


def areas_short(bale: Bale, count: LayerCount) -> Areas:
    """Square metres with too few layers of wrap film, side by side. Source key: `geometry`."""
    disc_m2 = math.pi * bale.diameter_m**2 / 4.0
    one, other = (flat.short_frac * disc_m2 for flat in count.flats)
    return Areas(count.short_frac * math.pi * bale.diameter_m * bale.length_m, (one, other))


def layers_missing(count: LayerCount, need: Need) -> int:
    """Whole layers that make every side good wherever they start; 0 where none are missing.

    The binding film counts on the round side only.
    """
    flats = min(flat.thinnest for flat in count.flats)
    return max(0, need.wrap_layers - count.thinnest, need.layers - flats)


def ways_on(
    bale: Bale, strip_m: float, plan: Running, story: Story, need: Need
) -> tuple[WayOn, ...]:
    """Every way to go on from where a bale stands, shortest told first.

    The rolls that run now go on; where one is lost, also with it put back. Round side, as
    `turns_needed`. Raises BadInput as `count_course` does. Source key: `geometry`.
    """
    choices = [story.running] if any(story.running) else []
    if not all(story.running):
        choices.append((True,) * plan.dispensers)
    ways = [_way_on(bale, strip_m, plan, (story, running), need) for running in choices]
    return tuple(sorted(ways, key=lambda way: (way.turns_from_now is None, way.turns_from_now)))


def turns_from_here(
    bale: Bale, strip_m: float, course: Course, onward: Leg, need: Need
) -> int | None:
    """Smallest whole number of wrap turns of `onward` after `course` that covers the round side.

    onward: how it goes on (its own turns are set aside). 0 where nothing is missing, None where
    1024 turns are not enough. Source key: `geometry`.
    """

    def is_enough(turns: int) -> bool:
        more = (replace(onward, turns=float(turns)),) if turns else ()
        whole = Course((*course.legs, *more))
        return _round_good(bale, strip_m, whole, need)

    return _first(is_enough)


def _way_on(
    bale: Bale,
    strip_m: float,
    plan: Running,
    state: tuple[Story, tuple[bool, ...]],
    need: Need,
) -> WayOn:
    story, running = state
    fresh = tuple(now and not before for now, before in zip(running, story.running, strict=True))
    bale_turn = plan.bale_turn_with(running)
    onward = Leg(1.0, running, bale_turn, fresh=fresh)
    turns = turns_from_here(bale, strip_m, story.course, onward, need)
    thinnest = _round_thinnest(bale, strip_m, story.course)
    missing = max(0, need.wrap_layers - thinnest)
    anywhere: int | None = 0
    if missing:
        try:
            anywhere = turns_needed(bale, strip_m, bale_turn, sum(running), missing)
        except BadInput:  # the bale comes back to the same places
            anywhere = None
    return WayOn(
        running=running,
        fresh=fresh,
        turns_from_now=turns,
        good_at_turn=None if turns is None else story.course.turns + turns,
        turns_anywhere=anywhere,
    )


def _round_good(bale: Bale, strip_m: float, course: Course, need: Need) -> bool:
    arcs = lay_round(bale, strip_m, course_strips(strip_m, crossings(course)).centres)
    if arcs.short_frac(need.wrap_layers) <= SPOT:
        return True
    widest_m = max(length for _, length in arcs.slivers(need.wrap_layers))
    return widest_m * math.pi * bale.diameter_m <= need.allowed_sliver_m


def _round_thinnest(bale: Bale, strip_m: float, course: Course) -> int:
    return lay_round(bale, strip_m, course_strips(strip_m, crossings(course)).centres).thinnest()


def _first(is_enough: Callable[[int], bool]) -> int | None:
    """The smallest number from 0 on that is enough, by doubling and halving the step."""
    if is_enough(0):
        return 0
    below, above = 0, 1
    while not is_enough(above):
        if above >= _GIVE_UP:
            return None
        below, above = above, min(2 * above, _GIVE_UP)
    while above - below > 1:
        middle = (below + above) // 2
        below, above = (below, middle) if is_enough(middle) else (middle, above)
    return above
