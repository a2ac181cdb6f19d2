"""What is known of one observation: yes, no, a number, or that nobody can tell."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from balewright.cause.network import Observation
from balewright.quantities.errors import BadInput, Fault


class Answer(StrEnum):
    """The answer to "is it so?"; NUMBER: a check read one, and what it says is for it to say."""

    YES = "yes"
    NO = "no"
    UNKNOWN = "unknown"
    NUMBER = "number"


@dataclass(frozen=True)
class Seen:
    """answer: of the observation; value: what was read, in the unit of its check, with NUMBER and
    never else. Raises BadInput where the two do not go together.
    """

    answer: Answer
    value: float | None = None

    def __post_init__(self) -> None:
        wants = self.answer is Answer.NUMBER
        if wants != (self.value is not None) or not math.isfinite(self.value or 0.0):
            need = "a finite number" if wants else "no number beside yes, no or unknown"
            raise BadInput(
                Fault("evidence", need, repr(self.value), "Use read(value) for numbers.")
            )


YES: Final = Seen(Answer.YES)
NO: Final = Seen(Answer.NO)
UNKNOWN: Final = Seen(Answer.UNKNOWN)
"""Asked, and nobody could tell: it says nothing, and is not asked again."""


def read(value: float) -> Seen:
    """What a check read, in its own unit."""
    return Seen(Answer.NUMBER, value)


def weights_of(one: Observation, seen: Seen) -> tuple[float, float] | None:
    """How well what was seen goes with the observation being on and being off, the larger 1.

    None where a number was given for what reads none.
    """
    if seen.value is not None:
        reading = None if one.check is None else one.check.reading
        return None if reading is None else reading.weights(seen.value)
    return {Answer.YES: (1.0, 0.0), Answer.NO: (0.0, 1.0)}.get(seen.answer, (1.0, 1.0))
