"""How rarely a machine in order may be told of: run lengths, and the limits they give."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True)
class Limits:
    """notice_bales: bales a chart of a machine in order runs on average before it looks closer at
    something that is not so; told_bales: the same before that is told. In between a change waits
    for bales that bear it out. learning_bales: bales a level is learnt from before the first is
    judged; known_bales: the same where machines of its kind already told what is usual.
    """

    notice_bales: float = 3.0e5
    told_bales: float = 1.0e6
    learning_bales: int = 40
    known_bales: int = 20


USUAL_LIMITS: Final = Limits()
"""What holds where nobody chose otherwise."""
