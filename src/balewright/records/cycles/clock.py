"""One clock that never steps back, out of a recorder's that may."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
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
    than it would have; work_us: the working clock there, at or behind that of the jump before."""

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

    def steady_us(self, signal: Signal, highest_us: int | None = None) -> Whole:
        """Working time of a signal's samples, (n,), which never steps back: a sample whose message
        was overtaken takes the time of the latest before it, `highest_us` among them."""
        work_us = self.work_us(signal.at_us, signal.at)
        if (work_us[1:] < work_us[:-1]).any():
            work_us = np.maximum.accumulate(work_us)
        if highest_us is not None and len(work_us) and work_us[0] < highest_us:
            work_us = np.maximum(work_us, highest_us)
        return work_us

    def shown_us(self, work_us: Whole) -> Whole:
        """What the recorder's clock showed at working times, any shape."""
        if not self.jumps:
            return work_us
        starts = np.array([jump.work_us for jump in self.jumps])
        behind = np.concatenate([[0], np.cumsum([jump.step_us for jump in self.jumps])])
        shown: Whole = work_us + behind[np.searchsorted(starts, work_us, side="right")]
        return shown


@dataclass(frozen=True)
class _Fall:
    """A signal's time that fell from one sample to the next: messages and recorder's times."""

    after: int
    before: int
    after_us: int
    before_us: int


class _Ledger:
    """The jumps so far, and by how much the recorder's clock is behind from each on."""

    def __init__(self, jumps: tuple[Jump, ...]) -> None:
        self.jumps = list(jumps)
        self.starts = [jump.seq for jump in jumps]
        self.behind = [0]
        for jump in jumps:
            self.behind.append(self.behind[-1] - jump.step_us)

    def work_us(self, seq: int, at_us: int) -> int:
        """Working time of one sample."""
        return at_us + self.behind[bisect_right(self.starts, seq)]

    def work_before_us(self, fall: _Fall) -> int:
        """Working time of the sample before a fall, within one message without its own jump."""
        if fall.before < fall.after:
            return self.work_us(fall.before, fall.before_us)
        return fall.before_us + self.behind[bisect_left(self.starts, fall.after)]

    def set_back(self, fall: _Fall, latest_us: int) -> None:
        """A jump at a fall, so that the working clock goes on from `latest_us`."""
        step_us = fall.after_us + self.behind[-1] - (latest_us + 1)
        self.jumps.append(Jump(fall.after, step_us, latest_us + 1))
        self.starts.append(fall.after)
        self.behind.append(self.behind[-1] - step_us)


def watch_clock(clock: Clock, signals: Mapping[str, Signal]) -> Clock:
    """The clock after some more samples, with the jumps back in them.

    A fall that the jumps so far make good, as where another signal's message told it first, is no
    jump of its own. A jump is measured against the latest that any signal had told before it.
    """
    last = {name: (seq, at_us) for name, seq, at_us in clock.last}
    ledger = _Ledger(clock.jumps)
    for fall in _falls(signals, last):
        before_us = ledger.work_before_us(fall)
        if ledger.work_us(fall.after, fall.after_us) >= before_us - BACK_US:
            continue
        told = [ledger.work_us(*each) for each in _last_before(fall.after, signals, last)]
        told += [jump.work_us for jump in ledger.jumps[-1:]]
        ledger.set_back(fall, max((before_us, *told)))
    for name, signal in signals.items():
        if signal.samples:
            last[name] = (int(signal.at[-1]), int(signal.at_us[-1]))
    return Clock(tuple(ledger.jumps), tuple((name, *where) for name, where in sorted(last.items())))


def _falls(signals: Mapping[str, Signal], last: Mapping[str, tuple[int, int]]) -> list[_Fall]:
    """Where any signal's time falls, by message."""
    found = []
    for name, signal in signals.items():
        if not signal.samples:
            continue
        at, at_us = signal.at, signal.at_us
        if name in last and at_us[0] < last[name][1] - BACK_US:
            found.append(_Fall(int(at[0]), last[name][0], int(at_us[0]), last[name][1]))
        down = np.flatnonzero(at_us[1:] < at_us[:-1] - BACK_US)
        columns = (at[down + 1], at[down], at_us[down + 1], at_us[down])
        found += [_Fall(*row) for row in zip(*(each.tolist() for each in columns), strict=True)]
    return sorted(found, key=lambda fall: (fall.after, fall.before, fall.before_us, fall.after_us))


def _last_before(
    seq: int, signals: Mapping[str, Signal], last: Mapping[str, tuple[int, int]]
) -> list[tuple[int, int]]:
    """Message and recorder's time of each signal's last sample before a message."""
    found = dict(last)
    for name, signal in signals.items():
        place = int(np.searchsorted(signal.at, seq))
        if place:
            found[name] = int(signal.at[place - 1]), int(signal.at_us[place - 1])
    return list(found.values())
