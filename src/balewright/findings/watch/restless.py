"""A sensor watched for restlessness."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from balewright.findings.watch import restless_kernel as slot
from balewright.findings.watch.restless_kernel import walk_steps
from balewright.findings.watch.start import WINDOW_BALES
from balewright.findings.watched import Floats

_CALM = 2


@dataclass(frozen=True)
class Restless:
    """A sensor that became restless. Ordinals of bales: of the one that told, of the likeliest
    first one with its interval; usual: its step before, in its unit; judged: readings until then;
    over: when it was calm again, None while it lasts.
    """

    at: int
    first: int
    since: int
    last: int
    usual: float
    statistic: float
    judged: int
    over: int | None = None


@dataclass(frozen=True, eq=False)
class RestlessState:
    """kept: of the walk; told: all, in order."""

    kept: Floats
    told: tuple[Restless, ...]


def begin_restless() -> RestlessState:
    """A state that has seen no bale."""
    kept = np.zeros(slot.SLOTS)
    kept[slot.LAST] = np.nan
    return RestlessState(kept, ())


def watch_restless(
    values: Floats,
    new_group: NDArray[np.int8],
    places: tuple[int, int],
    state: RestlessState,
    limit: float,
) -> RestlessState:
    """Go on with a sensor's readings.

    places: of the first new bale in what is handed in, and the ordinal of what is handed in;
    limit: of the sum.
    """
    kept, told, at = state.kept.copy(), state.told, places[0]
    while at < len(values):
        found, what = walk_steps(values[at:], new_group[at:], kept, limit)
        if found < 0:
            break
        place = at + found
        if what == _CALM:
            told = (*told[:-1], replace(told[-1], over=places[1] + place))
            kept[slot.TOLD] = 0.0
        else:
            told = (*told, _tell(values, new_group, places[1], place, kept))
            kept[slot.TOLD] = 1.0
        kept[slot.SUM] = kept[slot.BACK] = kept[slot.WAITING] = kept[slot.WAITING2] = 0.0
        at = place + 1
    return RestlessState(kept, told)


def _tell(
    values: Floats, new_group: NDArray[np.int8], ordinal: int, place: int, kept: Floats
) -> Restless:
    back = int(kept[slot.JUDGED] - kept[slot.SINCE])
    judged = np.flatnonzero(np.isfinite(values[: place + 1]))
    since = ordinal + int(judged[max(len(judged) - 1 - back, 0)])
    usual = float(np.sqrt(kept[slot.STEP2]))
    first, last = _start(values[: place + 1], new_group[: place + 1], usual)
    return Restless(
        ordinal + place, min(ordinal + first, since), since, max(ordinal + last, since), usual,
        float(kept[slot.SUM]), int(kept[slot.JUDGED]),
    )  # fmt: skip


def _start(values: Floats, new_group: NDArray[np.int8], usual: float) -> tuple[int, int]:
    """Between which bales steps of twice the usual size began, 95 %: every bale is weighed as the
    first, each step by half, for two neighbours share a reading."""
    low = max(len(values) - WINDOW_BALES, 0)
    rows = low + np.flatnonzero(np.isfinite(values[low:]))
    job = np.cumsum(new_group > 0)[rows]
    step = np.abs(np.diff(values[rows])) / np.sqrt(2.0) / max(usual, 1e-12)
    step = np.minimum(np.concatenate([[0.0], step]), slot.CLIP)
    gain = 0.5 * (1.0 - slot.TIMES**-2) * step**2 - np.log(slot.TIMES)
    gain[0] = 0.0
    gain[1:][np.diff(job) > 0] = 0.0
    fits = np.cumsum(0.5 * gain[::-1])[::-1]
    weight = np.exp(fits - fits.max())
    share = np.cumsum(weight) / weight.sum()
    first, last = (min(int(np.searchsorted(share, edge)), len(rows) - 1) for edge in (0.025, 0.975))
    return int(rows[first]), int(rows[last])
