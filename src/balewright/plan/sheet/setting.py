"""From what a rule wants to a line of the sheet: inside the range, on the dial, with its reason."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from balewright.plan.crop import feed_rate_t_h
from balewright.plan.film.strip import Bale, Film
from balewright.plan.machine import Binding, Machine, Span
from balewright.plan.sheet.sheet import Conditions, HowSure, SheetLine
from balewright.quantities.interval import Interval
from balewright.quantities.reason import Reason

_STEPS: Final = {
    "binding_turns": 0.05,
    "binding_tension_frac": 0.05,
    "binding_delay_s": 0.1,
    "gate_opening_mm": 1.0,
    "diameter_m": 0.01,
    "chamber_bar": 1.0,
    "wrap_rpm": 1.0,
    "open_s": 0.5,
    "roll_before_s": 0.1,
    "roll_after_s": 0.5,
    "tip_speed_frac": 0.05,
    "tip_delay_s": 0.5,
    "oil_ml_bale": 0.5,
}
"""How finely a setting without a dial is given, in its unit (common practice, no source)."""


@dataclass(frozen=True)
class Why:
    """What stands behind a value: the reason, its source's key, how sure."""

    reason: Reason
    source: str
    how_sure: HowSure = HowSure.LIKELY


@dataclass(frozen=True)
class Wanted:
    """What a rule wants of a setting, and where it may be, both in its unit."""

    key: str
    value: float
    span: Span


@dataclass(frozen=True)
class Job:
    """A machine and its conditions with what the first rules found out about the bale.

    binding: the one that is used; density_share: 0 loosest to 1 densest the machine can; bale:
    the best guess of its size; diameter_m, mass_kg: how far that can be off; film: as this
    machine stretches it, None without film or for a crop that is not wrapped; speed_m_s: as the
    sheet has it driven.
    """

    machine: Machine
    conditions: Conditions
    binding: Binding
    density_share: float
    bale: Bale
    diameter_m: Interval
    mass_kg: Interval
    film: Film | None
    speed_m_s: float

    @property
    def feed_t_h(self) -> float:
        """Fresh crop into the machine."""
        return feed_rate_t_h(self.conditions.windrow_kg_m, self.speed_m_s)


@dataclass(frozen=True)
class Sought:
    """Turns that are sought: need_layers, on wanted_frac of the bales, slivers of sliver_m aside;
    least_turns: fewer are not looked at.
    """

    need_layers: int
    least_turns: int
    wanted_frac: float
    sliver_m: float


def settle(machine: Machine, wanted: Wanted, why: Why) -> SheetLine:
    """The line for a number: kept in its range, then on the machine's dial or a round step."""
    value = wanted.span.clamp(wanted.value)
    dial = machine.dial(wanted.key)
    position = None
    if dial is not None:
        position = dial.position_for(value)
        value = dial.value_at(position)
    elif wanted.key in _STEPS:
        step = _STEPS[wanted.key]
        value = wanted.span.clamp(round(round(value / step) * step, 6))
    return SheetLine(
        key=wanted.key,
        value=value,
        position=position,
        low=wanted.span.low,
        high=wanted.span.high,
        reason=why.reason,
        source=why.source,
        how_sure=why.how_sure,
    )


def name_word(key: str, word: str | None, why: Why) -> SheetLine:
    """The line for a choice of words, or for a value that is unknown (None)."""
    return SheetLine(key, word, None, None, None, why.reason, why.source, why.how_sure)


def part_way(span: Span, share: float) -> float:
    """The value a share (0..1, kept inside) of the way from low to high."""
    return span.low + min(max(share, 0.0), 1.0) * (span.high - span.low)
