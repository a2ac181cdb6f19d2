"""The phases of a bale's cycle, and how surely a boundary is known."""

from __future__ import annotations

from enum import IntEnum
from typing import Final

from balewright.records.columns import CHAMBER_PHASES, WRAPPER_PHASES

PHASES: Final = (*CHAMBER_PHASES, *WRAPPER_PHASES)
"""Columns of the bale table, in the order of the arrays of `Cycles`."""
CLOSED, FULL, BIND_START, BIND_END, GATE_OPEN = range(5)
ON_WRAPPER, WRAP_START, WRAP_END, TIPPED = range(5, 9)


class Sureness(IntEnum):
    """How a boundary is known, the surest last.

    NOT_SEEN: nothing tells it; the range is what its neighbours leave, or all of time.
    INFERRED: another signal than the phase's own tells it (turns that stop rising say that the
        wrapper stopped); the range covers how far the two may lie apart.
    BRACKETED: its own signal tells it, but the two samples around it lie far apart (dropped
        messages, a gap, chatter): it happened somewhere between them.
    SEEN: its own signal tells it, between two samples close to each other.
    """

    NOT_SEEN = 0
    INFERRED = 1
    BRACKETED = 2
    SEEN = 3
