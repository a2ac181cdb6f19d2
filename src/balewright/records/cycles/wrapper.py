"""The wrapper's part of the cycles: which arrivals, wrappings and tips are one bale."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Final

from balewright.records.cycles.bouts import DARK_US
from balewright.records.cycles.chamber import Chamber, Stretch, is_hidden
from balewright.records.cycles.changes import Moment
from balewright.records.cycles.rules import CycleRules

_TOGETHER_US: Final = 2_000_000
"""Signals of one wrapping begin and end no further apart than this."""
_STAYS_US: Final = 20_000_000
"""Wrapping that goes on after less is of the same bale, where nothing else can tell."""


@dataclass
class WrapBale:
    """What the wrapper's signals say of one bale.

    arrivals, departures: how many bales had been bound, and had left the chamber, when it came;
    runs: wrappings, of any signal; counted: it left unseen, by the counter;
    complete: the counter has counted it.
    """

    arrivals: int
    departures: int
    came: Moment | None = None
    left: Moment | None = None
    runs: list[Stretch] = field(default_factory=list)
    tips: list[Stretch] = field(default_factory=list)
    counted: bool = False
    complete: bool = False

    @property
    def start_us(self) -> int:
        """The first that was seen of it, by the working clock."""
        begins = [stretch.begin_us for stretch in (*self.runs, *self.tips)]
        if self.came is not None:
            begins.append(self.came.at_us)
        if not begins and self.left is not None:
            begins.append(self.left.earliest_us)
        return min(begins, default=0)

    @property
    def start_until_us(self) -> int:
        """The latest of that, where a silence hides when."""
        firsts = [run.start for run in (*self.runs, *self.tips)]
        moments = [each for each in (self.came, *firsts) if each is not None and is_hidden(each)]
        return max((each.latest_us for each in moments), default=self.start_us)

    @property
    def gone_us(self) -> int | None:
        """When it left, None while it lies there as far as can be told."""
        ends = [stretch.end.at_us for stretch in self.tips]
        if self.left is not None:
            ends.append(self.left.at_us)
        return min(ends, default=None)

    @property
    def is_something(self) -> bool:
        """Whether a bale was there: it came or left, was wrapped or tipped."""
        return bool(self.runs or self.tips or self.came or self.left)

    def passes(self) -> list[list[Stretch]]:
        """Its wrappings: a further one begins where the turns began again from 0 after a
        wrapping that had ended in order."""
        spells: list[list[Stretch]] = []
        ends_us = 0
        for run in sorted(self.runs, key=lambda each: each.begin_us):
            if spells and run.begin_us <= ends_us + _TOGETHER_US:
                spells[-1].append(run)
                ends_us = max(ends_us, run.end.at_us)
            else:
                spells.append([run])
                ends_us = run.end.at_us
        found: list[list[Stretch]] = []
        for spell in spells:
            turns = [run for run in spell if run.signal == "wrap_turns"]
            anew = bool(turns) and turns[0].fresh
            anew = anew and not (found and _cut_off(found[-1], turns[0]))
            if not found or (anew and any(run.signal == "wrap_turns" for run in found[-1])):
                found.append(spell)
            else:
                found[-1] = found[-1] + spell
        return found


def _cut_off(runs: list[Stretch], then: Stretch) -> bool:
    """Whether wrapping ended in a long silence, as when a control goes dark."""
    last = max(runs, key=lambda run: run.end.at_us).end
    if then.goes_on_from(last.at_us):
        return True
    ends = [run.end for run in runs if run.signal == "wrapper_on"]
    return any(
        end.latest_us - end.earliest_us > DARK_US and end.latest_us >= last.earliest_us
        for end in ends
    )


class Wrapper:
    """The wrapper through the day. done: bales that are over, in order, until taken; chamber:
    tells how many bales had been bound, and had left, by a working time."""

    def __init__(self, rules: CycleRules, chamber: Chamber) -> None:
        self.rules = rules
        self.bale: WrapBale | None = None
        self.done: list[WrapBale] = []
        self.arrivals = chamber.arrivals
        self.departures = chamber.departures
        self.covered_us = 0
        self.turning = False
        self.tells_place = False

    def lies_there(self) -> None:
        """The recording begins with a bale on the wrapper."""
        self.tells_place = True
        self._begin(0)

    def come(self, moment: Moment) -> None:
        """A bale came onto the wrapper."""
        self.tells_place = True
        if self.turning:
            return  # no bale comes while the ring turns: the sensor was stuck
        bale = self.bale
        if bale is None:
            self._begin(moment.at_us).came = moment
        elif bale.left is not None and not bale.tips and self._rocked(bale.left, moment):
            bale.left = None
        elif bale.came is None and not bale.runs and not bale.tips and bale.left is None:
            bale.came = moment
        else:
            self._begin(moment.at_us).came = moment

    def leave(self, moment: Moment) -> None:
        """The bale is gone from the wrapper."""
        self.tells_place = True
        if self.turning:
            return  # it rocks: no bale leaves while the ring turns
        bale = self.bale or self._begin(moment.earliest_us)
        if bale.left is None:
            bale.left = moment

    def turn(self, on: bool) -> None:
        """The ring, arms or table begin to turn, or stop."""
        self.turning = on

    def wrap(self, stretch: Stretch) -> None:
        """Wrapping ran."""
        bale = self.bale
        if bale is None:
            bale = self._begin(stretch.begin_us)
        elif bale.gone_us is not None:
            if stretch.from_us >= bale.gone_us or bale.counted:
                bale = self._begin(stretch.begin_us)
        elif bale.runs and self._is_next(bale, stretch):
            bale = self._begin(stretch.begin_us)
        if stretch.begin_us < self.covered_us:
            stretch = replace(stretch, start=None)  # it ran on from the bale before
        bale.runs.append(stretch)

    def tip(self, stretch: Stretch) -> None:
        """The wrapper tipped: with a bale on it, the bale leaves."""
        bale = self.bale
        before = 0 if bale is None else bale.arrivals
        if bale is None or (bale.tips and not self.tells_place):
            if self.tells_place or self.arrivals(stretch.begin_us) <= before:
                return  # tipped empty: by hand, or to fold it up
            bale = self._begin(stretch.begin_us)
        if not bale.tips:
            bale.tips.append(stretch)

    def count(self, moment: Moment) -> None:
        """The counter of wrapped bales stepped: this one is complete; amid a long silence it
        left there, unseen."""
        bale = self.bale
        if bale is None or not bale.runs:
            return
        bale.complete = True
        if bale.gone_us is None and is_hidden(moment):
            bale.left, bale.counted = moment, True

    def stage(self) -> int:
        """Which phase is expected next: 0 a bale, 1 and 2 wrapping from and to, 3 the tip."""
        bale = self.bale
        if bale is None or bale.gone_us is not None:
            return 0
        if self.turning:
            return 2
        return 3 if bale.runs else 1

    def end(self) -> None:
        """The recording is over."""
        self._finish()

    def _begin(self, at_us: int) -> WrapBale:
        self._finish()
        self.bale = WrapBale(self.arrivals(at_us), self.departures(at_us))
        return self.bale

    def _finish(self) -> None:
        if self.bale is not None and self.bale.is_something:
            self.done.append(self.bale)
            self.covered_us = max((run.end.at_us for run in self.bale.runs), default=0)
        self.bale = None

    def _rocked(self, left: Moment, came: Moment) -> bool:
        return came.at_us - left.at_us < self.rules.rejoin_us

    def _is_next(self, bale: WrapBale, stretch: Stretch) -> bool:
        """Whether wrapping is the next bale's although none was seen to leave."""
        ended_us = max(run.end.at_us for run in bale.runs)
        if stretch.begin_us <= ended_us + _TOGETHER_US:
            return False
        if self.departures(stretch.begin_us) > bale.departures:
            return True  # the gate opened since: it does so for a free wrapper only
        waits = self.arrivals(stretch.begin_us) > bale.arrivals
        cut_off = stretch.goes_on_from(ended_us) and not bale.complete
        if bale.came is not None or not waits or cut_off:
            return False
        if stretch.signal == "wrap_turns":
            return stretch.fresh  # turns that count on are the same bale's
        return stretch.begin_us - ended_us > _STAYS_US
