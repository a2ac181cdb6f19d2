"""Where a switch or a count changed for good: its samples without bounce, piece by piece."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from balewright.records.cycles.rules import CycleRules, Threshold
from balewright.records.signals import Signal

Whole = NDArray[np.int64]
_MOST_COUNT: Final = 2.0**53
_NONE: Final = np.zeros(0, dtype=np.int64)


@dataclass(frozen=True)
class Moment:
    """When something happened, by the working clock.

    at_us: best; earliest_us, latest_us: it was not before and not after; seq: message that told
    it; signal: by which; how: in which way, such as "rises".
    """

    at_us: int
    earliest_us: int
    latest_us: int
    seq: int
    signal: str
    how: str


@dataclass(frozen=True)
class Last:
    """The last sample known of a signal so far, by the working clock."""

    value: int
    at_us: int
    seq: int


@dataclass(frozen=True)
class Change:
    """A value that changed and stayed. moment: None where the recording begins with it."""

    seq: int
    before: int
    after: int
    moment: Moment | None


@dataclass(frozen=True, eq=False)
class Runs:
    """Stretches of samples of one value: where each begins, and the last sample known before."""

    value: Whole = field(default_factory=lambda: _NONE)
    at_us: Whole = field(default_factory=lambda: _NONE)
    seq: Whole = field(default_factory=lambda: _NONE)
    before_us: Whole = field(default_factory=lambda: _NONE)
    before_seq: Whole = field(default_factory=lambda: _NONE)

    def columns(self) -> tuple[Whole, ...]:
        """The columns, in order."""
        return self.value, self.at_us, self.seq, self.before_us, self.before_seq

    def then(self, more: Runs) -> Runs:
        """These and more behind them."""
        pairs = zip(self.columns(), more.columns(), strict=True)
        return Runs(*(np.concatenate(pair) for pair in pairs))

    def since(self, place: int) -> Runs:
        """From a place on."""
        return Runs(*(column[place:] for column in self.columns()))


@dataclass(frozen=True, eq=False)
class Track:
    """What is remembered of a signal from piece to piece.

    settled: the value that held last, None before there is one; open_runs: what came since and
    has not held long enough; last_value, last_us, last_seq: of the last sample known, last_us
    on the working clock; last_value None before one; bounced: it has flickered so far.
    """

    settled: int | None = None
    open_runs: Runs = field(default_factory=Runs)
    last_value: int | None = None
    last_us: int = 0
    last_seq: int = 0
    bounced: bool = False

    @property
    def waits_for(self) -> int | None:
        """The message from which on something is not yet decided, None when all is."""
        return int(self.open_runs.seq[0]) if len(self.open_runs.seq) else None

    @property
    def begins_us(self) -> list[int]:
        """Working times from which on its next change may be."""
        begins = [] if self.last_value is None else [self.last_us]
        return [*begins, *self.open_runs.before_us[:1].tolist()]


def read_switch(signal: Signal, level: Threshold | None) -> tuple[NDArray[Any], Whole | None]:
    """A signal as on and off where it is known: values, and which samples (None: all)."""
    values = signal.values
    if level is None:
        on = values > 0.5
        if signal.known.all():
            return on, None
        where = np.flatnonzero(signal.known)
        return on[where], where
    high, low = values >= level.high, values <= level.low
    where = np.flatnonzero((high | low) & signal.known)
    return high[where], where


def read_count(signal: Signal) -> tuple[NDArray[Any], Whole | None]:
    """A count as whole numbers where it is known, as in `read_switch`."""
    good = signal.known & (np.abs(signal.values) < _MOST_COUNT)
    if good.all():
        return signal.values.astype(np.int64), None
    where = np.flatnonzero(good)
    return signal.values[where].astype(np.int64), where


def find_runs(
    track: Track, signal: Signal, values: NDArray[Any], where: Whole | None, work_us: Whole
) -> Runs:
    """Stretches of one value that begin in this piece. work_us: each sample's working time."""
    starts = np.flatnonzero(values[1:] != values[:-1]) + 1
    if track.last_value is None or int(values[0]) != track.last_value:
        starts = np.concatenate([[0], starts])
    here = starts if where is None else where[starts]
    prior = np.maximum(starts - 1, 0) if where is None else where[np.maximum(starts - 1, 0)]
    before_us = work_us[prior]
    before_seq = signal.at[prior]
    if len(starts) and starts[0] == 0:
        before_us[0], before_seq[0] = track.last_us, track.last_seq
    at_us, seq = work_us[here], signal.at[here]
    return Runs(values[starts].astype(np.int64), at_us, seq, before_us, before_seq)


def settle(track: Track, runs: Runs, last_us: int, dwell_us: int) -> tuple[list[int], Runs]:
    """Which runs held for `dwell_us` (places in all runs so far), and all runs so far.

    A run holds when the next one begins, or its last sample lies, so long after its start: where
    times never step back, what held by its last sample in one piece holds in a longer one.
    """
    every = track.open_runs.then(runs)
    if not len(every.at_us):
        return [], every
    ends = np.concatenate([every.at_us[1:], [last_us]])
    return np.flatnonzero(ends - every.at_us >= dwell_us).tolist(), every


def follow(
    track: Track, name: str, seen: tuple[Runs, Last], rules: CycleRules
) -> tuple[Track, list[Change]]:
    """The changes that held, and the track for the next piece.

    seen: the runs of this piece, and the last sample known. A change lies between
    the last sample of the old value and the first from which the new one held; its best time is
    the first touch between, or amid a long silence before it. Of a contact that bounces the first
    touch may have bounced off again unseen, so it may have been earlier by the dwell.
    """
    runs, last = seen
    held, every = settle(track, runs, last.at_us, rules.dwell_us)
    changes = []
    settled, touch, bounced = track.settled, 0, track.bounced
    for place in held:
        value = int(every.value[place])
        touch = _since(every.at_us, touch, place, rules.chatter_us)
        bounced = bounced or (place > touch and settled is not None)
        if value != settled:
            seq = int(every.seq[touch])
            moment = None
            if settled is not None:
                at_us = int(every.at_us[touch])
                how = "rises" if value > settled else "falls"
                earliest_us = min(int(every.before_us[touch]), at_us) - rules.latency_us
                earliest_us -= rules.dwell_us if bounced else 0
                latest_us = max(int(every.at_us[place]), at_us)
                if at_us - int(every.before_us[touch]) > rules.seen_us:
                    at_us = (at_us + int(every.before_us[touch])) // 2
                moment = Moment(at_us, earliest_us, latest_us, seq, name, how)
            changes.append(Change(seq, 0 if settled is None else settled, value, moment))
            settled = value
        touch = place + 1
    left = every.since(_since(every.at_us, touch, len(every.at_us) - 1, rules.chatter_us))
    return Track(settled, left, last.value, last.at_us, last.seq, bounced), changes


def _since(at_us: Whole, first: int, place: int, most_us: int) -> int:
    """From which run on to look: a contact that finds no rest is followed anew from time to time,
    so that it holds nothing else up."""
    while first < place:
        behind = int(np.searchsorted(at_us, at_us[first] + most_us))
        if behind > place or behind <= first:
            break
        first = behind
    return first
