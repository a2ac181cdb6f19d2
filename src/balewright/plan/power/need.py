"""The power a baler-wrapper takes at the PTO: baling, chopping, oil for its wrapper, pulling.

Every part is an interval, because no source knows it to a point; how wide each is, and why,
stands in docs/models/power.md. Parts are added end by end: the low ends give the low end.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, fields
from enum import Enum
from typing import Final

from balewright.quantities.checks import require_between, require_count
from balewright.quantities.interval import Interval
from balewright.quantities.si import KM_H_PER_M_S

_GRAVITY_N_KG: Final = 9.80665
_W_PER_KW: Final = 1000.0
_L_MIN_BAR_PER_KW: Final = 600.0
"""Litres a minute times bar for a kilowatt: exact."""
BALING_SPREAD: Final = 0.5
"""Half width of the standard's coefficient for the crop. Source key: `d497-values-memory`."""
CHOP_KWH_T: Final = Interval(0.12, 0.6, 1.5)
"""Chopping a tonne with a full bank of 25 knives. The low end is 11 % of baling it (source key
`wisconsin-2018`, large square balers in dry crops); best and high end are `assumed` for wet grass
in a rotor."""
FULL_BANK: Final = 25
PUMP_FRAC: Final = Interval(0.75, 0.85, 0.92)
"""Share of the power into a pump that its oil carries: `assumed`."""
TRACTION_FRAC: Final = Interval(0.55, 0.68, 0.78)
"""Share of PTO power that pulls, were it led to the wheels instead: `assumed` for firm grass."""


class Chamber(Enum):
    """Idle power (kW) and power for each tonne an hour (kW h/t) of large round balers.

    Coefficients of ASAE D497, from memory (source key `d497-values-memory`); a public table
    restates them (source key `baler-energy-table`).
    """

    VARIABLE = (4.0, 1.1)
    FIXED = (2.5, 1.8)


class Ground(Enum):
    """Rolling resistance as a share of the weight on towed wheels.

    1/Bn + 0.04 with the wheel numeric Bn = 80, 55, 30 and 20, as in D497, from memory (source key
    `d497-values-memory`).
    """

    HARD = 1.0 / 80.0 + 0.04
    FIRM = 1.0 / 55.0 + 0.04
    SOFT = 1.0 / 30.0 + 0.04
    WET = 1.0 / 20.0 + 0.04


@dataclass(frozen=True)
class Need:
    """kW at the PTO: baling, chopping, oil, pulling on level ground, and the slope on top."""

    baling: Interval
    chopping: Interval
    oil: Interval
    pulling: Interval
    slope: Interval

    def items(self) -> tuple[tuple[str, Interval], ...]:
        """(name, kW) in the order of the fields."""
        return tuple((field.name, getattr(self, field.name)) for field in fields(self))

    @property
    def total(self) -> Interval:
        """All at once, end by end."""
        parts = [part for _, part in self.items()]
        return Interval(
            sum(part.low for part in parts),
            sum(part.best for part in parts),
            sum(part.high for part in parts),
        )


def baling_kw(chamber: Chamber, feed_t_h: float) -> Interval:
    """PTO power to pick up and roll `feed_t_h` (0..100 t/h, fresh): a + c F, c +-50 %.

    Valid for the mean over a bale; the last layers of a dense bale take more. Source key:
    `d497-values-memory`.
    """
    require_between("feed_t_h", feed_t_h, 0.0, 100.0)
    idle_kw, each = chamber.value
    crop_kw = each * feed_t_h
    return Interval(
        idle_kw + (1.0 - BALING_SPREAD) * crop_kw,
        idle_kw + crop_kw,
        idle_kw + (1.0 + BALING_SPREAD) * crop_kw,
    )


def chopping_kw(knives_in: int, feed_t_h: float) -> Interval:
    """PTO power of `knives_in` (0..60) at `feed_t_h` (0..100 t/h).

    In proportion to knives and crop: `assumed`. Sharp knives; blunt ones take more. Source key:
    `wisconsin-2018` for the low end.
    """
    require_count("knives_in", knives_in, 0, 60)
    require_between("feed_t_h", feed_t_h, 0.0, 100.0)
    tonnes = feed_t_h * knives_in / FULL_BANK
    return Interval(CHOP_KWH_T.low * tonnes, CHOP_KWH_T.best * tonnes, CHOP_KWH_T.high * tonnes)


def oil_power_kw(flow_l_min: float, pressure_bar: float) -> float:
    """Power that oil carries: flow (0..300 l/min) times pressure (0..400 bar) over 600.

    Source keys: `hydraulic-hp`, `pump-power`.
    """
    require_between("flow_l_min", flow_l_min, 0.0, 300.0)
    require_between("pressure_bar", pressure_bar, 0.0, 400.0)
    return flow_l_min * pressure_bar / _L_MIN_BAR_PER_KW


def oil_kw(flow_l_min: float, pressure_bar: float) -> Interval:
    """PTO power for that oil, with what the pump loses."""
    carried_kw = oil_power_kw(flow_l_min, pressure_bar)
    return Interval(
        carried_kw / PUMP_FRAC.high, carried_kw / PUMP_FRAC.best, carried_kw / PUMP_FRAC.low
    )


def slope_force_n(mass_kg: float, slope_frac: float) -> float:
    """Force along a slope that the weight of `mass_kg` (0..60 000) pulls back with.

    slope_frac: rise over run, -0.6..0.6; negative downhill. Source keys: `army-grade`,
    `effective-grade`.
    """
    require_between("mass_kg", mass_kg, 0.0, 60_000.0)
    require_between("slope_frac", slope_frac, -0.6, 0.6)
    return mass_kg * _GRAVITY_N_KG * slope_frac / math.hypot(1.0, slope_frac)


def rolling_force_n(mass_kg: float, ground: Ground, slope_frac: float = 0.0) -> float:
    """Force that rolls `mass_kg` (0..60 000) on towed wheels over `ground`."""
    require_between("mass_kg", mass_kg, 0.0, 60_000.0)
    require_between("slope_frac", slope_frac, -0.6, 0.6)
    return mass_kg * _GRAVITY_N_KG * float(ground.value) / math.hypot(1.0, slope_frac)


def pull_power_kw(force_n: float, speed_m_s: float) -> float:
    """Power at the drawbar: force (-500 000..500 000 N) times speed (0..20 m/s). `drawbar-hp`."""
    require_between("force_n", force_n, -500_000.0, 500_000.0)
    require_between("speed_m_s", speed_m_s, 0.0, 60.0 / KM_H_PER_M_S)
    return force_n * speed_m_s / _W_PER_KW


def pulling_kw(force_n: float, speed_m_s: float) -> Interval:
    """PTO power that pulling takes, with what slip and the tractor's own wheels lose.

    Downhill it is 0: what the slope gives back is not reckoned with.
    """
    drawbar_kw = max(0.0, pull_power_kw(force_n, speed_m_s))
    return Interval(
        drawbar_kw / TRACTION_FRAC.high,
        drawbar_kw / TRACTION_FRAC.best,
        drawbar_kw / TRACTION_FRAC.low,
    )
