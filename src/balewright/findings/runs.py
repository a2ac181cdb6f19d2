"""Runs of bales that break their plan, long enough to be believed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.findings.runs_kernel import runs_kernel

NET: Final = 12
"""How many more bales must break the plan than keep it before a run counts. A machine of which
one reading in five lies outside by chance gets there once in 4^12 excursions (gambler's ruin);
one that is truly outside on nine bales of ten gets there in about 15 bales."""
APART: Final = 40
"""Breaking bales with more judged bales than this between them are two episodes."""


@dataclass(frozen=True, eq=False)
class Run:
    """Bales that break their plan. rows: their places in the history; looked_at: bales judged
    from the first to the last of them.
    """

    rows: NDArray[np.int64]
    looked_at: int


def supported_runs(out: NDArray[np.bool_], judged: NDArray[np.bool_]) -> tuple[Run, ...]:
    """Runs in which bales out of plan outnumber the others by NET.

    out, judged: shape (bales,), in order; rows that are not judged say nothing. A run begins at
    the first breaking bale after the count last stood at zero and ends when as many bales have
    kept the plan again; the count is held at NET so that a cured machine is believed soon.
    """
    breaks = out & judged
    if np.count_nonzero(breaks) < NET:
        return ()
    found = np.empty((len(out) // NET + 1, 2), dtype=np.int64)
    count = runs_kernel(breaks, judged, NET, APART, found)
    return tuple(_run(int(start), int(end), breaks, judged) for start, end in found[:count])


def _run(start: int, end: int, breaks: NDArray[np.bool_], judged: NDArray[np.bool_]) -> Run:
    within = slice(start, end + 1)
    return Run(start + np.flatnonzero(breaks[within]), int(np.count_nonzero(judged[within])))


def episodes(out: NDArray[np.bool_], judged: NDArray[np.bool_]) -> tuple[Run, ...]:
    """Breaking bales gathered into episodes, single ones too: for what a single bale settles."""
    rows = np.flatnonzero(out & judged)
    if not len(rows):
        return ()
    seen = np.cumsum(judged)[rows]
    cuts = np.flatnonzero(np.diff(seen) - 1 > APART) + 1
    parts = zip(np.split(rows, cuts), np.split(seen, cuts), strict=True)
    return tuple(Run(part, int(at[-1] - at[0]) + 1) for part, at in parts)
