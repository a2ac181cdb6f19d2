"""The chamber's part: which closings, full signs, bindings and openings are one bale."""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass, field, replace
from typing import Final

from balewright.records.cycles.bouts import DARK_US
from balewright.records.cycles.changes import Moment
from balewright.records.cycles.rules import CycleRules

_STILL_OPEN_US: Final = 9_000_000
"""A gate may stand open so long; a sensor that shakes later shakes while the bale fills."""


@dataclass(frozen=True)
class Stretch:
    """Something that went on for a while: binding, wrapping, tipping.

    start: None where the recording began amid it; fresh: its counter had returned to 0 just
    before; dark: the silence in which it had, from and to, as when a control is off.
    """

    start: Moment | None
    end: Moment
    signal: str
    fresh: bool = False
    dark: tuple[int, int] | None = None

    @property
    def begin_us(self) -> int:
        """Its best start, by the working clock; its earliest possible end where unknown."""
        return self.end.earliest_us if self.start is None else self.start.at_us

    @property
    def from_us(self) -> int:
        """Its best start, or its earliest where a silence hides it."""
        if self.start is None or self.start.latest_us - self.start.earliest_us <= DARK_US:
            return self.begin_us
        return self.start.earliest_us

    def goes_on_from(self, ended_us: int) -> bool:
        """Whether what ended then was cut off by the silence before this one."""
        return self.dark is not None and self.dark[0] - ended_us <= DARK_US

    @property
    def lasts_us(self) -> int:
        """How long, by the best times."""
        return self.end.at_us - self.begin_us


@dataclass
class ChamberBale:
    """What the chamber's signals say of one bale, by signal; filled as the day goes on."""

    closed: dict[str, Moment] = field(default_factory=dict)
    full: dict[str, Moment] = field(default_factory=dict)
    bound: list[Stretch] = field(default_factory=list)
    opened: dict[str, Moment] = field(default_factory=dict)
    finished: bool = False

    @property
    def has_evidence(self) -> bool:
        """Whether a bale was there at all: it was full, binding ran, or it was counted."""
        return bool(self.full or self.bound or self.opened)

    @property
    def opened_us(self) -> int | None:
        """When the gate first opened."""
        return min((moment.at_us for moment in self.opened.values()), default=None)

    @property
    def ready_us(self) -> int | None:
        """When it could leave the chamber: the gate opened, else binding ended, else full."""
        if self.opened:
            return self.opened_us
        if self.bound:
            return max(stretch.end.at_us for stretch in self.bound)
        return min((moment.at_us for moment in self.full.values()), default=None)

    @property
    def ready_from_us(self) -> int | None:
        """The earliest of that, where a silence hides when."""
        moments = list(self.opened.values()) or [stretch.end for stretch in self.bound]
        moments = moments or list(self.full.values())
        return min((each.earliest_us for each in moments if is_hidden(each)), default=self.ready_us)


def is_hidden(moment: Moment) -> bool:
    """Whether a silence hides when it was."""
    return moment.latest_us - moment.earliest_us > DARK_US


class Chamber:
    """The chamber through the day. done: bales that are over, in order, until taken."""

    def __init__(self, rules: CycleRules) -> None:
        self.rules = rules
        self.bale = ChamberBale()
        self.done: list[ChamberBale] = []
        self.last: ChamberBale | None = None
        self.shaken: dict[str, tuple[Moment, int]] = {}
        self.ready: deque[int] = deque(maxlen=64)
        self.left: deque[int] = deque(maxlen=64)
        self.arrived = 0
        self.gone = 0
        self.idle: dict[str, Moment] = {}

    def close(self, moment: Moment) -> None:
        """The chamber closed: a bale that has left is over, the next one begins."""
        if self._shook(moment):
            return
        if self.bale.has_evidence and not self._hidden(moment):
            self._finish()
        held = self.bale.closed
        near = [each for each in held.values() if moment.at_us - each.at_us < self.rules.retry_us]
        if moment.signal in held or len(near) < len(held):
            held.clear()  # closed anew before anything was in it
        held[moment.signal] = moment

    def _hidden(self, moment: Moment) -> bool:
        """Whether the closing may have come before all that was seen of the bale in the chamber:
        a silence hides when."""
        bale = self.bale
        if bale.closed or bale.opened:
            return False
        latest = [each.latest_us for each in bale.full.values()]
        latest += [each.end.latest_us if each.start is None else each.start.latest_us
                   for each in bale.bound]  # fmt: skip
        return min(latest) >= moment.earliest_us

    def _shook(self, moment: Moment) -> bool:
        """Whether the gate was open for less than any gate takes: its sensor shook."""
        name, shook_us = moment.signal, self.rules.shake_us
        opened = self.bale.opened.get(name)
        if opened is not None and moment.at_us - opened.at_us < shook_us:
            self.shaken[name] = (self.bale.opened.pop(name), moment.at_us)
            if not self.bale.opened:
                self.left.pop()
                self.gone -= 1
            return True
        idle = self.idle.get(name)
        held = self.bale.closed.get(name)
        if idle is None or held is None or moment.at_us - idle.at_us >= shook_us:
            return False
        if moment.at_us - held.at_us < _STILL_OPEN_US:
            # it shook while the gate stood open, or closed: it was closed after either
            self.bale.closed[name] = replace(moment, earliest_us=held.earliest_us)
        return True

    def fill(self, moment: Moment) -> None:
        """The chamber says it is full."""
        bale = self.bale
        if bale.opened or (bale.bound and not bale.closed and self._is_later(moment.at_us)):
            self._finish()  # its closing, or its opening too, was missed
        self.bale.full.setdefault(moment.signal, moment)

    def bind(self, stretch: Stretch) -> None:
        """Binding ran."""
        if stretch.signal == "binding_on" and stretch.lasts_us < self.rules.least_bind_us:
            return
        begin_us, bale = stretch.begin_us, self.bale
        hidden = stretch.start is not None and is_hidden(stretch.start)
        if not hidden and self._belongs_before(begin_us):
            assert self.last is not None
            self.last.bound.append(stretch)
            return
        if (bale.opened_us is not None and begin_us >= bale.opened_us) or (
            bale.bound and bale.opened_us is None and self._is_next(stretch)
        ):
            self._finish()
        if not self.bale.bound:
            self.arrived += 1
            self.ready.append(stretch.end.at_us)
        self.bale.bound.append(stretch)

    def open_gate(self, moment: Moment) -> None:
        """The gate opened: with a bale in it, the bale leaves; without, nothing happened."""
        if self.bale.has_evidence:
            first, closed_us = self.shaken.pop(moment.signal, (moment, moment.at_us))
            if moment.at_us - closed_us < self.rules.shake_us:
                moment = replace(moment, at_us=first.at_us, earliest_us=first.earliest_us)
            self._leave(moment)
        else:
            self.idle[moment.signal] = moment

    def count(self, moment: Moment) -> None:
        """The counter stepped amid a long silence: a bale left the chamber there, unseen."""
        dark = moment.latest_us - moment.earliest_us > DARK_US
        closed_us = min((each.at_us for each in self.bale.closed.values()), default=None)
        if not dark or self.bale.opened or closed_us is None:
            return
        if moment.earliest_us - closed_us > self.rules.number_slack_us:
            self._leave(moment)

    def _leave(self, moment: Moment) -> None:
        if not self.bale.opened:
            self.left.append(moment.at_us)
            self.gone += 1
        self.bale.opened.setdefault(moment.signal, moment)

    def stage(self) -> int:
        """Which phase is expected next: 0 closing, 1 full, 2 and 3 binding from and to, 4 open."""
        bale = self.bale
        if bale.opened:
            return 0
        if bale.bound:
            return 4
        return 2 if bale.full else int(bool(bale.closed))

    def arrivals(self, until_us: int) -> int:
        """How many bales had been bound by a working time."""
        return self.arrived - sum(at_us > until_us for at_us in self.ready)

    def departures(self, until_us: int) -> int:
        """How many bales had left the chamber by a working time, as far as the gate tells."""
        return self.gone - sum(at_us > until_us for at_us in self.left)

    def end(self) -> None:
        """The recording is over."""
        self._finish()

    def _finish(self) -> None:
        if self.bale.has_evidence:
            self.bale.finished = True
            self.done.append(self.bale)
            self.last = self.bale
        self.bale = ChamberBale()

    def _belongs_before(self, begin_us: int) -> bool:
        """Whether it began before the last bale left: told late, after a gap in the messages."""
        last = self.last
        if last is None or last.opened_us is None or begin_us >= last.opened_us:
            return False
        return not any(stretch.begin_us > begin_us for stretch in self.bale.bound)

    def _is_later(self, begin_us: int, stretch: Stretch | None = None) -> bool:
        """Whether so long after the last binding that another bale may be in the chamber. Where
        a dark control cut that off, the time since it woke counts."""
        ends = [each.end for each in self.bale.bound]
        last_us = max(end.latest_us for end in ends)
        cut_off = any(
            end.latest_us - end.earliest_us > DARK_US and end.latest_us == last_us for end in ends
        )
        if stretch is not None and stretch.dark is not None:
            cut_off = cut_off or stretch.goes_on_from(max(end.at_us for end in ends))
            last_us = max(last_us, stretch.dark[1]) if cut_off else last_us
        limit_us = self.rules.resume_us if cut_off else self.rules.retry_us
        return begin_us - last_us > limit_us

    def _is_next(self, stretch: Stretch) -> bool:
        """Whether binding is the next bale's, not another try: no opening was seen between."""
        if not self._is_later(stretch.begin_us, stretch):
            return False
        ended_us = max(each.end.latest_us for each in self.bale.bound)
        late = stretch.begin_us - ended_us > self.rules.rebind_us
        return late or not self.bale.closed
