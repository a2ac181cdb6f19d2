"""Evidence on the observations, as a pair of weights each."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from balewright.cause.infer.arrays import Arrays, Floats
from balewright.cause.infer.solve_kernel import Solved, solve
from balewright.quantities.errors import BadInput, Fault


def checked_weights(
    arrays: Arrays, weight_on: ArrayLike, weight_off: ArrayLike
) -> tuple[Floats, Floats]:
    """Both rows of weights as floats; raises BadInput naming every weight that is none."""
    rows = tuple(np.ascontiguousarray(one, dtype=np.float64) for one in (weight_on, weight_off))
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
    if faults:
        raise BadInput(*faults)
    return rows[0], rows[1]


def _fault(place: str, need: str, given: str) -> Fault:
    return Fault(f"evidence, {place}", need, given, "Give (1, 1) for what is not known.")


def solve_for(arrays: Arrays, weight_on: Floats, weight_off: Floats, widest: int) -> Solved:
    """The compiled solution as it is, refusals told by its width and its log_evidence."""
    return solve(
        arrays.prior_frac, arrays.start, arrays.cause, arrays.chance, arrays.leak_frac,
        weight_on, weight_off, widest,
    )  # fmt: skip
