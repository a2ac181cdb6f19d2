"""One clock that never steps back, out of a recorder's that may."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.records.signals import Signal

BACK_US: Final = 1_000_000
"""Less is messages that overtook each other on their way, not a clock that was set."""
LEAP_US: Final = 60_000_000
"""A silence of more is a pause of the recorder, or its clock set forward: nobody can tell."""

Whole = NDArray[np.int64]


@dataclass(frozen=True)
class Jump:
    """The recorder's clock set back: from the message `seq` on it shows `step_us` (below 0) less
    than it would have; work_us: the working clock there."""

    seq: int
    step_us: int
    work_us: int


@dataclass(frozen=True)
class Clock:
    """The working clock: the recorder's with the jumps back taken out, taken to last a microsecond.

    last: by signal, (message, recorder's time) of its last sample so far.
    """

    jumps: tuple[Jump, ...] = ()
    last: tuple[tuple[str, int, int], ...] = ()

    def work_us(self, at_us: Whole, seq: Whole) -> Whole:
        """Working time of samples, (n,), from their recorder's times and messages."""
        if not self.jumps:
            return at_us
        starts = np.array([jump.seq for jump in self.jumps])
        behind = np.concatenate([[0], -np.cumsum([jump.step_us for jump in self.jumps])])
        moved: Whole = at_us + behind[np.searchsorted(starts, seq, side="right")]
        return moved

    def shown_us(self, work_us: Whole) -> Whole:
        """What the recorder's clock showed at working times, any shape."""
        if not self.jumps:
            return work_us
        starts = np.array([jump.work_us for jump in self.jumps])
        behind = np.concatenate([[0], np.cumsum([jump.step_us for jump in self.jumps])])
        shown: Whole = work_us + behind[np.searchsorted(starts, work_us, side="right")]
        return shown


def watch_clock(clock: Clock, signals: Mapping[str, Signal]) -> Clock:
    """The clock after some more samples, with the jumps back in them."""
    last = {name: (seq, at_us) for name, seq, at_us in clock.last}
    falls: list[tuple[int, int]] = []
    for name, signal in signals.items():
        if not signal.samples:
            continue
        down = np.flatnonzero(signal.at_us[1:] < signal.at_us[:-1] - BACK_US)
        falls += zip(signal.at[down + 1].tolist(), signal.at[down].tolist(), strict=True)
        if name in last and signal.at_us[0] < last[name][1] - BACK_US:
            falls.append((int(signal.at[0]), last[name][0]))
    jumps = list(clock.jumps)
    for after, before in sorted(falls):
        if jumps and before < jumps[-1].seq:
            continue  # another signal's view of the same jump
        jumps.append(_measure(after, signals, last, jumps))
    for name, signal in signals.items():
        if signal.samples:
            last[name] = (int(signal.at[-1]), int(signal.at_us[-1]))
    return Clock(tuple(jumps), tuple((name, *where) for name, where in sorted(last.items())))


def _measure(
    after: int,
    signals: Mapping[str, Signal],
    last: Mapping[str, tuple[int, int]],
    jumps: list[Jump],
) -> Jump:
    """How far the clock was set back at a message: against the last one before of any signal."""
    nearest, shown = (-1, 0), 0
    for name, signal in signals.items():
        place = int(np.searchsorted(signal.at, after))
        if place < signal.samples and signal.at[place] == after:
            shown = int(signal.at_us[place])
        if place:
            nearest = max(nearest, (int(signal.at[place - 1]), int(signal.at_us[place - 1])))
        elif name in last:
            nearest = max(nearest, last[name])
    for name, where in last.items():
        if name not in signals:
            nearest = max(nearest, where)
    behind = -sum(jump.step_us for jump in jumps)
    return Jump(after, shown - nearest[1] - 1, nearest[1] + behind + 1)
