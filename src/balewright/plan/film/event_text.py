"""Events as people write them: `roll 2 breaks at 5.3`, `roll 2 back after 3`, `stop at 6`."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from balewright.plan.film.events import Happening, What
from balewright.quantities.errors import BadInput, Fault

_LOST: Final = {
    ("runs", "out"): What.RUNS_OUT,
    ("is", "out"): What.RUNS_OUT,
    ("out",): What.RUNS_OUT,
    ("breaks",): What.BREAKS,
}
_BACK: Final = {("back",), ("is", "back")}

#: How an event is written, for help and refusals.
FORMS: Final = (
    "roll 2 runs out at 5",
    "roll 2 breaks at 5.3",
    "roll 2 out from the start",
    "roll 2 back at 8",
    "roll 2 back after 3",
    "stop at 6",
    "stop at 6 and the bale rolls 0.4",
    "cut at 6",
    "cut roll 1 at 6",
)


def read_events(lines: Sequence[str]) -> tuple[Happening, ...]:
    """The events that `lines` tell, in the order given.

    Turns are wrap turns from the start; `back after N` is N turns after that roll was last lost.
    A stop's rolling is in turns of the bale, against the strips when negative. Raises BadInput
    with every line that cannot be read.
    """
    told: list[Happening] = []
    faults: list[Fault] = []
    for place, line in enumerate(lines):
        try:
            read = _read(tuple(line.lower().split()), told)
        except BadInput as error:
            faults += [
                Fault(f"event {place + 1}", fault.need, repr(line), fault.cure)
                for fault in error.faults
            ]
            continue
        if read is None:
            need = "an event such as " + ", ".join(f"'{form}'" for form in FORMS)
            faults.append(Fault(f"event {place + 1}", need, repr(line), "Write it like one."))
        else:
            told.append(read)
    if faults:
        raise BadInput(*faults)
    return tuple(told)


def write_event(event: Happening) -> str:
    """The event in the form that `read_events` reads back."""
    at = f"at {event.at_turn:.10g}"
    if event.what is What.STOP:
        rolled = f" and the bale rolls {event.rolled_turn:.10g}" if event.rolled_turn else ""
        return f"stop {at}{rolled}"
    roll = "" if event.roll is None else f"roll {event.roll} "
    return f"cut {roll}{at}" if event.what is What.CUT else f"{roll}{event.what.value} {at}"


def _read(said: tuple[str, ...], told: Sequence[Happening]) -> Happening | None:
    match said:
        case ("roll", "1" | "2" as roll, *does, "at" | "after" as how, turns):
            return _of_roll(int(roll), tuple(does), (how, _number(turns)), told)
        case ("roll", "1" | "2" as roll, *does, "from", "the", "start"):
            return _of_roll(int(roll), tuple(does), ("at", 0.0), ())
        case ("stop", "at", turns):
            return _stop(_number(turns), 0.0)
        case ("stop", "at", turns, "and", "the", "bale", "rolls", rolled):
            return _stop(_number(turns), _number(rolled))
        case ("cut", *which, "at", turns):
            return _cut(tuple(which), _number(turns))
    return None


def _of_roll(
    roll: int, does: tuple[str, ...], when: tuple[str, float | None], told: Sequence[Happening]
) -> Happening | None:
    how, turns = when
    if turns is None:
        return None
    if does in _LOST and how == "at":
        return Happening(turns, _LOST[does], roll)
    if does in _BACK:
        return Happening(turns + _lost_at(roll, told, how), What.BACK, roll)
    return None


def _stop(at_turn: float | None, rolled_turn: float | None) -> Happening | None:
    if at_turn is None or rolled_turn is None:
        return None
    return Happening(at_turn, What.STOP, None, rolled_turn)


def _cut(which: tuple[str, ...], at_turn: float | None) -> Happening | None:
    if at_turn is None or which not in ((), ("roll", "1"), ("roll", "2")):
        return None
    return Happening(at_turn, What.CUT, int(which[1]) if which else None)


def _number(word: str) -> float | None:
    """A plain decimal number; None for any other word, `nan` and `inf` among them."""
    try:
        value = float(word)
    except ValueError:
        return None
    return value if math.isfinite(value) and "_" not in word else None


def _lost_at(roll: int, told: Sequence[Happening], how: str) -> float:
    """Where `after` counts from: the roll's last loss; 0 for `at`."""
    if how == "at":
        return 0.0
    losses = [
        one.at_turn for one in told if one.roll == roll and one.what in (What.BREAKS, What.RUNS_OUT)
    ]
    if not losses:
        raise BadInput(
            Fault(
                "event",
                f"a loss of roll {roll} told before it",
                "none",
                "Tell first when the roll was lost, or say 'back at' a turn.",
            )
        )
    return losses[-1]
