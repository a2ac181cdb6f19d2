"""From samples to events: every signal followed from piece to piece, its changes in one order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.records.cycles.bouts import Bout, RiseTrack, follow_rises
from balewright.records.cycles.changes import (
    Change,
    Last,
    Track,
    find_runs,
    follow,
    read_count,
    read_switch,
)
from balewright.records.cycles.clock import Clock, watch_clock
from balewright.records.cycles.rules import CycleRules
from balewright.records.signals import SIGNAL_BY_NAME, Shape, Signal

RISING: Final = ("binding_m", "binding_turns", "wrap_turns", "film1_m", "film2_m")
SWITCHES: Final = (
    "binding_on", "chamber_full", "chamber_closed", "tip_on", "bale_on_wrapper", "wrapper_on",
)  # fmt: skip
COUNTS: Final = ("bale_no", "job_bale_no")
LEVELS: Final = ("chamber_fill_frac", "gate_opening_mm")
_RANK: Final = {
    name: place
    for place, name in enumerate(
        ("binding_on", "binding_m", "binding_turns", "chamber_full", "chamber_fill_frac",
         "tip_on", "wrapper_on", "wrap_turns", "film1_m", "film2_m", "bale_on_wrapper",
         "chamber_closed", "gate_opening_mm", "bale_no", "job_bale_no")
    )
}  # fmt: skip
"""In which order events of one message are taken: what ends before what begins."""


@dataclass(frozen=True)
class Event:
    """Something that happened to a signal, told by message `seq`."""

    seq: int
    signal: str
    what: Change | Bout

    @property
    def order(self) -> tuple[int, int]:
        """By message, then what ends before what begins."""
        return self.seq, _RANK[self.signal]

    @property
    def first_us(self) -> int | None:
        """Working time before which it did not begin, None for what the recording begins with."""
        if isinstance(self.what, Bout):
            return self.what.before_us
        return None if self.what.moment is None else self.what.moment.earliest_us

    @property
    def last_us(self) -> int:
        """Working time at which it was told, 0 for what the recording begins with."""
        if isinstance(self.what, Bout):
            return self.what.last_us
        return 0 if self.what.moment is None else self.what.moment.latest_us


class Listener:
    """Follows all signals. `hear` gives the events that nothing later can come before."""

    def __init__(self, rules: CycleRules) -> None:
        self.rules = rules
        self.clock = Clock()
        self.switches: dict[str, Track] = {}
        self.rises: dict[str, RiseTrack] = {}
        self.highest_us: dict[str, int] = {}
        self.held: list[Event] = []

    def hear(self, signals: Mapping[str, Signal]) -> list[Event]:
        """Events after some more samples. All samples of a piece come before those of the next."""
        self.clock = watch_clock(self.clock, signals)
        for name, signal in signals.items():
            if not signal.samples or name not in _RANK:
                continue
            work_us = self.clock.steady_us(signal, self.highest_us.get(name))
            self.highest_us[name] = int(work_us[-1])
            if name in RISING:
                track = self.rises.get(name, RiseTrack())
                self.rises[name], bouts = follow_rises(track, name, signal, work_us, self.rules)
                self.held += [Event(bout.last_seq, name, bout) for bout in bouts]
            else:
                self.held += self._switch(name, signal, work_us)
        waits = [track.waits_for for track in self.switches.values()]
        waits += [track.waits_for for track in self.rises.values()]
        until = min((seq for seq in waits if seq is not None), default=None)
        return self._release(until)

    def end(self) -> list[Event]:
        """All that is left when nothing more comes: bouts still open end with their last rise."""
        for name, track in self.rises.items():
            if track.bout is not None:
                self.held.append(Event(track.bout.last_seq, name, track.bout))
        self.rises = {}
        return self._release(None)

    def open_us(self) -> int | None:
        """Working time from which on events still to come may have happened, None for none.

        A change lies between the last sample that was known and the first that tells it; a signal
        silent for longer than `keep_us` is not waited for.
        """
        now_us = max(self.highest_us.values(), default=0)
        begins = [each for track in self.switches.values() for each in track.begins_us]
        begins += [each for track in self.rises.values() for each in track.begins_us]
        begins = [each for each in begins if each >= now_us - self.rules.keep_us]
        begins += [event.first_us for event in self.held if event.first_us is not None]
        return min(begins, default=None)

    def _release(self, until: int | None) -> list[Event]:
        self.held.sort(key=lambda event: event.order)
        ready = [event for event in self.held if until is None or event.seq < until]
        self.held = self.held[len(ready) :]
        return ready

    def _switch(self, name: str, signal: Signal, work_us: NDArray[np.int64]) -> list[Event]:
        track = self.switches.get(name, Track())
        values, where = (
            read_count(signal)
            if SIGNAL_BY_NAME[name].shape is Shape.COUNT
            else read_switch(signal, self.rules.levels.get(name))
        )
        if not len(values):
            return []
        runs = find_runs(track, signal, values, where, work_us)
        place = int(signal.samples - 1 if where is None else where[-1])
        last = Last(int(values[-1]), int(work_us[place]), int(signal.at[place]))
        self.switches[name], changes = follow(track, name, (runs, last), self.rules)
        return [Event(change.seq, name, change) for change in changes]
