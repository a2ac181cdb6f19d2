"""Whether a tractor does: its power, its oil flow and pressure, its return line."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from balewright.plan.cautions import (
    DRIVE_SHAFT,
    KNIVES,
    MANUAL_FIRST,
    OIL_PRESSURE,
    STEEP_GROUND,
)
from balewright.plan.power.need import (
    Chamber,
    Ground,
    Need,
    baling_kw,
    chopping_kw,
    oil_kw,
    pulling_kw,
    rolling_force_n,
    slope_force_n,
)
from balewright.quantities.checks import require_between, require_count
from balewright.quantities.interval import Interval
from balewright.quantities.reason import Reason, because

STEEP_FRAC = 0.10
"""From this slope on the caution for steep ground is said: `common practice, no source`."""


class Verdict(StrEnum):
    """What can be said of one thing a tractor must give."""

    ENOUGH = "enough"
    NOT_CERTAIN = "not certain"
    NOT_ENOUGH = "not enough"
    UNKNOWN = "unknown"


@dataclass(frozen=True)
class Load:
    """What the machine does.

    chamber; feed_t_h: fresh crop, 0..100; knives_in: 0..60; speed_m_s: 0..20; machine_kg: with
    the bales in it, 0..60 000; oil_l_min, oil_bar: what its wrapper takes, 0 where it drives
    its own pump; slope_frac: the steepest, rise over run, 0..0.6; ground: under its wheels.
    """

    chamber: Chamber
    feed_t_h: float
    knives_in: int
    speed_m_s: float
    machine_kg: float
    oil_l_min: float = 0.0
    oil_bar: float = 0.0
    slope_frac: float = 0.0
    ground: Ground = Ground.FIRM

    def __post_init__(self) -> None:
        require_between("feed_t_h", self.feed_t_h, 0.0, 100.0)
        require_count("knives_in", self.knives_in, 0, 60)
        require_between("speed_m_s", self.speed_m_s, 0.0, 20.0 / 3.6)
        require_between("machine_kg", self.machine_kg, 0.0, 60_000.0)
        require_between("oil_l_min", self.oil_l_min, 0.0, 300.0)
        require_between("oil_bar", self.oil_bar, 0.0, 400.0)
        require_between("slope_frac", self.slope_frac, 0.0, 0.6)


@dataclass(frozen=True)
class Tractor:
    """What the tractor gives; what nobody knows is None.

    pto_kw: rated, 5..1000; mass_kg: 500..40 000; oil_l_min: at the outlets, oil_bar: there;
    free_return: whether it has a return line without pressure.
    """

    pto_kw: float
    mass_kg: float
    oil_l_min: float | None = None
    oil_bar: float | None = None
    free_return: bool | None = None

    def __post_init__(self) -> None:
        require_between("pto_kw", self.pto_kw, 5.0, 1000.0)
        require_between("mass_kg", self.mass_kg, 500.0, 40_000.0)
        if self.oil_l_min is not None:
            require_between("oil_l_min", self.oil_l_min, 0.0, 500.0)
        if self.oil_bar is not None:
            require_between("oil_bar", self.oil_bar, 0.0, 400.0)


@dataclass(frozen=True)
class PowerAnswer:
    """need: by part; tractor_kw: rated; reserve: kW left over, negative where it lacks;
    power, flow, pressure, free_return: a verdict each; cautions: keys of words, first of all.
    """

    need: Need
    tractor_kw: float
    reserve: Interval
    power: Verdict
    flow: Verdict
    pressure: Verdict
    free_return: Verdict
    words: tuple[Reason, ...]
    cautions: tuple[Reason, ...]


def need_of(load: Load, tractor_kg: float) -> Need:
    """The power `load` takes behind a tractor of `tractor_kg`, which the slope pulls back too."""
    level_n = rolling_force_n(load.machine_kg, load.ground, load.slope_frac)
    slope_n = slope_force_n(min(load.machine_kg + tractor_kg, 60_000.0), load.slope_frac)
    return Need(
        baling=baling_kw(load.chamber, load.feed_t_h),
        chopping=chopping_kw(load.knives_in, load.feed_t_h),
        oil=oil_kw(load.oil_l_min, load.oil_bar),
        pulling=pulling_kw(level_n, load.speed_m_s),
        slope=pulling_kw(slope_n, load.speed_m_s),
    )


def power_of(load: Load, tractor: Tractor) -> PowerAnswer:
    """Whether `tractor` does for `load`, and how surely.

    Enough: the rated PTO power covers the high end of the need; not enough: it does not cover
    the low end; between them it is not certain, and a look at the rev counter under load tells.
    Valid for a steady load; peaks of a filling bale go above it for seconds. Source key:
    `d497-values-memory`.
    """
    need = need_of(load, tractor.mass_kg)
    total = need.total
    reserve = Interval(
        tractor.pto_kw - total.high, tractor.pto_kw - total.best, tractor.pto_kw - total.low
    )
    power = _verdict(reserve)
    flow = _covers(tractor.oil_l_min, load.oil_l_min)
    pressure = _covers(tractor.oil_bar, load.oil_bar)
    back = _returns(tractor.free_return, load.oil_l_min)
    words = [because(f"power.{_key(power)}", need_low_kw=total.low, need_high_kw=total.high,
                     tractor_kw=tractor.pto_kw)]  # fmt: skip
    if load.oil_l_min > 0.0:
        words += [
            because(f"power.flow.{_key(flow)}", need_l_min=load.oil_l_min),
            because(f"power.pressure.{_key(pressure)}", need_bar=load.oil_bar),
            because(f"power.return.{_key(back)}"),
        ]
    return PowerAnswer(
        need=need,
        tractor_kw=tractor.pto_kw,
        reserve=reserve,
        power=power,
        flow=flow,
        pressure=pressure,
        free_return=back,
        words=tuple(words),
        cautions=_cautions(load),
    )


def _key(verdict: Verdict) -> str:
    return verdict.name.lower()


def _verdict(reserve: Interval) -> Verdict:
    if reserve.low >= 0.0:
        return Verdict.ENOUGH
    return Verdict.NOT_ENOUGH if reserve.high < 0.0 else Verdict.NOT_CERTAIN


def _covers(given: float | None, needed: float) -> Verdict:
    if needed == 0.0:
        return Verdict.ENOUGH
    if given is None:
        return Verdict.UNKNOWN
    return Verdict.ENOUGH if given >= needed else Verdict.NOT_ENOUGH


def _returns(free_return: bool | None, oil_l_min: float) -> Verdict:
    if oil_l_min == 0.0 or free_return:
        return Verdict.ENOUGH
    return Verdict.UNKNOWN if free_return is None else Verdict.NOT_ENOUGH


def _cautions(load: Load) -> tuple[Reason, ...]:
    found = [Reason(MANUAL_FIRST), Reason(DRIVE_SHAFT)]
    if load.oil_l_min > 0.0:
        found.append(Reason(OIL_PRESSURE))
    if load.knives_in > 0:
        found.append(Reason(KNIVES))
    if load.slope_frac >= STEEP_FRAC:
        found.append(because(STEEP_GROUND, slope_frac=load.slope_frac))
    return tuple(found)
