"""How fast bales come, and which part of the machine holds them back.

A plain baler stops while it binds and opens. A baler-wrapper makes the next bale while this one
is wrapped: chamber and wrapper run side by side, and the slower of the two sets the cycle.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from balewright.quantities.checks import require_between
from balewright.quantities.si import KG_PER_T, S_PER_H


class HeldBack(StrEnum):
    """What the cycle waits for."""

    FILLING = "filling"
    STANDING = "binding and opening"
    WRAPPER = "wrapping"


@dataclass(frozen=True)
class Cycle:
    """Times of one bale.

    fill_s: crop flows into the chamber; standing_s: it does not, while the bale is bound and put
    out (0 for a machine that never stops); wrapping_s: from taking the bale over until the
    wrapper is free again, None without a wrapper.
    """

    fill_s: float
    standing_s: float
    wrapping_s: float | None = None

    def __post_init__(self) -> None:
        require_between("fill_s", self.fill_s, 0.1, S_PER_H * 10)
        require_between("standing_s", self.standing_s, 0.0, S_PER_H)
        if self.wrapping_s is not None:
            require_between("wrapping_s", self.wrapping_s, 0.0, S_PER_H)


@dataclass(frozen=True)
class Pace:
    """cycle_s: from bale to bale; pace_bales_h; throughput_t_h: fresh crop; efficiency_frac:
    share of the cycle in which crop flows; held_back_by: what to speed up first.
    """

    cycle_s: float
    pace_bales_h: float
    throughput_t_h: float
    efficiency_frac: float
    held_back_by: HeldBack


def fill_time_s(mass_kg: float, feed_kg_s: float) -> float:
    """Seconds to fill a bale of `mass_kg` (10..3000) from a feed rate (0.05..100 kg/s)."""
    require_between("mass_kg", mass_kg, 10.0, 3000.0)
    require_between("feed_kg_s", feed_kg_s, 0.05, 100.0)
    return mass_kg / feed_kg_s


def pace_of(cycle: Cycle, mass_kg: float) -> Pace:
    """The pace of a cycle for bales of `mass_kg`.

    Valid while the crop lasts and nothing is in the way; turning at the headland, changing rolls
    and driving between fields are not in it. Model: throughput = M / (M/F + standing), as in
    Grisso, Webb & Cundiff 2020, with the wrapper beside the chamber. Source key: `grisso-2020`.
    """
    chamber_s = cycle.fill_s + cycle.standing_s
    waits = cycle.wrapping_s is not None and cycle.wrapping_s > chamber_s
    cycle_s = cycle.wrapping_s if waits and cycle.wrapping_s is not None else chamber_s
    slowest = HeldBack.FILLING if cycle.fill_s >= cycle.standing_s else HeldBack.STANDING
    return Pace(
        cycle_s=cycle_s,
        pace_bales_h=S_PER_H / cycle_s,
        throughput_t_h=mass_kg / cycle_s * S_PER_H / KG_PER_T,
        efficiency_frac=cycle.fill_s / cycle_s,
        held_back_by=HeldBack.WRAPPER if waits else slowest,
    )
