"""When metres or turns of the bale were rising, and by how much: bouts, piece by piece."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.records.cycles.changes import Moment
from balewright.records.cycles.rules import CycleRules
from balewright.records.signals import Signal

LEAST_STEP: Final = 1e-4
"""A smaller rise is rounding: no counter of metres or turns is that fine."""
DARK_US: Final = 5_000_000
"""A counter that returns to 0 in so long a silence was reset by a control that went dark."""
_FALLS_TO: Final = 0.5
"""A fall to less than this part of the value before is a return to 0; a smaller one is noise."""


@dataclass(frozen=True)
class Bout:
    """A stretch in which a level rose. value: by how much, in the signal's unit; steps: rises in
    it; before_us, last_before_us: of the sample before its first and its last rise; fresh: whether
    it had returned to 0 just before; dark: that silence, from and to, if it was so long that the
    control may have been off; times on the working clock."""

    signal: str
    before_us: int
    first_us: int
    last_us: int
    last_before_us: int
    first_seq: int
    last_seq: int
    value: float
    steps: int
    fresh: bool
    dark: tuple[int, int] | None

    @property
    def step_us(self) -> int:
        """Typical time between two rises, 0 when there was only one."""
        return (self.last_us - self.first_us) // (self.steps - 1) if self.steps > 1 else 0

    def start(self, lag_us: int) -> Moment:
        """When the rising began: not before one step before the first rise."""
        earliest_us = max(self.before_us, self.first_us - self.step_us) - lag_us
        at_us = self.first_us - self.step_us // 2
        if self.steps == 1:  # all of it happened between two samples
            earliest_us = self.before_us - lag_us
            at_us = (self.before_us + self.first_us) // 2
        return Moment(at_us, earliest_us, self.first_us, self.first_seq, self.signal, "starts")

    def end(self, lag_us: int) -> Moment:
        """When it ended: not later than one step after the last rise."""
        latest_us = self.last_us + self.step_us + lag_us
        at_us = self.last_us + self.step_us // 2
        earliest_us = min(self.last_before_us, self.last_us - lag_us // 4)
        if self.steps == 1:
            earliest_us, at_us = self.before_us, (self.before_us + self.first_us) // 2
        return Moment(at_us, earliest_us, latest_us, self.last_seq, self.signal, "stops")


@dataclass(frozen=True)
class RiseTrack:
    """What is remembered of a rising level: the open bout, whether it has returned to 0 since the
    last one (dark: in which silence, if in one), and the last sample known."""

    bout: Bout | None = None
    fresh: bool = False
    dark: tuple[int, int] | None = None
    value: float | None = None
    last_us: int = 0

    @property
    def waits_for(self) -> int | None:
        """The message from which on something is not yet decided, None when all is."""
        return None if self.bout is None else self.bout.last_seq

    @property
    def begins_us(self) -> list[int]:
        """Working times from which on its bout, or the next one, may be."""
        begins = [] if self.value is None else [self.last_us]
        return begins if self.bout is None else [*begins, self.bout.before_us]


def _good(signal: Signal) -> NDArray[np.bool_]:
    """Which samples are known and finite."""
    return signal.known & np.isfinite(signal.values)


def _rises(
    track: RiseTrack, signal: Signal, work_us: NDArray[np.int64]
) -> tuple[tuple[NDArray[np.int64], ...], NDArray[np.float64], NDArray[np.bool_]] | None:
    """Where the level moved: (time, message, time before), gain, whether it returned to 0."""
    good = _good(signal)
    where = None if good.all() else np.flatnonzero(good)
    values = signal.values if where is None else signal.values[where]
    if not len(values):
        return None
    moved = np.flatnonzero(values[1:] != values[:-1]) + 1
    if track.value is not None and values[0] != track.value:
        moved = np.concatenate([[0], moved])
    before = values[moved - 1]
    if len(moved) and moved[0] == 0:
        before = before.copy()
        before[0] = track.value
    now = values[moved]
    back = now < before * _FALLS_TO - LEAST_STEP
    gain = np.where(back, now, now - before)
    keep = back | (gain > LEAST_STEP)
    moved, gain, back = moved[keep], gain[keep], back[keep]
    here = moved if where is None else where[moved]
    prior = moved - 1 if where is None else where[moved - 1]
    at_us, before_us = work_us[here], work_us[prior]
    if len(moved) and moved[0] == 0:
        before_us[0] = track.last_us
    return (at_us, signal.at[here], before_us), gain, back


def follow_rises(
    track: RiseTrack, name: str, signal: Signal, work_us: NDArray[np.int64], rules: CycleRules
) -> tuple[RiseTrack, list[Bout]]:
    """The bouts that ended in this piece, and the track for the next. work_us: each sample's
    working time."""
    found = _rises(track, signal, work_us)
    if found is None:
        return track, []
    (at_us, seq, before_us), gain, back = found
    breaks = back.copy()
    breaks[1:] |= np.diff(at_us) > rules.pause_us
    edges = np.concatenate([np.flatnonzero(breaks), [len(at_us)]]).tolist()
    done: list[Bout] = []
    bout, fresh, dark = track.bout, track.fresh, track.dark
    for first, behind in zip([0, *edges], edges, strict=False):
        if first == behind:
            continue
        if bout is not None and (back[first] or at_us[first] - bout.last_us > rules.pause_us):
            done.append(bout)
            bout = None
        if back[first]:
            silence = int(before_us[first]), int(at_us[first])
            fresh, dark = True, silence if silence[1] - silence[0] > DARK_US else None
        start = first + 1 if gain[first] <= LEAST_STEP else first
        if start == behind:
            continue
        new = Bout(
            name, int(before_us[start]), int(at_us[start]), int(at_us[behind - 1]),
            int(before_us[behind - 1]),
            int(seq[start]), int(seq[behind - 1]), float(gain[start:behind].sum()),
            behind - start, fresh, dark,
        )  # fmt: skip
        bout = new if bout is None else _join(bout, new)
        fresh, dark = False, None
    last = int(np.flatnonzero(_good(signal))[-1])
    last_us = int(work_us[last])
    if bout is not None and last_us - bout.last_us > rules.pause_us:
        done.append(bout)
        bout = None
    return RiseTrack(bout, fresh, dark, float(signal.values[last]), last_us), done


def _join(first: Bout, then: Bout) -> Bout:
    return replace(
        first,
        last_us=then.last_us,
        last_before_us=then.last_before_us,
        last_seq=then.last_seq,
        value=first.value + then.value,
        steps=first.steps + then.steps,
    )
