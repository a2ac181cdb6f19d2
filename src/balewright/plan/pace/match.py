"""How well chamber and wrapper match: the pace as the wrapper gets slower, steady and by chance."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from balewright.plan.pace.closed import mean_cycle_s
from balewright.plan.pace.steady import work_pace
from balewright.plan.pace.variation import Variation
from balewright.plan.pace.work import Work
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.si import S_PER_H

_STEPS: Final = 33
_LOW, _HIGH = 0.6, 1.4


@dataclass(frozen=True)
class AtMatch:
    """wrapper_s: the wrapper's whole time; ratio: to the chamber's; bales/h without and with
    times that vary.
    """

    wrapper_s: float
    ratio: float
    steady_bales_h: float
    chance_bales_h: float


def match_paces(work: Work, variation: Variation) -> tuple[AtMatch, ...]:
    """The pace for wrappers that take 0.6 to 1.4 of the chamber's time, only `wrap_s` changed.

    work, variation: as `mean_cycle_s` takes them. Raises BadInput where taking over and tipping
    alone are longer than that, and where there is no closed form. Source key: `hunt-1956`.
    """
    phases = work.phases
    ends_s = phases.take_over_s + phases.tip_s
    if ends_s >= _LOW * phases.chamber_s:
        need = f"under {_LOW:g} of the chamber's {phases.chamber_s:g} s"
        cure = "Look at a machine whose wrapping itself takes time."
        raise BadInput(Fault("take_over_s + tip_s", need, f"{ends_s:g}", cure))
    found = []
    for step in range(_STEPS):
        ratio = _LOW + (_HIGH - _LOW) * step / (_STEPS - 1)
        wrapper_s = ratio * phases.chamber_s
        there = replace(work, phases=replace(phases, wrap_s=wrapper_s - ends_s))
        steady = work_pace(there).pace_bales_h
        found.append(AtMatch(wrapper_s, ratio, steady, S_PER_H / mean_cycle_s(there, variation)))
    return tuple(found)
