"""The course of one bale's wrapping: what ran when, and where each strip fell.

A bale is wrapped in legs. Within a leg nothing changes; a roll that runs out or breaks, a roll put
on, a stop, a slip that sets in or a machine that slows begins the next. Time is counted in wrap
turns, as in `crossings`, which has the simple case.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import accumulate

from balewright.plan.film.crossings import MOST_TURNS, Wrapping
from balewright.quantities.checks import require_between, require_count
from balewright.quantities.errors import BadInput, Fault

#: Rounding allowed when half turns are counted, as in `crossings`.
_ROUNDING = 1e-9


@dataclass(frozen=True)
class Leg:
    """A stretch of the wrapping in which nothing changes.

    turns: wrap turns, above 0; running: for each dispenser, whether it lays film; bale_turn: turns
    of the bale per wrap turn at the leg's start, 0.001 to 1; end_bale_turn: the same at its end,
    changing evenly between (None: as at the start); fresh: for each dispenser, whether it starts
    here with a new tail (a new roll, or film taken up again); rolled_turn: turns the bale rolled
    on (or back) between the leg before and this one, -5 to 5.
    """

    turns: float
    running: tuple[bool, ...]
    bale_turn: float
    end_bale_turn: float | None = None
    fresh: tuple[bool, ...] = ()
    rolled_turn: float = 0.0

    def __post_init__(self) -> None:
        require_between("turns", self.turns, _ROUNDING, MOST_TURNS)
        require_between("bale_turn", self.bale_turn, 0.001, 1.0)
        if self.end_bale_turn is not None:
            require_between("end_bale_turn", self.end_bale_turn, 0.001, 1.0)
        require_between("rolled_turn", self.rolled_turn, -5.0, 5.0)

    def bale_turned(self, turns: float) -> float:
        """Turns of the bale in the first `turns` of this leg (0 to the leg's own)."""
        end = self.bale_turn if self.end_bale_turn is None else self.end_bale_turn
        return self.bale_turn * turns + (end - self.bale_turn) * turns**2 / (2.0 * self.turns)


@dataclass(frozen=True)
class Course:
    """The legs of one bale, in order; every leg names the same number of dispensers, 1 or 2."""

    legs: tuple[Leg, ...]

    def __post_init__(self) -> None:
        require_count("legs", len(self.legs), 1, 1000)
        require_count("dispensers", len(self.legs[0].running), 1, 2)
        for place, leg in enumerate(self.legs):
            told = {len(leg.running), len(leg.fresh) or len(leg.running)}
            if told != {self.dispensers}:
                raise BadInput(
                    Fault(
                        place=f"legs[{place}]",
                        need=f"one running and one fresh mark for each of {self.dispensers} rolls",
                        given=f"running {leg.running}, fresh {leg.fresh}",
                        cure="Give every leg the same number of dispensers.",
                    )
                )

    @property
    def dispensers(self) -> int:
        """How many dispensers the wrapper has."""
        return len(self.legs[0].running)

    @property
    def turns(self) -> float:
        """Wrap turns of the whole course."""
        return math.fsum(leg.turns for leg in self.legs)


@dataclass(frozen=True)
class Crossing:
    """One half wrap turn of one dispenser: along the round side, then over one flat side.

    at_turn: when it begins, in wrap turns; dispenser: 0 or 1; round_turn: where its middle line
    lies on the round side, in turns round the bale from the first dispenser's start; flat_turn:
    direction over the flat side, in half turns; side: which flat side, 0 or 1; forward: whether
    it runs along the round side from side 1 to side 0 (+1) or back (-1); since_fresh: half turns
    of this dispenser since its last new tail; bale_turn: turns of the bale per wrap turn then.
    """

    at_turn: float
    dispenser: int
    round_turn: float
    flat_turn: float
    side: int
    forward: int
    since_fresh: int
    bale_turn: float


def course_of(wrapping: Wrapping) -> Course:
    """The same wrapping told as legs: together, then the roll that is left alone."""
    both = min(wrapping.turns)
    legs = []
    if both > _ROUNDING:
        legs.append(Leg(both, (True,) * len(wrapping.turns), wrapping.bale_turn))
    if max(wrapping.turns) - both > _ROUNDING:
        alone = wrapping.bale_turn_one_roll or wrapping.bale_turn
        running = tuple(turns > both for turns in wrapping.turns)
        legs.append(Leg(max(wrapping.turns) - both, running, alone))
    return Course(tuple(legs))


def crossings(course: Course) -> tuple[Crossing, ...]:
    """Every half wrap turn that laid film, in order of time.

    A half turn counts for a dispenser when it ran all through it without a new tail: one that was
    only begun, or was broken off, lays no strip that can be counted. Source key: `geometry`.
    """
    ends = tuple(accumulate(leg.turns for leg in course.legs))
    starts = (0.0, *ends[:-1])
    found = []
    since = [0] * course.dispensers
    for half in range(math.floor(2.0 * ends[-1] + _ROUNDING)):
        begin, end = 0.5 * half, 0.5 * (half + 1)
        inside = [
            place
            for place, leg in enumerate(course.legs)
            if starts[place] < end - _ROUNDING and starts[place] + leg.turns > begin + _ROUNDING
        ]
        for dispenser in range(course.dispensers):
            new_tail = (
                starts[place] > begin - _ROUNDING and _is_fresh(course.legs[place], dispenser)
                for place in inside
            )
            if any(new_tail):
                since[dispenser] = 0
            if not _ran_through(course, starts, inside, begin, dispenser):
                continue
            found.append(_crossing(course, half, dispenser, since[dispenser]))
            since[dispenser] += 1
    return tuple(found)


def _is_fresh(leg: Leg, dispenser: int) -> bool:
    return bool(leg.fresh) and leg.fresh[dispenser]


def _ran_through(
    course: Course, starts: tuple[float, ...], inside: list[int], begin: float, dispenser: int
) -> bool:
    for place in inside:
        leg = course.legs[place]
        broken_into = _is_fresh(leg, dispenser) and starts[place] > begin + _ROUNDING
        if broken_into or not leg.running[dispenser]:
            return False
    return True


def _crossing(course: Course, half: int, dispenser: int, since_fresh: int) -> Crossing:
    at_turn = 0.5 * half
    turned, bale_turn = bale_at(course, at_turn)
    turned_at_flat, _ = bale_at(course, at_turn + 0.25)
    return Crossing(
        at_turn=at_turn,
        dispenser=dispenser,
        round_turn=0.5 * (half + dispenser) - turned,
        flat_turn=(-2.0 * turned_at_flat) % 1.0,
        side=(half + dispenser) % 2,
        forward=1 if (half + dispenser) % 2 == 0 else -1,
        since_fresh=since_fresh,
        bale_turn=bale_turn,
    )


def bale_at(course: Course, at_turn: float) -> tuple[float, float]:
    """Turns the bale has made by `at_turn`, and its turns per wrap turn then.

    at_turn: in wrap turns, 0 to the course's own.
    """
    turned = start = 0.0
    for place, leg in enumerate(course.legs):
        turned += leg.rolled_turn
        if at_turn < start + leg.turns - _ROUNDING or place == len(course.legs) - 1:
            here = at_turn - start
            end = leg.bale_turn if leg.end_bale_turn is None else leg.end_bale_turn
            now = leg.bale_turn + (end - leg.bale_turn) * here / leg.turns
            return turned + leg.bale_turned(here), now
        turned += leg.bale_turned(leg.turns)
        start += leg.turns
    raise AssertionError("a course has at least one leg")
