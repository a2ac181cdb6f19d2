"""What went wrong (or was done) while a bale was wrapped, and the course that makes of it.

A list of events beside the plan becomes legs: which roll laid film when, where a new tail
started, and how far the bale rolled in a stop. `count_course` then says what the bale got.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import fsum
from typing import Final

from balewright.plan.film.course import Course, Leg
from balewright.plan.film.crossings import MOST_TURNS
from balewright.quantities.checks import require_between, require_count
from balewright.quantities.errors import BadInput, Fault

#: Events closer than this are at the same turn.
_SAME: Final = 1e-9
_MOST_EVENTS: Final = 500


class What(StrEnum):
    """What can happen to the film of a bale that is being wrapped."""

    RUNS_OUT = "runs out"
    BREAKS = "breaks"
    BACK = "back"
    STOP = "stop"
    CUT = "cut"


#: The roll lays no film after these; how it was lost does not matter to the layers.
_LOST: Final = (What.RUNS_OUT, What.BREAKS)


@dataclass(frozen=True)
class Happening:
    """One event. at_turn: wrap turns made when it came, 0 or more; roll: 1 or 2, None for a stop
    and for a cut of every roll; rolled_turn: how far the bale rolled in a stop, -5 to 5 turns.
    """

    at_turn: float
    what: What
    roll: int | None = None
    rolled_turn: float = 0.0

    def __post_init__(self) -> None:
        require_between("at_turn", self.at_turn, 0.0, MOST_TURNS)
        require_between("rolled_turn", self.rolled_turn, -5.0, 5.0)
        if self.what is not What.CUT and (self.roll is None) != (self.what is What.STOP):
            raise BadInput(
                Fault(
                    place="roll",
                    need="a roll where one runs out, breaks or comes back, and none for a stop",
                    given=f"{self.what.value}, roll {self.roll}",
                    cure="Say which roll it was: 1 or 2.",
                )
            )


@dataclass(frozen=True)
class Running:
    """The wrapper as it would run undisturbed.

    turns: wrap turns made when it stopped for good, above 0; dispensers: 1 or 2; bale_turn: turns
    of the bale per wrap turn; bale_turn_one_roll: the same while one of two rolls works alone
    (None: as before).
    """

    turns: float
    dispensers: int
    bale_turn: float
    bale_turn_one_roll: float | None = None

    def __post_init__(self) -> None:
        require_between("turns", self.turns, 0.5, MOST_TURNS)
        require_count("dispensers", self.dispensers, 1, 2)

    def bale_turn_with(self, running: Sequence[bool]) -> float:
        """Turns of the bale per wrap turn while these rolls lay film."""
        alone = self.dispensers == 2 and sum(running) == 1
        return (self.bale_turn_one_roll or self.bale_turn) if alone else self.bale_turn


@dataclass(frozen=True)
class Story:
    """A bale's wrapping as it went.

    course: its legs; running: for each roll, whether it still lays film at the end; one_roll_turns:
    wrap turns in which only one of two rolls worked; bare_turns: in which none did.
    """

    course: Course
    running: tuple[bool, ...]
    one_roll_turns: float
    bare_turns: float


def tell_story(plan: Running, events: Sequence[Happening]) -> Story:
    """The course of a bale from its plan and what happened.

    events: in any order, up to the plan's last turn. Raises BadInput for a roll the wrapper does
    not have, one lost twice or back without a loss, and an event after the last turn.
    A half turn in hand when film breaks is lost; a new tail counts from the next half turn on.
    In a stop nothing is laid, and film that still hangs on while the bale rolls is not counted.
    Source key: `geometry`.
    """
    require_count("events", len(events), 0, _MOST_EVENTS)
    told = _Telling(plan)
    for event in sorted(events, key=lambda one: one.at_turn):
        if event.at_turn > plan.turns + _SAME:
            raise _refused(event, f"a turn up to the last one ({plan.turns:g})")
        told.run_to(event.at_turn)
        told.take(event)
    told.run_to(plan.turns)
    legs = tuple(told.legs)
    return Story(
        course=Course(legs),
        running=tuple(told.running),
        one_roll_turns=fsum(leg.turns for leg in legs if len(leg.running) - sum(leg.running) == 1)
        if plan.dispensers == 2
        else 0.0,
        bare_turns=fsum(leg.turns for leg in legs if not any(leg.running)),
    )


class _Telling:
    """The state of the wrapper while the events are gone through."""

    def __init__(self, plan: Running) -> None:
        self.plan = plan
        self.running = [True] * plan.dispensers
        self.fresh = [False] * plan.dispensers
        self.rolled_turn = 0.0
        self.at_turn = 0.0
        self.legs: list[Leg] = []

    def run_to(self, turn: float) -> None:
        """Lay what is laid until `turn`."""
        if turn - self.at_turn <= _SAME:
            return
        self.legs.append(
            Leg(
                turn - self.at_turn,
                tuple(self.running),
                self.plan.bale_turn_with(self.running),
                fresh=tuple(self.fresh),
                rolled_turn=self.rolled_turn,
            )
        )
        self.fresh = [False] * self.plan.dispensers
        self.rolled_turn = 0.0
        self.at_turn = turn

    def take(self, event: Happening) -> None:
        """Change what runs."""
        if event.what is What.STOP:
            self.rolled_turn += event.rolled_turn
            return
        for place in self._places(event):
            if event.what is What.CUT:
                self.fresh[place] = self.running[place]
                continue
            lost = event.what in _LOST
            if lost != self.running[place]:
                need = "a roll that still runs" if lost else "a roll that was lost before"
                raise _refused(event, need)
            self.running[place] = not lost
            self.fresh[place] = not lost

    def _places(self, event: Happening) -> list[int]:
        if event.roll is None:
            return list(range(self.plan.dispensers))
        if not 1 <= event.roll <= self.plan.dispensers:
            raise _refused(event, f"a roll from 1 to {self.plan.dispensers}")
        return [event.roll - 1]


def _refused(event: Happening, need: str) -> BadInput:
    roll = "" if event.roll is None else f"roll {event.roll} "
    given = f"{roll}{event.what.value} at {event.at_turn:g}"
    return BadInput(Fault("events", need, given, "Check the turns and which roll it was."))
