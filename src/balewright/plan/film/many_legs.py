"""The legs of many courses as columns, and the short ways to make them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from balewright.plan.film.course import Course
from balewright.plan.film.crossings import MOST_TURNS
from balewright.quantities.errors import BadInput, Fault

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


def require_column(
    name: str, values: ArrayLike, rows: int | None, ends: tuple[float, float]
) -> Floats:
    """A column of floats, every one finite and from ends[0] to ends[1]; else BadInput.

    rows: how long it must be (a single number is repeated); None: as long as it is.
    """
    column = np.array(values, dtype=np.float64)
    if column.ndim == 0 and rows is not None:
        column = np.full(rows, column)
    if column.ndim != 1 or (rows is not None and len(column) != rows):
        need = "one number for each case" if rows is None else f"{rows} numbers, one for each case"
        raise BadInput(Fault(name, need, f"shape {column.shape}", "Make the columns equally long."))
    good = (column >= ends[0]) & (column <= ends[1])
    if not good.all():
        first = int(np.argmin(good))
        raise BadInput(
            Fault(
                place=f"{name}[{first}]",
                need=f"a number from {ends[0]:g} to {ends[1]:g}",
                given=f"{float(column[first])!r}",
                cure="Check the unit: the name ends in it.",
            )
        )
    return column


def require_whole(name: str, values: ArrayLike, rows: int | None, ends: tuple[int, int]) -> Ints:
    """The same for whole numbers."""
    column = require_column(name, values, rows, ends)
    whole = np.rint(column)
    if not np.array_equal(whole, column):
        first = int(np.argmax(whole != column))
        raise BadInput(
            Fault(
                f"{name}[{first}]",
                "a whole number",
                f"{float(column[first])!r}",
                "Leave out parts.",
            )
        )
    return whole.astype(np.int64)


@dataclass(frozen=True, eq=False)
class ManyLegs:
    """Legs of many courses, one after the other; what each column means `course.Leg` says.

    first: where each case's legs begin, and at the end how many legs there are (0, ..., rising by
    at least 1 a case); turns; running, fresh: bit 0 for the first dispenser, bit 1 for the second;
    bale_turn, end_bale_turn; rolled_turn. Raises BadInput for a column of another length or a
    value that a leg does not take.
    """

    first: Ints
    turns: Floats
    running: Ints
    bale_turn: Floats
    end_bale_turn: Floats
    fresh: Ints
    rolled_turn: Floats

    def __post_init__(self) -> None:
        legs = len(self.turns)
        first = require_whole("first", self.first, None, (0, legs))
        if len(first) < 2 or first[0] != 0 or first[-1] != legs or (np.diff(first) < 1).any():
            raise BadInput(
                Fault(
                    "first",
                    f"rising numbers from 0 to the {legs} legs, at least one leg a case",
                    f"{first[:4].tolist()} ... {first[-1:].tolist()}",
                    "Give where each case's legs begin, and their number at the end.",
                )
            )
        keep = {
            "first": first,
            "turns": require_column("turns", self.turns, legs, (1e-9, MOST_TURNS)),
            "running": require_whole("running", self.running, legs, (0, 3)),
            "bale_turn": require_column("bale_turn", self.bale_turn, legs, (0.001, 1.0)),
            "end_bale_turn": require_column("end_bale_turn", self.end_bale_turn, legs, (0.001, 1)),
            "fresh": require_whole("fresh", self.fresh, legs, (0, 3)),
            "rolled_turn": require_column("rolled_turn", self.rolled_turn, legs, (-5.0, 5.0)),
        }
        for name, column in keep.items():
            column.flags.writeable = False
            object.__setattr__(self, name, column)

    @property
    def cases(self) -> int:
        """How many courses."""
        return len(self.first) - 1

    @property
    def all_turns(self) -> Floats:
        """Wrap turns of each course, all its legs together."""
        return np.add.reduceat(self.turns, self.first[:-1])


def legs_of_courses(courses: Sequence[Course]) -> ManyLegs:
    """The legs of courses that exist one by one already (a few; building them costs more)."""
    legs = [leg for course in courses for leg in course.legs]
    bits = [
        [
            sum(1 << which for which, on in enumerate(marks) if on)
            for marks in (leg.running, leg.fresh)
        ]
        for leg in legs
    ]
    ends = [leg.bale_turn if leg.end_bale_turn is None else leg.end_bale_turn for leg in legs]
    return ManyLegs(
        first=np.cumsum([0, *(len(course.legs) for course in courses)]),
        turns=np.array([leg.turns for leg in legs]),
        running=np.array([running for running, _ in bits]),
        bale_turn=np.array([leg.bale_turn for leg in legs]),
        end_bale_turn=np.array(ends),
        fresh=np.array([fresh for _, fresh in bits]),
        rolled_turn=np.array([leg.rolled_turn for leg in legs]),
    )


def _bits(marks: tuple[bool, ...]) -> int:
    return sum(1 << which for which, on in enumerate(marks) if on)


def plain_legs(turns: ArrayLike, bale_turn: ArrayLike, dispensers: ArrayLike) -> ManyLegs:
    """One leg a case, all rolls running: turns above 0, bale_turn 0.001 to 1, dispensers 1 or 2.

    turns sets the number of cases; the others are columns of that length or one number.
    """
    made = require_column("turns", turns, None, (1e-9, MOST_TURNS))
    rows = len(made)
    speed = require_column("bale_turn", bale_turn, rows, (0.001, 1.0))
    rolls = require_whole("dispensers", dispensers, rows, (1, 2))
    return ManyLegs(
        first=np.arange(rows + 1),
        turns=made,
        running=2**rolls - 1,
        bale_turn=speed,
        end_bale_turn=speed,
        fresh=np.zeros(rows, np.int64),
        rolled_turn=np.zeros(rows),
    )


def repeat_course(course: Course, faster_ratio: ArrayLike) -> ManyLegs:
    """The same course once for each number, every turning of the bale in it times that number.

    faster_ratio: 1 leaves the course as it is; one for each case. `rolled_turn` stays.
    """
    faster = require_column("faster_ratio", faster_ratio, None, (1e-3, 1e3))
    rows, one = len(faster), legs_of_courses([course])
    each = len(course.legs)

    def tile(column: NDArray[Any]) -> NDArray[Any]:
        return np.tile(column, rows)

    return ManyLegs(
        first=np.arange(rows + 1) * each,
        turns=tile(one.turns),
        running=tile(one.running),
        bale_turn=tile(one.bale_turn) * np.repeat(faster, each),
        end_bale_turn=tile(one.end_bale_turn) * np.repeat(faster, each),
        fresh=tile(one.fresh),
        rolled_turn=tile(one.rolled_turn),
    )
