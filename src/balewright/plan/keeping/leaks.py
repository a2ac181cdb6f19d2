"""Seams, poor tack and small holes: what the trials lose beyond what film alone lets through.

The trials give few numbers, so the model has few: loss = base + times x (oxygen through film
alone, as dry matter). A third term, a leak that does not care which film is on, is offered and
comes out at nothing; docs/models/keeping.md prints the fit and each trial left out in turn.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import compress, product
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.plan.keeping.oxygen import DRY_MATTER_KG_PER_MOL, dose_mol_m2
from balewright.plan.keeping.shape import contact_per_m
from balewright.plan.keeping.trials import (
    LOSSES_SEEN,
    TRIAL_BALE,
    TRIAL_DRY_MATTER_KG_M3,
    LossSeen,
)
from balewright.quantities.errors import NotAnswerable
from balewright.quantities.interval import Interval

#: Two-sided 90 % point of Student's t for two degrees of freedom (four losses, two numbers).
_T90_TWO: Final = 2.919986
_FEWEST: Final = 2


@dataclass(frozen=True)
class LeakFit:
    """loss = base_frac + film_ratio x (dry matter burnt by oxygen through film alone).

    film_ratio: how many times the film's own oxygen the losses show; residuals: seen minus
    fitted, in the order of the losses; free_leak: the third term, share of dry matter lost in a
    month under one layer whatever the film.
    """

    base_frac: float
    film_ratio: float
    free_leak_frac: float
    residuals: tuple[float, ...]

    def loss_frac(self, seen: LossSeen) -> float:
        """What the fit gives for a treatment."""
        months = seen.stay.months
        return (
            self.base_frac
            + self.film_ratio * film_alone_frac(seen)
            + self.free_leak_frac * months / seen.layers
        )


def film_alone_frac(seen: LossSeen) -> float:
    """Share of dry matter that oxygen through film alone burns in that treatment."""
    oxygen = dose_mol_m2(seen.cover, seen.layers, seen.stay).best * contact_per_m(TRIAL_BALE)
    return oxygen * DRY_MATTER_KG_PER_MOL / TRIAL_DRY_MATTER_KG_M3


def fit_losses(losses: tuple[LossSeen, ...] = LOSSES_SEEN) -> LeakFit:
    """Least squares with no term below nothing.

    losses: two or more. Raises NotAnswerable where they do not tell base and film apart.
    Source keys: `borreani-2008`, `wilkinson-2014`.
    """
    columns = np.array(
        [[1.0, film_alone_frac(seen), seen.stay.months / seen.layers] for seen in losses]
    )
    seen_frac = np.array([seen.loss_frac for seen in losses])
    if len(losses) < _FEWEST or np.ptp(columns[:, 1]) == 0.0:
        raise NotAnswerable("losses under two different covers are needed to fit seams and tack")
    found = _not_below_nothing(columns, seen_frac)
    residuals = seen_frac - columns @ found
    return LeakFit(float(found[0]), float(found[1]), float(found[2]), tuple(map(float, residuals)))


def without(source: str) -> LeakFit:
    """The fit with one source left out. Raises NotAnswerable where too little is left."""
    return fit_losses(tuple(seen for seen in LOSSES_SEEN if seen.source != source))


def other_readings() -> tuple[LeakFit, ...]:
    """The fit under each other reading of what the sources leave open.

    Stays of 12 or 14 months; the survey's plain and barrier film under four or six layers.
    """
    found = []
    for months, plain, barrier in product((12.0, 14.0), (4, 6), (4, 6)):
        read = []
        for seen in LOSSES_SEEN:
            layers = seen.layers
            if seen.source == "wilkinson-2014":
                layers = plain if seen.barrier_ratio == 1.0 else barrier
            read.append(replace(seen, layers=layers, stay=replace(seen.stay, months=months)))
        found.append(fit_losses(tuple(read)))
    return tuple(found)


@lru_cache(maxsize=1)
def fitted_ends() -> tuple[Interval, Interval]:
    """(base, film ratio): 90 % ends of the fit, widened to each source alone and each reading.

    No chance is stated: which treatment a published number belongs to is partly our reading.
    """
    best = fit_losses()
    film = np.array([film_alone_frac(seen) for seen in LOSSES_SEEN])
    spread = float(np.sqrt(np.sum(np.square(best.residuals)) / (len(film) - _FEWEST)))
    around = float(np.sum((film - film.mean()) ** 2))
    film_reach = _T90_TWO * spread / around**0.5
    base_reach = _T90_TWO * spread * (1.0 / len(film) + float(film.mean()) ** 2 / around) ** 0.5
    others = [without(source) for source in sorted({seen.source for seen in LOSSES_SEEN})]
    others += other_readings()
    base = [best.base_frac - base_reach, best.base_frac + base_reach]
    ratio = [best.film_ratio - film_reach, best.film_ratio + film_reach]
    base += [other.base_frac for other in others]
    ratio += [other.film_ratio for other in others]
    return (
        Interval(max(0.0, min(base)), best.base_frac, max(base)),
        Interval(max(0.0, min(ratio)), best.film_ratio, max(ratio)),
    )


def _not_below_nothing(
    columns: NDArray[np.float64], seen: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Least squares with no number below zero: the best of all subsets of three terms."""
    best, least = np.zeros(3), float("inf")
    for pattern in ((1, 1, 0), (1, 1, 1), (1, 0, 1), (0, 1, 1), (1, 0, 0), (0, 1, 0), (0, 0, 1)):
        kept = list(compress(range(3), pattern))
        if len(kept) > len(seen):
            continue
        found, *_ = np.linalg.lstsq(columns[:, kept], seen, rcond=None)
        missed = float(np.sum((seen - columns[:, kept] @ found) ** 2))
        if (found >= 0.0).all() and missed < least - 1e-15:
            best, least = np.zeros(3), missed
            best[kept] = found
    return best
