"""A quantity that differs from bale to bale: how it is spread.

`Interval` says what is not known; this says what varies. Three shapes: a normal one with its
standard deviation, an even one between two ends, and what a small sample says about the next
bale (Student's t).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray
from scipy import special

from balewright.quantities.checks import require_between, require_count
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.interval import Interval

Floats = NDArray[np.float64]


class SpreadShape(StrEnum):
    """How values lie around the best one."""

    NORMAL = "normal"
    EVEN = "even"
    STUDENT = "student"


@dataclass(frozen=True)
class Spread:
    """Values around `best`, in the unit that the holder's name gives; make it with a function.

    spread: standard deviation (normal), half the width (even) or scale (student), 0 for a value
    that never varies; freedom: degrees of freedom, student only; low, high: what can be: values
    beyond are left out, the others stand for them in proportion.
    """

    shape: SpreadShape
    best: float
    spread: float
    freedom: int = 0
    low: float = -math.inf
    high: float = math.inf

    def __post_init__(self) -> None:
        require_between("best", self.best, -1e6, 1e6)
        require_between("spread", self.spread, 0.0, 1e6)
        if self.shape is SpreadShape.STUDENT:
            require_count("freedom", self.freedom, 3, 10_000_000)
        if not self.low <= self.best <= self.high:
            raise BadInput(
                Fault(
                    place="best",
                    need=f"a value between what can be, {self.low:g} and {self.high:g}",
                    given=f"{self.best!r}",
                    cure="Check the unit: the name ends in it.",
                )
            )

    @property
    def deviation(self) -> float:
        """Standard deviation, before anything is left out."""
        if self.shape is SpreadShape.EVEN:
            return self.spread / math.sqrt(3.0)
        if self.shape is SpreadShape.STUDENT:
            return self.spread * math.sqrt(self.freedom / (self.freedom - 2.0))
        return self.spread

    def within(self, low: float, high: float) -> Spread:
        """The same with values beyond these ends left out too."""
        return replace(self, low=max(self.low, low), high=min(self.high, high))

    def around(self, best: float) -> Spread:
        """As much spread around another value."""
        return replace(self, best=best)

    def at(self, normal: Floats) -> Floats:
        """Values for standard normal numbers: rising with them, and spread like this quantity."""
        if self.spread == 0.0:
            return np.full(np.shape(normal), self.best)
        if self.shape is SpreadShape.NORMAL and math.isinf(self.low) and math.isinf(self.high):
            return self.best + self.spread * normal
        below, above = self._ends()
        chance = below + (above - below) * special.ndtr(normal)
        value = self.best + self.spread * self._standard(chance)
        return np.asarray(np.clip(value, *self._reach()))

    def chance_below(self, value: Floats) -> Floats:
        """The chance of a value at or below each of these; a step where nothing varies."""
        if self.spread == 0.0:
            return np.where(np.asarray(value) >= self.best, 1.0, 0.0)
        below, above = self._ends()
        reached = self._chance((np.asarray(value) - self.best) / self.spread)
        return np.asarray(np.clip((reached - below) / (above - below), 0.0, 1.0))

    def _reach(self) -> tuple[float, float]:
        if self.shape is SpreadShape.EVEN:
            return max(self.low, self.best - self.spread), min(self.high, self.best + self.spread)
        return self.low, self.high

    def _ends(self) -> tuple[float, float]:
        ends = np.array([self.low - self.best, self.high - self.best]) / self.spread
        below, above = self._chance(ends)
        return float(below), float(above)

    def _chance(self, standard: Floats) -> Floats:
        if self.shape is SpreadShape.EVEN:
            return np.clip(0.5 * (standard + 1.0), 0.0, 1.0)
        if self.shape is SpreadShape.STUDENT:
            return np.asarray(special.stdtr(self.freedom, standard))
        return np.asarray(special.ndtr(standard))

    def _standard(self, chance: Floats) -> Floats:
        if self.shape is SpreadShape.EVEN:
            return 2.0 * chance - 1.0
        if self.shape is SpreadShape.STUDENT:
            return np.asarray(special.stdtrit(self.freedom, chance))
        return np.asarray(special.ndtri(chance))


def exact(best: float) -> Spread:
    """A value that never varies."""
    return Spread(SpreadShape.NORMAL, best, 0.0)


def normal(best: float, spread: float) -> Spread:
    """Normal around `best`; spread: standard deviation, in the same unit, 0 or more."""
    return Spread(SpreadShape.NORMAL, best, spread)


def even(ends: Interval) -> Spread:
    """Every value between the ends as likely as any other; the middle of them is the best."""
    middle = 0.5 * (ends.low + ends.high)
    return Spread(SpreadShape.EVEN, middle, 0.5 * (ends.high - ends.low))
