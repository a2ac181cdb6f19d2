"""Runs of bales that break their plan, long enough to be believed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

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
    runs: list[tuple[int, int]] = []
    count, first, last, counts = 0, -1, -1, False
    for row in np.flatnonzero(judged):
        if out[row]:
            first = int(row) if count == 0 else first
            count = min(count + 1, NET)
            last = int(row)
            counts = counts or count >= NET
        elif count:
            count -= 1
            if count == 0:
                if counts:
                    runs.append((first, last))
                counts = False
    if counts:
        runs.append((first, last))
    return tuple(_run(start, end, out, judged) for start, end in _joined(runs, judged))


def episodes(out: NDArray[np.bool_], judged: NDArray[np.bool_]) -> tuple[Run, ...]:
    """Breaking bales gathered into episodes, single ones too: for what a single bale settles."""
    single = [(int(row), int(row)) for row in np.flatnonzero(out & judged)]
    return tuple(_run(start, end, out, judged) for start, end in _joined(single, judged))


def _joined(runs: list[tuple[int, int]], judged: NDArray[np.bool_]) -> list[tuple[int, int]]:
    seen = np.concatenate([[0], np.cumsum(judged)])
    joined: list[tuple[int, int]] = []
    for start, end in runs:
        if joined and seen[start] - seen[joined[-1][1] + 1] <= APART:
            joined[-1] = (joined[-1][0], end)
        else:
            joined.append((start, end))
    return joined


def _run(start: int, end: int, out: NDArray[np.bool_], judged: NDArray[np.bool_]) -> Run:
    within = slice(start, end + 1)
    rows = start + np.flatnonzero(out[within] & judged[within])
    return Run(rows, int(np.count_nonzero(judged[within])))
