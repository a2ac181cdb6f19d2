"""How far a worked-out value can be off, from how far what goes into it can be off.

The law of propagation: the spread of f(x1, x2, ...) is the root of the summed squares of
(df/dxi) times the spread of xi, with a term for each pair that errs together. Where a spread
rests on few readings its degrees of freedom carry over by Welch and Satterthwaite.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from scipy.special import ndtri, stdtrit

from balewright.quantities.checks import require_between
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.interval import Interval

#: Step of the central difference, as a part of a spread: small enough to be a slope, large enough
#: to stand above rounding.
_STEP: Final = 1e-3


@dataclass(frozen=True)
class Part:
    """One thing that goes in. value, spread: best value and standard uncertainty (0 or more), in
    its own unit; degrees: degrees of freedom behind the spread, None where it is as good as known.
    """

    name: str
    value: float
    spread: float
    degrees: int | None = None

    def __post_init__(self) -> None:
        require_between(self.name, self.value, -1e12, 1e12)
        require_between(f"spread of {self.name}", self.spread, 0.0, 1e12)


@dataclass(frozen=True)
class Budget:
    """A worked-out value with its standard uncertainty.

    shares: for each part its share of the squared spread, in the order given (0 each where nothing
    is uncertain); degrees: effective degrees of freedom, rounded down; None where endless or where
    parts err together, for which there is no such number.
    """

    value: float
    spread: float
    shares: tuple[tuple[str, float], ...]
    degrees: int | None

    def interval(self, confidence: float = 0.95) -> Interval:
        """The interval that holds the truth with that confidence, 0.5 to 0.999."""
        reach = quantile(confidence, self.degrees) * self.spread
        return Interval(self.value - reach, self.value, self.value + reach, confidence)


Model = Callable[[Mapping[str, float]], float]


def combine(
    model: Model, parts: Sequence[Part], together: Mapping[tuple[str, str], float] | None = None
) -> Budget:
    """The value of `model` and how far it can be off.

    parts: what goes in, each name once; together: correlation of pairs that err together, -1 to 1
    (none where None). Valid where the model is nearly straight over a spread. Source key:
    `jcgm-100`.
    """
    names = [part.name for part in parts]
    if len(set(names)) != len(names):
        raise BadInput(Fault("parts", "each name once", repr(names), "Name every part apart."))
    best = {part.name: part.value for part in parts}
    reach = {part.name: _slope(model, best, part) * part.spread for part in parts}
    variance = math.fsum(value**2 for value in reach.values())
    own = variance
    for (one, other), correlation in (together or {}).items():
        require_between(f"correlation of {one} and {other}", correlation, -1.0, 1.0)
        variance += 2.0 * correlation * reach[one] * reach[other]
    shares = tuple((name, reach[name] ** 2 / own if own else 0.0) for name in names)
    below = math.fsum(reach[p.name] ** 4 / p.degrees for p in parts if p.degrees)
    degrees = max(1, math.floor(own**2 / below + 1e-9)) if below and not together else None
    return Budget(model(best), math.sqrt(max(0.0, variance)), shares, degrees)


def quantile(confidence: float, degrees: int | None) -> float:
    """How many spreads to each side hold the truth with that confidence; Student's t, or normal.

    confidence: 0.5 to 0.999; degrees: 1 or more, None for a spread that is known.
    """
    require_between("confidence", confidence, 0.5, 0.999)
    upper = 0.5 + confidence / 2.0
    return float(ndtri(upper) if degrees is None else stdtrit(degrees, upper))


def _slope(model: Model, best: Mapping[str, float], part: Part) -> float:
    step = _STEP * part.spread
    if step == 0.0:
        return 0.0
    high = model({**best, part.name: part.value + step})
    low = model({**best, part.name: part.value - step})
    return (high - low) / (2.0 * step)
