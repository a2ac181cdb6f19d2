"""What published tables say about the temperature of stored hay, each in its own steps.

The steps stand in the Fahrenheit that the sources print; 1 F of difference is not dressed up as
half a degree. Sources disagree by as much as 20 F about when to call the fire service: none is
left out, and the lowest alarm of all rules (see `heating`).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum
from typing import Final

from balewright.quantities.checks import require_between

COLDEST_C: Final = -50.0
HOTTEST_C: Final = 500.0


class HeatAction(IntEnum):
    """What a source wants done, mildest first."""

    NOTHING = 0
    WATCH = 1
    WATCH_CLOSELY = 2
    OPEN_UP = 3
    """Danger zone: take the stack apart for air, or move bales, while that is safe."""
    CALL = 4
    """Call the fire service; nothing is moved before it is there."""
    BURNING = 5
    """Fire likely: people away; only the fire service moves hay."""


@dataclass(frozen=True)
class HeatStep:
    """From this temperature on. from_fahrenheit: as printed; check_h: hours to the next reading,
    None where the source names none.
    """

    from_fahrenheit: int
    action: HeatAction
    check_h: float | None = None

    @property
    def from_c(self) -> float:
        """The same in degrees Celsius."""
        return celsius(float(self.from_fahrenheit))


@dataclass(frozen=True)
class HeatTable:
    """One source's steps, lowest first; below the first it asks for nothing."""

    source: str
    steps: tuple[HeatStep, ...]

    def step_at(self, temperature_c: float) -> HeatStep | None:
        """The highest step reached; None below the first.

        A step printed as 150 F is reached at 150 F exactly; a billionth of a degree is rounding.
        """
        reached = [step for step in self.steps if step.from_c <= temperature_c + 1e-9]
        return reached[-1] if reached else None


_A: Final = HeatAction
#: Every table, in the order the documentation shows them.
HEAT_TABLES: Final = (
    HeatTable(
        "purdue-hay-temperatures",
        (
            HeatStep(126, _A.WATCH),  # "125 F or lower: no action needed"
            HeatStep(150, _A.OPEN_UP, 12.0),
            HeatStep(160, _A.OPEN_UP, 2.0),
            HeatStep(175, _A.CALL),
            HeatStep(190, _A.BURNING),
        ),
    ),
    HeatTable(
        "penn-state-hay-temperatures",
        (
            HeatStep(126, _A.WATCH),
            HeatStep(150, _A.OPEN_UP, 12.0),
            HeatStep(160, _A.OPEN_UP, 2.0),
            HeatStep(175, _A.CALL),
            HeatStep(190, _A.BURNING),
        ),
    ),
    HeatTable(
        "kentucky-hay-temperatures",
        (
            HeatStep(130, _A.WATCH),
            HeatStep(140, _A.WATCH_CLOSELY),
            HeatStep(150, _A.OPEN_UP),
            HeatStep(180, _A.CALL),
            HeatStep(200, _A.BURNING),
        ),
    ),
    HeatTable(
        "mississippi-hay-temperatures",
        (
            HeatStep(150, _A.OPEN_UP, 24.0),
            HeatStep(160, _A.OPEN_UP, 4.0),
            HeatStep(175, _A.CALL),
            HeatStep(185, _A.BURNING),
        ),
    ),
    HeatTable(
        "cornell-hay-temperatures",
        (
            HeatStep(120, _A.WATCH, 24.0),
            HeatStep(140, _A.WATCH_CLOSELY, 12.0),
            HeatStep(150, _A.OPEN_UP, 2.0),
            HeatStep(160, _A.CALL),
        ),
    ),
    HeatTable(
        "california-hay-temperatures",
        (
            HeatStep(130, _A.WATCH),
            HeatStep(150, _A.OPEN_UP),
            HeatStep(160, _A.CALL),
        ),
    ),
    HeatTable(
        "oklahoma-hay-temperatures",
        (
            HeatStep(-58, _A.NOTHING, 24.0),  # stored hay is looked at daily, whatever it shows
            HeatStep(140, _A.WATCH, 24.0),
            HeatStep(180, _A.CALL, 24.0),
        ),
    ),
)


def celsius(fahrenheit_f: float) -> float:
    """Degrees Celsius of degrees Fahrenheit (-459.67..1000)."""
    require_between("fahrenheit_f", fahrenheit_f, -459.67, 1000.0)
    return (fahrenheit_f - 32.0) / 1.8


def fahrenheit(temperature_c: float) -> float:
    """Degrees Fahrenheit of degrees Celsius (-273.15..540)."""
    require_between("temperature_c", temperature_c, -273.15, 540.0)
    return temperature_c * 1.8 + 32.0
