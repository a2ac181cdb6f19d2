"""A quantity that is not known to a point: best value with a low and a high end."""

from __future__ import annotations

import math
from dataclasses import dataclass

from balewright.quantities.errors import BadInput, Fault


@dataclass(frozen=True)
class Interval:
    """low <= best <= high, all in the unit that the holder's name gives.

    `confidence` is the stated chance that the truth lies inside (0..1), None where the ends are
    a spread of sources and no chance can be given. A quantity nobody knows is None, not an
    Interval, and never zero.
    """

    low: float
    best: float
    high: float
    confidence: float | None = None

    def __post_init__(self) -> None:
        ends = (self.low, self.best, self.high)
        if not all(map(math.isfinite, ends)) or not self.low <= self.best <= self.high:
            raise BadInput(
                Fault(
                    place="Interval",
                    need="finite low <= best <= high",
                    given=repr(ends),
                    cure="Order the ends; use None for a quantity that is unknown.",
                )
            )

    def holds(self, value: float) -> bool:
        """Whether `value` lies inside, ends included."""
        return self.low <= value <= self.high
