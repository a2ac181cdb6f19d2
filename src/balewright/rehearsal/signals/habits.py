"""How invented machines speak and work: which signals, how often, and how long things take."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Final

from balewright.plan.machine import Machine


@dataclass(frozen=True)
class Spread:
    """A range in seconds, or in the unit its field names, from which values are drawn evenly."""

    low: float
    high: float


_CYCLE: Final = MappingProxyType(
    {
        "chamber_closed": 10.0, "chamber_full": 10.0, "gate_opening_mm": 10.0,
        "chamber_fill_frac": 5.0, "binding_on": 10.0, "binding_m": 10.0, "binding_turns": 10.0,
        "bale_on_wrapper": 10.0, "wrapper_on": 20.0, "wrap_turns": 10.0, "wrap_rpm": 5.0,
        "tip_on": 10.0, "film1_m": 10.0, "film2_m": 10.0, "film1_there": 10.0, "film2_there": 10.0,
        "bale_no": 1.0, "speed_m_s": 10.0, "pto_rpm": 20.0, "chamber_bar": 10.0, "supply_v": 1.0,
        "moisture_frac": 2.0, "mass_kg": 1.0, "lat": 5.0, "lon": 5.0,
    }
)  # fmt: skip


@dataclass(frozen=True)
class Habits:
    """One make's way. rates: samples a second, by signal; number_at: at which column of the bale
    table its counter steps, number_lag_s: how long after; the others: how long each part takes.

    least_turn: the counter of wrap turns counts in such parts of a turn; wraps: whether it has a
    wrapper at all; life: its first bale number.
    """

    rates: Mapping[str, float]
    number_at: str
    fill_s: Spread = Spread(15.0, 300.0)
    bind_wait_s: Spread = Spread(0.2, 4.0)
    bind_s: Spread = Spread(3.0, 40.0)
    open_wait_s: Spread = Spread(0.3, 3.0)
    gate_s: Spread = Spread(2.0, 9.0)
    pass_s: Spread = Spread(0.8, 6.0)
    wrap_wait_s: Spread = Spread(0.3, 8.0)
    wrap_s: Spread = Spread(10.0, 90.0)
    tip_wait_s: Spread = Spread(0.4, 5.0)
    tip_s: Spread = Spread(1.5, 6.0)
    number_lag_s: Spread = Spread(0.05, 1.5)
    least_turn: float = 0.1
    wraps: bool = True
    life: int = 4000

    def without(self, *names: str) -> Habits:
        """The same machine with some signals missing."""
        left = {name: rate for name, rate in self.rates.items() if name not in names}
        return replace(self, rates=MappingProxyType(left))


def _some(*names: str) -> Mapping[str, float]:
    return MappingProxyType({name: _CYCLE[name] for name in names})


RICH: Final = Habits(_CYCLE, "gate_open_at")
POOR: Final = Habits(
    _some("binding_on", "binding_m", "wrap_turns", "bale_no", "speed_m_s", "moisture_frac",
          "lat", "lon"),
    "wrap_end_at", least_turn=0.25, bind_s=Spread(3.0, 14.0), fill_s=Spread(25.0, 240.0),
)  # fmt: skip
POOREST: Final = Habits(
    _some("binding_m", "bale_no", "chamber_bar"), "bind_end_at", wraps=False, life=120
)


def habits_of(machine: Machine) -> Habits:
    """The signals that a machine of this profile may be thought to give: one that senses its gate
    and both dispensers all of them, one without a wrapper only binding, pressure and number."""
    if machine.wrapper is None:
        return POOREST
    return RICH if machine.senses("gate_opening_mm") and machine.senses("film2_m") else POOR
