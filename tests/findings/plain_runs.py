"""Runs and episodes counted bale by bale: the plain twin of what is compiled."""

from __future__ import annotations

import numpy as np

from balewright.findings.runs import APART, NET, Run


def plain_supported_runs(out: np.ndarray, judged: np.ndarray) -> tuple[Run, ...]:
    """As `supported_runs`."""
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
    return _gathered(runs, out, judged)


def plain_episodes(out: np.ndarray, judged: np.ndarray) -> tuple[Run, ...]:
    """As `episodes`."""
    return _gathered([(int(row), int(row)) for row in np.flatnonzero(out & judged)], out, judged)


def _gathered(runs: list[tuple[int, int]], out: np.ndarray, judged: np.ndarray) -> tuple[Run, ...]:
    joined: list[tuple[int, int]] = []
    for start, end in runs:
        if joined and np.count_nonzero(judged[joined[-1][1] + 1 : start]) <= APART:
            joined[-1] = (joined[-1][0], end)
        else:
            joined.append((start, end))
    return tuple(
        Run(
            np.array([row for row in range(start, end + 1) if out[row] and judged[row]]),
            int(np.count_nonzero(judged[start : end + 1])),
        )
        for start, end in joined
    )
