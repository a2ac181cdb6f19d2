"""Samples of one signal over windows of a bale: means, extremes, what rose, what stood last."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from balewright.records.cycles.bouts import LEAST_STEP
from balewright.records.cycles.clock import Clock
from balewright.records.signals import Signal

Whole = NDArray[np.int64]
Floats = NDArray[np.float64]
FALLS_TO: Final = 0.8
"""A counter of the bale that falls to less than this part has begun anew."""


@dataclass(frozen=True, eq=False)
class Samples:
    """A signal on the working clock, in order: work_us, values, known, each (n,)."""

    work_us: Whole
    values: Floats
    known: NDArray[np.bool_]

    def within(self, low_us: int, high_us: int) -> tuple[Floats, Whole]:
        """Values known from low_us to high_us, and their times."""
        first, behind = np.searchsorted(self.work_us, [low_us, high_us + 1])
        known = self.known[first:behind]
        values, times = self.values[first:behind], self.work_us[first:behind]
        return (values, times) if known.all() else (values[known], times[known])

    def before(self, at_us: int, most_us: int) -> float | None:
        """The last value known at a time, at most `most_us` old."""
        values, _ = self.within(at_us - most_us, at_us)
        return float(values[-1]) if len(values) else None

    def spoke_by(self, at_us: int) -> bool:
        """Whether any value had been known by a time."""
        return bool(self.known[: np.searchsorted(self.work_us, at_us, side="right")].any())

    def risen(self, low_us: int, high_us: int) -> float | None:
        """By how much it rose from low_us to high_us; a return to 0 is a new start, no loss.
        None where fewer than two samples are known."""
        values, _ = self.within(low_us, high_us)
        if len(values) < 2:
            return None
        steps = np.diff(values)
        anew = values[1:] < values[:-1] * FALLS_TO - LEAST_STEP
        gains = np.where(anew, values[1:], np.where(steps > LEAST_STEP, steps, 0.0))
        return float(gains.sum())

    def falls(self, low_us: int, high_us: int, dwell_us: int) -> list[int]:
        """Times at which a switch went off and stayed so for dwell_us, or until high_us."""
        values, times = self.within(low_us, high_us)
        on = values > 0.5
        starts = np.flatnonzero(on[:-1] & ~on[1:]) + 1
        rises = np.flatnonzero(~on[:-1] & on[1:]) + 1
        found = []
        for start in starts.tolist():
            back = rises[rises > start]
            until_us = int(times[back[0]]) if len(back) else high_us
            if until_us - int(times[start]) >= dwell_us:
                found.append(int(times[start]))
        return found

    def changed(self, low_us: int, high_us: int) -> float | None:
        """The last new value that came from low_us to high_us, None when none did."""
        place = last_known(self.known, int(np.searchsorted(self.work_us, low_us)))
        values, _ = self.within(low_us, high_us)
        if place is not None:
            values = np.concatenate([self.values[place : place + 1], values])
        moved = np.flatnonzero(np.diff(values) != 0)
        return float(values[moved[-1] + 1]) if len(moved) else None


def last_known(known: NDArray[np.bool_], behind: int) -> int | None:
    """Place of the last sample known before a place, None where there is none."""
    reach = 64
    while behind > 0:
        first = max(behind - reach, 0)
        found = np.flatnonzero(known[first:behind])
        if len(found):
            return first + int(found[-1])
        behind, reach = first, 2 * reach
    return None


def finite_known(signal: Signal) -> NDArray[np.bool_]:
    """Which samples are known; a value without end is not."""
    finite = np.isfinite(signal.values)
    return signal.known if finite.all() else signal.known & finite


def on_clock(signal: Signal, clock: Clock) -> Samples:
    """A signal's samples in the order of the working clock; a value without end is unknown."""
    return Samples(clock.steady_us(signal), signal.values, finite_known(signal))


def nothing() -> Samples:
    """A signal that is not there."""
    empty: NDArray[Any] = np.zeros(0, dtype=np.int64)
    return Samples(empty, empty.astype(np.float64), empty.astype(np.bool_))
