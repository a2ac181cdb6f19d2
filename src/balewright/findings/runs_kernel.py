"""Runs of bales that outnumber the others, compiled: one pass, nothing kept but the runs."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from balewright.plan.film.layers_kernel import compiled


@compiled
def runs_kernel(
    out: NDArray[np.bool_],
    judged: NDArray[np.bool_],
    net: int,
    apart: int,
    found: NDArray[np.int64],
) -> int:
    """Fill found[:n] with first and last row of each run and give n; as `supported_runs` says.

    out, judged: shape (bales,); net: lead at which a run counts; apart: most judged bales between
    two runs that are one; found: shape (bales // net + 1, 2) at least.
    """
    count, first, last, counts = 0, 0, 0, False
    seen, first_seen, last_seen, runs, end_seen = 0, 0, 0, 0, 0
    rows = len(judged)
    for row in range(rows + 1):
        if row < rows:
            if not judged[row]:
                continue
            seen += 1
            if out[row]:
                if count == 0:
                    first, first_seen = row, seen - 1
                count = min(count + 1, net)
                last, last_seen = row, seen
                counts = counts or count >= net
                continue
            if count == 0:
                continue
            count -= 1
        if (count == 0 or row == rows) and counts:
            if runs > 0 and first_seen - end_seen <= apart:
                found[runs - 1, 1] = last
            else:
                found[runs, 0], found[runs, 1] = first, last
                runs += 1
            end_seen, counts = last_seen, False
    return runs
