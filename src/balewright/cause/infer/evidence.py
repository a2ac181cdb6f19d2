"""Evidence on the observations, as a pair of weights each."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from balewright.cause.infer.arrays import Arrays, Floats
from balewright.cause.infer.solve_kernel import answer, are_weights
from balewright.quantities.errors import BadInput, Fault


def checked_weights(
    arrays: Arrays, weight_on: ArrayLike, weight_off: ArrayLike
) -> tuple[Floats, Floats]:
    """Both rows of weights as floats; raises BadInput naming every weight that is none."""
    rows = tuple(np.array(one, dtype=np.float64) for one in (weight_on, weight_off))
    if rows[0].shape == rows[1].shape == arrays.leak_frac.shape and are_weights(*rows):
        return rows[0], rows[1]
    faults = []
    for name, row in zip(("weight_on", "weight_off"), rows, strict=True):
        if row.shape != arrays.leak_frac.shape:
            need = f"a weight for each of {arrays.observations} observations"
            faults.append(_fault(name, need, f"shape {row.shape}"))
            continue
        for at in np.flatnonzero(~((row >= 0.0) & np.isfinite(row))):
            faults.append(_fault(f"{name}[{at}]", "a number of 0 or above", str(row[at])))
    if not faults:
        for at in np.flatnonzero((rows[0] == 0.0) & (rows[1] == 0.0)):
            need = "a weight above 0 on one side at least"
            faults.append(_fault(f"weight_on[{at}], weight_off[{at}]", need, "0 and 0"))
    raise BadInput(*faults)


def _fault(place: str, need: str, given: str) -> Fault:
    return Fault(f"evidence, {place}", need, given, "Give (1, 1) for what is not known.")


def solve_for(
    arrays: Arrays, weight_on: Floats, weight_off: Floats, widest: int
) -> tuple[Floats, float, int]:
    """The compiled answer as it is: posteriors, log_evidence (-inf where there is none) and width
    (above `widest` where there is none).
    """
    return answer(
        arrays.prior_frac, arrays.start, arrays.cause, arrays.chance, arrays.leak_frac,
        weight_on, weight_off, widest,
    )  # fmt: skip
