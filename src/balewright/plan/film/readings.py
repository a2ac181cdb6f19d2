"""Repeated readings of one length: their mean, their spread, and an interval for the mean."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from balewright.plan.film.error_budget import Part, quantile
from balewright.quantities.checks import require_between, require_count
from balewright.quantities.interval import Interval


@dataclass(frozen=True)
class Readings:
    """What repeated readings say. count: how many; mean, spread: in the unit of the readings;
    spread of a single reading, None where there is only one.
    """

    count: int
    mean: float
    spread: float | None

    @property
    def mean_spread(self) -> float | None:
        """Standard uncertainty of the mean; None for a single reading."""
        return None if self.spread is None else self.spread / math.sqrt(self.count)

    def interval(self, confidence: float = 0.95) -> Interval | None:
        """Student's interval for the mean; None for a single reading. Source key: `practice`."""
        if self.mean_spread is None:
            return None
        reach = quantile(confidence, self.count - 1) * self.mean_spread
        return Interval(self.mean - reach, self.mean, self.mean + reach, confidence)

    def part(self, name: str, spread: float) -> Part:
        """The mean as a part of an error budget. spread: standard uncertainty of a single
        reading, used only where there is just one.
        """
        if self.mean_spread is None:
            return Part(name, self.mean, spread)
        return Part(name, self.mean, self.mean_spread, self.count - 1)


def read_again(name: str, values: Sequence[float], low: float, high: float) -> Readings:
    """Readings of one quantity, each from `low` to `high`; 1 to 10,000 of them.

    Raises BadInput outside. Valid where readings scatter evenly about the truth.
    """
    require_count(f"{name} readings", len(values), 1, 10_000)
    for value in values:
        require_between(name, value, low, high)
    count = len(values)
    mean = math.fsum(values) / count
    if count == 1:
        return Readings(1, mean, None)
    squared = math.fsum((value - mean) ** 2 for value in values)
    return Readings(count, mean, math.sqrt(squared / (count - 1)))
