"""How hot stored hay may be: the lowest alarm of all sources rules, and the spread is shown.

Hot hay can burst into flames when air reaches it. The fire service, the rules of the place and
trained people come before anything here; a temperature below an alarm proves nothing about the
spot beside the probe.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from balewright.plan.keeping.heating_sources import (
    COLDEST_C,
    HEAT_TABLES,
    HOTTEST_C,
    HeatAction,
    HeatStep,
)
from balewright.quantities.checks import require_between
from balewright.quantities.interval import Interval

_LOWEST_READING_H: Final = 2.0
"""From the danger zone on, the strictest source's step where the hotter one names none."""
CAUTIONS: Final = (
    "heating.caution.flames",
    "heating.caution.walk",
    "heating.caution.call",
    "heating.caution.smell",
)
SMOKE_CAUTION: Final = "heating.caution.smoke"


@dataclass(frozen=True)
class SourceSays:
    """What one source says at a temperature; step: None below its first."""

    source: str
    step: HeatStep | None

    @property
    def action(self) -> HeatAction:
        """Its action; NOTHING below its first step."""
        return HeatAction.NOTHING if self.step is None else self.step.action


@dataclass(frozen=True)
class HeatAdvice:
    """What to do at one temperature.

    action: the most cautious of all sources; by: the sources that ask for it; says: every source;
    check_h: hours to the next reading by the strictest source, None when it burns.
    """

    temperature_c: float
    action: HeatAction
    by: tuple[str, ...]
    says: tuple[SourceSays, ...]
    check_h: float | None
    cautions: tuple[str, ...]

    @property
    def agree(self) -> bool:
        """Whether every source asks for the same."""
        return all(said.action == self.action for said in self.says)


def advise_heat(temperature_c: float, acid_treated: bool = False) -> HeatAdvice:
    """What the sources ask for at a bale's or stack's temperature, the most cautious first.

    temperature_c: -50..500, at the hottest spot that was found; acid_treated: its smoke may be
    toxic. Raises BadInput outside. Valid for stored hay and straw, not for silage under film.
    Source keys: those of `HEAT_TABLES`.
    """
    require_between("temperature_c", temperature_c, COLDEST_C, HOTTEST_C)
    says = tuple(SourceSays(table.source, table.step_at(temperature_c)) for table in HEAT_TABLES)
    action = max(said.action for said in says)
    smoke = (SMOKE_CAUTION,) if acid_treated else ()
    return HeatAdvice(
        temperature_c=temperature_c,
        action=action,
        by=tuple(said.source for said in says if said.action == action),
        says=says,
        check_h=None if action is HeatAction.BURNING else _check_h(temperature_c, action),
        cautions=(*CAUTIONS, *smoke),
    )


def alarms_c(action: HeatAction) -> Interval:
    """From which temperature sources ask for this or more: lowest, and highest that says it.

    `best` is the lowest: it is the one that rules. No chance is given; ends are sources.
    """
    first = [
        min(step.from_c for step in table.steps if step.action >= action)
        for table in HEAT_TABLES
        if any(step.action >= action for step in table.steps)
    ]
    return Interval(min(first), min(first), max(first))


def next_alarm(temperature_c: float) -> tuple[float, HeatAction] | None:
    """The next higher action and the temperature at which the first source asks for it.

    None when there is none above. temperature_c: -50..500.
    """
    here = advise_heat(temperature_c).action
    if here is HeatAction.BURNING:
        return None
    higher = HeatAction(here + 1)
    return alarms_c(higher).low, higher


def _check_h(temperature_c: float, action: HeatAction) -> float:
    """The strictest interval that any source names at this temperature or below it."""
    named = list(_named_h(temperature_c))
    strictest = min(named)
    return min(strictest, _LOWEST_READING_H) if action >= HeatAction.OPEN_UP else strictest


def _named_h(temperature_c: float) -> Iterator[float]:
    for table in HEAT_TABLES:
        for step in table.steps:
            if step.from_c <= temperature_c + 1e-9 and step.check_h is not None:
                yield step.check_h
