"""Which of many choices nobody would swap for another, and how flat the best of them lies."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from balewright.quantities.checks import require_between
from balewright.quantities.errors import BadInput, Fault

Figures = npt.NDArray[np.float64]


def undominated(figures: Figures) -> npt.NDArray[np.bool_]:
    """Which rows no other row beats: none is at least as low everywhere and lower somewhere.

    figures: one row a choice, one column an aim, each better when lower; finite. Rows that are
    equal in every aim are kept together. Raises BadInput for NaN and infinities.
    """
    if figures.ndim != 2 or not np.isfinite(figures).all():
        raise BadInput(
            Fault(
                place="figures",
                need="a table of finite numbers, one row a choice and one column an aim",
                given=f"an array of shape {figures.shape}, {_count_bad(figures)} not finite",
                cure="Leave out choices that cannot be worked out before asking for the front.",
            )
        )
    kept = np.ones(len(figures), dtype=np.bool_)
    for place, row in enumerate(figures):
        if kept[place]:
            beaten = (figures >= row).all(axis=1) & (figures > row).any(axis=1)
            kept &= ~beaten
    return kept


def _count_bad(figures: Figures) -> int:
    return int(figures.size - np.isfinite(figures).sum())


@dataclass(frozen=True)
class Flatness:
    """Where the best of a curve lies and how far one can go from it for little.

    best: place of the lowest value; first, last: the widest unbroken stretch round it in which
    nothing costs more than the allowed extra; both ends are places in the curve.
    """

    best: int
    first: int
    last: int


def how_flat(values: Figures, allowed_extra_frac: float) -> Flatness:
    """The lowest place of a curve and its neighbours within a share of it.

    values: along the curve, finite and above 0; allowed_extra_frac: 0 to 1. Raises BadInput.
    """
    require_between("allowed_extra_frac", allowed_extra_frac, 0.0, 1.0)
    if values.ndim != 1 or not len(values) or not np.isfinite(values).all() or values.min() <= 0:
        raise BadInput(
            Fault(
                place="values",
                need="a curve of one or more finite numbers above 0",
                given=f"{values!r}",
                cure="Give the costs along the choice, without gaps.",
            )
        )
    best = int(np.argmin(values))
    near = values <= values[best] * (1.0 + allowed_extra_frac)
    first = last = best
    while first > 0 and near[first - 1]:
        first -= 1
    while last < len(values) - 1 and near[last + 1]:
        last += 1
    return Flatness(best, first, last)
