"""Waiting to wrap: what the sources advise, and what warming alone tells of dry matter lost.

No source seen gives dry matter lost by the hour. Heat does not lie, though: a bale that warmed by
so many kelvin burnt at least the sugar for it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from balewright.quantities.checks import require_between
from balewright.quantities.interval import Interval

#: Heat of burning sugar to gas and water, J/kg: 2.80 MJ/mol, from memory.
SUGAR_J_KG: Final = 2.80e6 / 0.180156
WATER_J_KG_K: Final = 4186.0
#: Dry forage, 1.4 to 1.9 kJ/(kg K): `assumed`.
DRY_J_KG_K: Final = 1900.0
#: Warming of a bale that lies unwrapped: `assumed`, no source seen. The rise ends at
#: 56.7 C, the hottest that bales left unwrapped got in a trial (`wisconsin-square-bales`).
RISE_K_H: Final = Interval(low=0.0, best=0.4, high=1.0)
HOTTEST_C: Final = 56.7
START_C: Final = 20.0


@dataclass(frozen=True)
class WaitAdvice:
    """What one source advises: wrap within so many hours; outer: its outside limit, if any."""

    source: str
    within_h: float
    outer_h: float | None = None


ADVICE: Final = (
    WaitAdvice("west-virginia-wrap", 2.0),
    WaitAdvice("teagasc-daily", 3.0),
    WaitAdvice("penn-state-baleage", 4.0, 12.0),
    WaitAdvice("wisconsin-bale-wrapping", 24.0),
    WaitAdvice("akins-2018", 24.0),
)


def kept_advice(waited_h: float) -> tuple[str, ...]:
    """Keys of the sources whose advice (outside limit where given) the wait keeps; 0 to 240 h."""
    require_between("waited_h", waited_h, 0.0, 240.0)
    return tuple(one.source for one in ADVICE if waited_h <= (one.outer_h or one.within_h))


def loss_for_rise(rise_k: float, moisture_frac: float) -> float:
    """Least share of dry matter burnt to warm a bale by `rise_k` (0 to 60 K), moisture 0.05..0.9.

    All heat kept in the bale; what it gave to the air comes on top. Source key: `sugar-heat`.
    """
    require_between("rise_k", rise_k, 0.0, 60.0)
    require_between("moisture_frac", moisture_frac, 0.05, 0.9)
    water = moisture_frac / (1.0 - moisture_frac)
    return rise_k * (DRY_J_KG_K + water * WATER_J_KG_K) / SUGAR_J_KG


def delay_loss(waited_h: float, moisture_frac: float, rise_k: float | None = None) -> Interval:
    """Share of dry matter lost by lying unwrapped.

    waited_h: 0 to 240; moisture_frac: wet basis, 0.05 to 0.9; rise_k: measured warming while it
    lay, 0 to 60 K, None where nobody measured: then warming by the hour is assumed.
    Raises BadInput outside the ranges.
    """
    require_between("waited_h", waited_h, 0.0, 240.0)
    if rise_k is not None:
        least = loss_for_rise(rise_k, moisture_frac)
        return Interval(least, least, 2.0 * least)  # as much again given to the air: assumed
    most_k = HOTTEST_C - START_C
    ends = (RISE_K_H.low, RISE_K_H.best, RISE_K_H.high)
    low, best, high = (loss_for_rise(min(most_k, rate * waited_h), moisture_frac) for rate in ends)
    return Interval(low, best, high)
