"""The mean cycle under chance in closed form, as a check that never draws.

Without a buffer the stations race anew for every bale, so the mean cycle is E[max(A, B)] with A
the chamber's and B the wrapper's time: one integral over the two distribution functions.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from typing import Final

from scipy import integrate, stats

from balewright.plan.pace.steady import outcomes_of
from balewright.plan.pace.variation import Shape, Variation
from balewright.plan.pace.work import Stands, Work
from balewright.quantities.errors import BadInput, Fault

_TAIL: Final = 1e-13
"""Chance that is cut off at the far end of the integral."""


def mean_cycle_s(work: Work, variation: Variation) -> float:
    """Mean seconds from bale to bale in long work.

    work: without a buffer; variation: at most one part of each station may vary (one of fill,
    bind, gate; one of wrap, tip), since only then is its distribution known in closed form.
    Raises BadInput otherwise. Stops and turns as in `work_pace`. For two stations of exponential
    times it is 1/m1 + 1/m2 - 1/(m1 + m2), which is Hunt's rate 2/3 where both are equal.
    Source key: `hunt-1956`.
    """
    phases = work.phases
    means = {
        "fill": phases.fill_s,
        "bind": phases.bind_s,
        "gate": phases.gate_s,
        "wrap": phases.take_over_s + phases.wrap_s,
        "tip": phases.tip_s,
    }
    chamber = _varying(means, variation, ("fill", "bind", "gate"))
    wrapper = _varying(means, variation, ("wrap", "tip"))
    if phases.buffer_s > 0.0:
        cure = "Let the race be run instead."
        raise BadInput(Fault("buffer_s", "0 in closed form", f"{phases.buffer_s:g}", cure))
    both_s = sum(
        stop.lasts_s / stop.every_bales for stop in work.stops if stop.stands is Stands.MACHINE
    )
    fixed = (phases.chamber_s - chamber[0], phases.wrapper_s - wrapper[0])
    races = (
        one.chance_frac
        * _mean_of_later(
            (one.chamber_s - phases.chamber_s + fixed[0], *chamber),
            (one.wrapper_s - phases.wrapper_s + fixed[1], *wrapper),
            variation.shape,
        )
        for one in outcomes_of(work)
    )
    return math.fsum(races) + both_s


def _varying(
    means: dict[str, float], variation: Variation, names: tuple[str, ...]
) -> tuple[float, float]:
    """Mean and spread of the one part of a station that varies; (0, 0) where none does."""
    found = [
        (means[name], spread)
        for name in names
        if (spread := getattr(variation, f"{name}_frac")) > 0.0 and means[name] > 0.0
    ]
    if len(found) > 1:
        need = "at most one varying part for each station"
        cure = "Let the race be run instead."
        raise BadInput(Fault("variation", need, ", ".join(names), cure))
    return found[0] if found else (0.0, 0.0)


def _mean_of_later(
    chamber: tuple[float, float, float], wrapper: tuple[float, float, float], shape: Shape
) -> float:
    """E[max(a + X, b + Y)]; each given as fixed part, mean and spread of what varies."""
    (first_s, *varying), (second_s, *other) = chamber, wrapper
    below, one = _below(first_s, varying[0], varying[1], shape)
    below_too, two = _below(second_s, other[0], other[1], shape)
    low_s, high_s = max(first_s, second_s), max(one, two)
    if high_s <= low_s:
        return low_s

    def either_runs(at_s: float) -> float:
        return 1.0 - below(at_s) * below_too(at_s)

    marks = sorted({low_s, high_s, *_inside(low_s, high_s, (first_s, second_s), varying, other)})
    pieces = (
        integrate.quad(either_runs, start, end, limit=200, epsabs=1e-10, epsrel=1e-11)[0]
        for start, end in itertools.pairwise(marks)
    )
    return low_s + math.fsum(pieces)


def _inside(
    low_s: float, high_s: float, fixed: tuple[float, float], *varying: list[float]
) -> list[float]:
    """Where the integrand bends: around the mean of what varies."""
    marks = []
    for start_s, (mean_s, spread) in zip(fixed, varying, strict=True):
        marks += [start_s + mean_s * (1.0 + times * spread) for times in (-4, -1, 0, 1, 4)]
    return [mark for mark in marks if low_s < mark < high_s]


def _below(
    fixed_s: float, mean_s: float, spread: float, shape: Shape
) -> tuple[Callable[[float], float], float]:
    """The distribution function, and the time above which next to nothing lies."""
    if spread == 0.0:
        end_s = fixed_s + mean_s
        return (lambda at_s: float(at_s >= end_s)), end_s
    law = _law(mean_s, spread, shape)
    return (lambda at_s: float(law.cdf(at_s - fixed_s))), fixed_s + float(law.isf(_TAIL))


def _law(mean_s: float, spread: float, shape: Shape) -> stats.distributions.rv_frozen:
    if shape is Shape.GAMMA:
        return stats.gamma(spread**-2, scale=mean_s * spread**2)
    log_variance = math.log1p(spread**2)
    return stats.lognorm(math.sqrt(log_variance), scale=mean_s * math.exp(-log_variance / 2))
