"""What each candidate observation would say, and what every cause would be after it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from numpy.typing import ArrayLike

from balewright.cause.infer.arrays import Arrays, Floats, Ints, frozen_ints
from balewright.cause.infer.evidence import checked_weights
from balewright.cause.infer.refusing import refusal
from balewright.cause.infer.solve_kernel import answer_checks
from balewright.quantities.errors import BadInput, Fault

WIDEST_SWEEP: Final = 15
"""Observations that may be open at once for both outcomes of every candidate."""


@dataclass(frozen=True, eq=False)
class Sweep:
    """Both outcomes of every candidate, given the evidence so far.

    candidate[c]: the observations asked about. on_frac[c], off_frac[c]: chance that each comes out
    on, off; both in full relative accuracy. if_on[c, n], if_off[c, n]: every cause's chance after
    the one and the other; NaN in a row whose outcome cannot be.
    """

    candidate: Ints
    on_frac: Floats
    off_frac: Floats
    if_on: Floats
    if_off: Floats


def sweep(
    arrays: Arrays, weight_on: ArrayLike, weight_off: ArrayLike, candidates: ArrayLike
) -> Sweep:
    """What every candidate would say.

    weight_on, weight_off: the evidence, as `infer` takes it; candidates[c]: observations that
    nothing is known of yet, in any order.

    Raises what `infer` raises (evidence may hang together less widely: `WIDEST_SWEEP`), and
    BadInput for a candidate that is none.
    """
    on, off = checked_weights(arrays, weight_on, weight_off)
    asked = _checked(arrays, on, off, candidates)
    told, log_evidence, width = answer_checks(
        arrays.prior_frac, arrays.start, arrays.cause, arrays.chance, arrays.leak_frac, on, off,
        WIDEST_SWEEP, asked,
    )  # fmt: skip
    if width > WIDEST_SWEEP or log_evidence == -math.inf:
        raise refusal(arrays, on, off, width, WIDEST_SWEEP)
    for one in told:
        one.setflags(write=False)
    return Sweep(asked, *told)


def _checked(arrays: Arrays, on: Floats, off: Floats, candidates: ArrayLike) -> Ints:
    asked = frozen_ints(candidates)
    faults = []
    for at in asked.ravel() if asked.ndim == 1 else [-1]:
        if not 0 <= at < arrays.observations:
            need = f"an observation of 0 to {arrays.observations - 1}"
            faults.append(Fault("candidates", need, str(at), "Ask about what is there."))
        elif on[at] != off[at]:
            need = "observations that nothing is known of"
            faults.append(Fault("candidates", need, f"{at}, known", "Leave it out."))
    if faults:
        raise BadInput(*faults)
    return asked
