"""What a machine's profile says of the rules by which its signals are cut into cycles."""

from __future__ import annotations

from types import MappingProxyType
from typing import Final

from balewright.plan.machine import FullSign, Machine, StepsAt
from balewright.records.cycles.rules import LEVELS, CycleRules, Threshold

_GATE: Final = "gate_opening_mm"
_PHASE: Final = MappingProxyType(
    {
        StepsAt.BOUND: "bind_end_at",
        StepsAt.GATE_OPENS: "gate_open_at",
        StepsAt.WRAPPED: "wrap_end_at",
        StepsAt.TIPPED: "tipped_at",
    }
)
_USUAL_FULL_MM: Final = 30.0
"""The gate opening of a full chamber for which the usual thresholds are made."""


def rules_for(machine: Machine | None) -> CycleRules:
    """The rules with what a profile knows: when the number steps, and how far the gate of a full
    chamber stands open, so that a full one is not taken for an open one. The rest is learnt.
    """
    if machine is None:
        return CycleRules()
    levels = dict(LEVELS)
    chamber = machine.chamber
    more_mm = chamber.full_at.high - _USUAL_FULL_MM
    if chamber.full_sign is FullSign.GATE_OPENING and more_mm > 0:
        usual = LEVELS[_GATE]
        levels[_GATE] = Threshold(usual.low + more_mm, usual.high + more_mm)
    steps_at = machine.counter.steps_at
    number_at = None if steps_at is None else _PHASE[steps_at]
    return CycleRules(number_at=number_at, levels=MappingProxyType(levels))
