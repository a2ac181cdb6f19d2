"""The textbook sum for noisy-OR networks, in 80-digit arithmetic.

Every observation that is on is 1 less what is off, so the evidence's chance is a sum with signs
over all sets of them (Heckerman 1989). In double precision nothing may be left of it; with eighty
digits there is plenty.
"""

from __future__ import annotations

from decimal import Context, Decimal, localcontext

import numpy as np
from numpy.typing import NDArray

from balewright.cause.infer.arrays import Arrays

Floats = NDArray[np.float64]
ONE = Decimal(1)


def by_textbook(net: Arrays, on: Floats, off: Floats) -> tuple[Decimal, list[Decimal]]:
    """Chance of the evidence and every posterior."""
    with localcontext(Context(prec=80)):
        present = [Decimal(float(one)) for one in net.prior_frac]
        absent = [ONE - one for one in present]
        rows = []
        factor = ONE
        for one in np.flatnonzero(on != off):
            links = range(net.start[one], net.start[one + 1])
            keeps = [(int(net.cause[at]), ONE - Decimal(float(net.chance[at]))) for at in links]
            free = ONE - Decimal(float(net.leak_frac[one]))
            if on[one] == 0.0:
                factor *= Decimal(float(off[one])) * free
                for cause, keep in keeps:
                    present[cause] *= keep
            else:
                rows.append((Decimal(float(on[one])), Decimal(float(off[one])), free, keeps))
        sums = [Decimal(0)] * (net.causes + 1)

        def add(row: int, weight: Decimal, there: list[Decimal]) -> None:
            """Every set of the rows from `row` on; what they leave of each cause."""
            if row < len(rows):
                weight_on, weight_off, free, keeps = rows[row]
                add(row + 1, weight * weight_on, there)
                less = there.copy()
                for cause, keep in keeps:
                    less[cause] *= keep
                add(row + 1, weight * (weight_off - weight_on) * free, less)
                return
            for low, high in zip(absent, there, strict=True):
                weight *= low + high
            for cause, (low, high) in enumerate(zip(absent, there, strict=True)):
                sums[cause] += weight * high / (low + high)
            sums[-1] += weight

        add(0, factor, present)
        return sums[-1], [one / sums[-1] for one in sums[:-1]]
