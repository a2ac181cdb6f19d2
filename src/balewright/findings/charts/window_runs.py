"""How often the test of all windows errs: after Siegmund and Venkatraman.

For a series in order a window of w bales that ends now passes the limit g (of the statistic
`windows_kernel` gives; b = sqrt(2 g) in standard deviations) for the first time about

    (1/4) (b^4 / w^2) nu(b / sqrt(w))^2 phi(b) / b

times a bale, and over all windows a side errs

    rate = (b phi(b) / 2) * integral of x nu(x)^2 dx from b / sqrt(longest window) to b

times a bale (Siegmund and Venkatraman, Annals of Statistics 23:255-271, 1995). nu is the
overshoot function of the normal walk. What simulation says stands in docs/models/charts.md.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import cumulative_simpson
from scipy.interpolate import CubicSpline
from scipy.special import log_ndtr
from scipy.stats import norm

from balewright.findings.charts.run_length import limit_for

Floats = NDArray[np.float64]
_FAR: Final = 40.0


def nu(x: float) -> float:
    """Share of its exponent that a normal walk of drift x/2 keeps when it overshoots; 1 at 0.

    nu(x) = 2 x^-2 exp(-2 sum of Phi(-x sqrt(n) / 2) / n over n >= 1), x >= 0 (Siegmund, Sequential
    Analysis, 1985). Below 0.02, where the sum is long, exp(-0.583 x).
    """
    if x < 0.02:
        return math.exp(-0.5826 * x)
    longest = math.ceil((2.0 * 9.0 / x) ** 2)
    n = np.arange(1.0, longest + 1.0)
    total = float(np.sum(np.exp(log_ndtr(-0.5 * x * np.sqrt(n))) / n))
    return 2.0 / (x * x) * math.exp(-2.0 * total)


@lru_cache(maxsize=1)
def _overshoot_curve() -> CubicSpline:
    """The integral of x nu(x)^2 from 0 to x."""
    x = np.concatenate([np.linspace(0.0, 4.0, 161), np.geomspace(4.0, _FAR, 161)[1:]])
    inner = np.array([one * nu(float(one)) ** 2 for one in x])
    return CubicSpline(x, np.concatenate([[0.0], cumulative_simpson(inner, x=x)]))


def _rate(limit: float, sides: int) -> float:
    """False alarms a bale, long windows and all."""
    b = math.sqrt(2.0 * limit)
    integral = float(_overshoot_curve()(min(b, _FAR)))
    return sides * 0.5 * b * float(norm.pdf(b)) * integral


def windows_run_bales(limit: float, sides: int = 2) -> float:
    """Average run length of the test of all windows in order, in bales.

    limit: of the statistic, 3 or more (below, the approximation has no meaning); sides: 1 or 2.
    """
    if limit < 3.0 or sides not in {1, 2}:
        raise ValueError(f"no such test: limit {limit}, sides {sides}")
    rate = _rate(limit, sides)
    return 1.0 / rate if rate > 0.0 else math.inf


@lru_cache(maxsize=1024)
def windows_limit(run_bales: float, sides: int = 2) -> float:
    """The limit that gives the test of all windows this run length."""
    return limit_for(lambda limit: windows_run_bales(limit, sides), run_bales, 3.0, 300.0)


def windows_chance(statistic: float, bales: float, sides: int = 2) -> float:
    """How often the test in order is above `statistic` somewhere in so many bales."""
    if statistic < 3.0:
        return 1.0
    return -math.expm1(-bales * _rate(statistic, sides))
