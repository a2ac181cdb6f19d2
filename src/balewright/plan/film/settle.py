"""Whether readings show a value inside or outside limits, and how many more would settle it.

A value is shown inside when the whole interval for the mean lies inside, outside when the whole
of it lies outside on one side. Anything else is not shown yet, and more readings may show it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import chdtri, gammaln, ndtr

from balewright.plan.film.error_budget import quantile
from balewright.plan.film.readings import Readings
from balewright.quantities.checks import require_between
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.interval import Interval

#: Past so many readings the answer is: not by reading again.
MOST_READINGS: Final = 200
#: What is left out at either end of the spread that may be seen.
_TAIL: Final = 1e-12
Floats = NDArray[np.float64]
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(96)


class Shown(StrEnum):
    """What readings show of a value with limits."""

    INSIDE = "inside"
    BELOW = "below"
    ABOVE = "above"
    NOT_YET = "not shown yet"


@dataclass(frozen=True)
class Limits:
    """From low to high, in the unit of what is judged; low below high."""

    low: float
    high: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.low) and math.isfinite(self.high) and self.low < self.high):
            raise BadInput(
                Fault(
                    place="limits",
                    need="a low limit below a high one",
                    given=f"{self.low!r} to {self.high!r}",
                    cure="Give low first: 0.67 to 0.73 for 70 % give or take 3 points.",
                )
            )


def judge(found: Interval | None, limits: Limits) -> Shown:
    """Where the whole interval lies; not shown yet where it crosses a limit or there is none."""
    if found is None:
        return Shown.NOT_YET
    if limits.low <= found.low and found.high <= limits.high:
        return Shown.INSIDE
    if found.high < limits.low:
        return Shown.BELOW
    return Shown.ABOVE if found.low > limits.high else Shown.NOT_YET


@dataclass(frozen=True)
class Chance:
    """The chances that so many readings will show a value inside, or outside, its limits."""

    inside_share: float
    outside_share: float


def chance_shown(
    readings: Readings, limits: Limits, count: int, confidence: float = 0.95
) -> Chance:
    """The chance that `count` fresh readings show it, if truth and scatter are as seen so far.

    readings: two or more, whose mean and spread are taken as the truth; count: 2 or more. The
    inside chance is the power of two one-sided t tests, each at (1 - confidence) / 2.
    Source keys: `powertost`, `scipy-stats`.
    """
    if readings.spread is None:
        raise BadInput(
            Fault("readings", "two readings at least", "1", "One reading shows no scatter.")
        )
    if readings.spread == 0.0:
        inside = limits.low <= readings.mean <= limits.high
        return Chance(float(inside), float(not inside))
    error = readings.spread / math.sqrt(count)
    gaps = ((limits.low - readings.mean) / error, (limits.high - readings.mean) / error)
    return Chance(*chances(gaps, count - 1, confidence))


def chances(gaps: tuple[float, float], degrees: int, confidence: float) -> tuple[float, float]:
    """Chances of an interval inside and outside of limits.

    gaps: (low limit - truth, high limit - truth) in standard errors of the mean; degrees: of
    freedom of the spread, 1 or more; confidence: of the interval, 0.5 to 0.999. Exact: averaged
    over the spread that may be seen, whose square goes with chi-squared.
    """
    low, high = gaps
    reach = quantile(confidence, degrees)
    least, most = (math.sqrt(chdtri(degrees, tail) / degrees) for tail in (1.0 - _TAIL, _TAIL))
    # beyond this ratio of seen to true spread the interval is wider than the limits
    fits = min(most, (high - low) / (2.0 * reach))
    inside = outside = 0.0
    if fits > least:
        ratio, weight = _spreads(least, fits, degrees)
        inside = float(weight @ (ndtr(high - reach * ratio) - ndtr(low + reach * ratio)))
    ratio, weight = _spreads(least, most, degrees)
    outside = float(weight @ (ndtr(low - reach * ratio) + ndtr(-high - reach * ratio)))
    return inside, outside


def _spreads(least: float, most: float, degrees: int) -> tuple[Floats, Floats]:
    """Ratios of seen to true spread from `least` to `most`, and the chance each stands for."""
    ratio = least + (most - least) * (1.0 + _NODES) / 2.0
    half = degrees / 2.0
    density = np.exp(
        math.log(2.0) + half * math.log(half) - gammaln(half)
        + (degrees - 1.0) * np.log(ratio) - half * ratio**2
    )  # fmt: skip
    return ratio, density * _WEIGHTS * (most - least) / 2.0


def readings_to_settle(
    readings: Readings, limits: Limits, assurance_share: float = 0.8, confidence: float = 0.95
) -> int | None:
    """How many readings in all would show it, one way or the other, with that assurance.

    readings: two or more; assurance_share: 0.5 to 0.99. Takes mean and scatter seen so far for the
    truth, so it is a plan and no promise. None where 200 would not do. Judging after every reading
    until one side is shown is wrong more often than it says: take them all, then judge.
    """
    require_between("assurance_share", assurance_share, 0.5, 0.99)
    for count in range(max(2, readings.count), MOST_READINGS + 1):
        chance = chance_shown(readings, limits, count, confidence)
        if chance.inside_share + chance.outside_share >= assurance_share:
            return count
    return None
