"""How rarely a machine in order may be told of: run lengths, and the limits they give."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True)
class Limits:
    """false_alarm_bales: bales a chart of a machine in order runs on average before it tells
    something that is not so; learning_bales: bales a level is learnt from before the first is
    judged; known_bales: the same where machines of its kind already told what is usual;
    settled_bales: bales after a told change before it may be called over.
    """

    false_alarm_bales: float = 1.0e6
    learning_bales: int = 40
    known_bales: int = 20
    settled_bales: int = 30


USUAL_LIMITS: Final = Limits()
"""What holds where nobody chose otherwise."""
