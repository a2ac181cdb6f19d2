"""The chamber's part: which closings, full signs, bindings and openings are one bale."""

from __future__ import annotations

from dataclasses import dataclass, field

from balewright.records.cycles.changes import Moment
from balewright.records.cycles.rules import CycleRules


@dataclass(frozen=True)
class Stretch:
    """Something that went on for a while: binding, wrapping, tipping.

    start: None where the recording began amid it; gain: turns or metres made, 0 for a switch;
    fresh: its counter had returned to 0 just before; dark: in a silence, as when a control is off.
    """

    start: Moment | None
    end: Moment
    signal: str
    gain: float = 0.0
    fresh: bool = False
    dark: bool = False

    @property
    def begin_us(self) -> int:
        """Its best start, by the working clock; its earliest possible end where unknown."""
        return self.end.earliest_us if self.start is None else self.start.at_us

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
        """Whether a bale was there at all: it was full, or binding ran."""
        return bool(self.full or self.bound)

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


class Chamber:
    """The chamber through the day. done: bales that are over, in order, until taken."""

    def __init__(self, rules: CycleRules) -> None:
        self.rules = rules
        self.bale = ChamberBale()
        self.done: list[ChamberBale] = []
        self.last: ChamberBale | None = None
        self.bindings = 0

    def close(self, moment: Moment) -> None:
        """The chamber closed: a bale that has left is over, the next one begins."""
        bale = self.bale
        if bale.opened or bale.has_evidence:
            self._finish()
        held = self.bale.closed
        near = [each for each in held.values() if moment.at_us - each.at_us < self.rules.retry_us]
        if moment.signal in held or len(near) < len(held):
            held.clear()  # closed anew before anything was in it
        held[moment.signal] = moment

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
        if self._belongs_before(begin_us):
            assert self.last is not None
            self.last.bound.append(stretch)
            return
        if (bale.opened_us is not None and begin_us >= bale.opened_us) or (
            bale.bound and bale.opened_us is None and self._is_next(stretch)
        ):
            self._finish()
        if not self.bale.bound:
            self.bindings += 1
        self.bale.bound.append(stretch)

    def open_gate(self, moment: Moment) -> None:
        """The gate opened: with a bale in it, the bale leaves; without, nothing happened."""
        if self.bale.has_evidence:
            self.bale.opened.setdefault(moment.signal, moment)

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

    def _is_later(self, at_us: int) -> bool:
        """Whether so long after the last binding that another bale may be in the chamber."""
        ended_us = max(stretch.end.latest_us for stretch in self.bale.bound)
        return at_us - ended_us > self.rules.retry_us

    def _is_next(self, stretch: Stretch) -> bool:
        """Whether binding is the next bale's, not another try: no opening was seen between."""
        if not self._is_later(stretch.begin_us):
            return False
        ended_us = max(each.end.latest_us for each in self.bale.bound)
        late = stretch.begin_us - ended_us > self.rules.rebind_us
        return late or not self.bale.closed
