"""A day's signals cut into bale cycles, in one piece or in many."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Final

from balewright.records.cycles.bouts import Bout
from balewright.records.cycles.chamber import Chamber, Stretch, is_hidden
from balewright.records.cycles.changes import Change, Moment
from balewright.records.cycles.cycles import Cycles, gather
from balewright.records.cycles.listening import Event, Listener
from balewright.records.cycles.marks import Chain, Drawn, draw
from balewright.records.cycles.numbering import Numbering
from balewright.records.cycles.pairing import Pairing
from balewright.records.cycles.phases import BIND_END, GATE_OPEN, TIPPED, WRAP_END
from balewright.records.cycles.rules import CycleRules, Threshold
from balewright.records.cycles.tail import Tail
from balewright.records.cycles.waking import SPOKEN_US, Waking
from balewright.records.cycles.windows import LONG_FILL_US
from balewright.records.cycles.wrapper import Wrapper
from balewright.records.intake import Doubt
from balewright.records.quality import Mark
from balewright.records.signals import Signals

_WRAPPINGS: Final = ("wrap_turns", "film1_m", "film2_m")


def cut_cycles(signals: Signals, rules: CycleRules | None = None) -> Cycles:
    """Cut a recording into bale cycles.

    signals: of one machine, in the order of their messages; any may be missing: what the others
    tell is inferred, the rest is not seen. Gives a row for each bale and for each further pass
    over the wrapper, in the order in which they left the chamber. No signal of the cycle at all
    gives no rows.
    """
    cutter = Cutter(rules or CycleRules())
    rows = cutter.feed(signals) + cutter.end()
    return gather(rows, (signals.file, signals.machine), cutter.listener.clock, cutter.doubts())


def cut_pieces(
    pieces: Iterable[Signals], rules: CycleRules | None = None
) -> Iterator[tuple[Cycles, Signals]]:
    """Cut a recording that comes in pieces, each behind the last by its messages.

    Gives, piece by piece, the cycles that are over, with the signals that cover them: the samples
    since the oldest bale still open and since the last word of each signal of the cycle, so that
    memory stays bounded by a few cycles (and by `keep_us` where one does not end, or a signal
    fell silent) and the piece's own size. All pieces together give what `cut_cycles` gives of them
    in one; so do the values of the bales, of what lies no further apart than `keep_us`.
    """
    cutter = Cutter(rules or CycleRules())
    tail = Tail()
    for piece in pieces:
        tail = tail.then(piece)
        rows = cutter.feed(piece)
        named = (tail.signals.file, tail.signals.machine)
        yield gather(rows, named, cutter.listener.clock, cutter.doubts()), tail.signals
        tail = tail.since(cutter.open_us(), cutter.listener.clock, cutter.rules)
    rows = cutter.end()
    named = (tail.signals.file, tail.signals.machine)
    yield gather(rows, named, cutter.listener.clock, cutter.doubts()), tail.signals


class Cutter:
    """The machine through the day: events of its signals to bales, as soon as they are decided."""

    def __init__(self, rules: CycleRules) -> None:
        self.rules = rules
        self.listener = Listener(rules)
        self.chamber = Chamber(rules)
        self.wrapper = Wrapper(rules, self.chamber)
        self.pairing = Pairing(self.chamber, self.wrapper)
        self.numbering = Numbering(rules)
        self.waking = Waking(self.chamber, self.wrapper)
        self.chain = Chain()
        self.unseen: list[Moment] = []
        self.begun: dict[str, Moment | None] = {}
        self.counter = ""
        self.jumps_told = 0
        self.file = ""

    def feed(self, signals: Signals) -> list[Drawn]:
        """Rows that more samples decide."""
        self.file = signals.file
        return self.chain.take(self._take(self.listener.hear(signals.by_name)))

    def end(self) -> list[Drawn]:
        """Rows left when nothing more comes."""
        rows = self._take(self.listener.end())
        for event in self.waking.end():
            rows += self._hear(event)
        self.wrapper.end()
        self.chamber.end()
        drafts = self.pairing.take(ended=True)
        rows += self.numbering.take([draw(each, self.rules) for each in drafts], ended=True)
        return self.chain.take(rows, ended=True)

    def open_us(self) -> int | None:
        """Working time from which on samples are still needed, None for none."""
        begins = [self.pairing.open_us(), self.numbering.open_us(), self.listener.open_us()]
        begins += [row.first_us for row in self.chain.held]
        begins += [event.first_us for event in self.waking.held]
        begins += [None if each is None else each.earliest_us for each in self.begun.values()]
        open_us = min((each for each in begins if each is not None), default=None)
        left_us = self.chain.left_us
        if open_us is None or left_us is None or open_us - left_us > LONG_FILL_US:
            return open_us
        return min(open_us, left_us)  # the next bale may fill since then

    def doubts(self) -> list[Doubt]:
        """What is odd about the counters, once."""
        told = []
        for what, change in self.numbering.odd:
            mark = Mark.COUNTER_STEPPED_BACK if "back" in what else Mark.COUNTER_LEAPT
            text = f"the bale number {what} from {change.before} to {change.after}: no bales"
            told.append(Doubt(self.file, f"message {change.seq}", mark, text))
        for jump in self.listener.clock.jumps[self.jumps_told :]:
            text = f"the recorder's clock was set back by {-jump.step_us / 1e6:.1f} s"
            told.append(Doubt(self.file, f"message {jump.seq}", Mark.CLOCK_JUMPED, text))
        self.numbering.odd = []
        self.jumps_told = len(self.listener.clock.jumps)
        return told

    def _take(self, events: list[Event]) -> list[Drawn]:
        rows: list[Drawn] = []
        for event in events:
            for each in self.waking.pass_on(event):
                rows += self._hear(each)
        return rows

    def _hear(self, event: Event) -> list[Drawn]:
        self._count_unseen(event.last_us)
        if isinstance(event.what, Bout):
            self._bout(event.what)
        else:
            self._change(event.signal, event.what)
        drafts = self.pairing.take()
        return self.numbering.take([draw(each, self.rules) for each in drafts], ended=False)

    def _bout(self, bout: Bout) -> None:
        lag_us = self.rules.lag_us
        stretch = Stretch(bout.start(lag_us), bout.end(lag_us), bout.signal, bout.fresh, bout.dark)
        if bout.signal in _WRAPPINGS:
            self.wrapper.wrap(stretch)
        else:
            self.chamber.bind(stretch)

    def _change(self, signal: str, change: Change) -> None:
        if signal in ("bale_no", "job_bale_no"):
            self._count(signal, change)
        elif signal in ("binding_on", "wrapper_on", "tip_on"):
            self._episode(signal, change)
        elif signal == "bale_on_wrapper":
            if change.moment is None:
                if change.after:
                    self.wrapper.lies_there()
            elif change.after:
                self.wrapper.come(change.moment)
            else:
                self.wrapper.leave(change.moment)
        elif change.moment is not None:
            self._chamber(signal, change.moment, bool(change.after))

    def _chamber(self, signal: str, moment: Moment, on: bool) -> None:
        level_us = self.rules.level_lag_us
        if signal == "chamber_full":
            if on:
                self.chamber.fill(moment)
        elif signal == "chamber_fill_frac":
            if on:
                self.chamber.fill(_run_on(moment, self.rules.levels[signal], level_us))
        elif signal == "chamber_closed":
            if on:
                self.chamber.close(moment)
            else:
                self.chamber.open_gate(moment)
        elif on:
            self.chamber.open_gate(_widen(moment, level_us, 0))
        else:
            self.chamber.close(_widen(moment, 0, level_us))

    def _episode(self, signal: str, change: Change) -> None:
        if signal == "wrapper_on":
            self.wrapper.turn(bool(change.after))
        if change.after:
            self.begun[signal] = change.moment
            return
        start = self.begun.pop(signal, None)
        if change.moment is None:
            return
        stretch = Stretch(start, change.moment, signal)
        if signal == "binding_on":
            self.chamber.bind(stretch)
        elif signal == "wrapper_on":
            self.wrapper.wrap(stretch)
        else:
            self.wrapper.tip(stretch)

    def _count(self, signal: str, change: Change) -> None:
        if signal != self.counter:
            if self.counter == "bale_no":
                return  # the job's count beside the lifetime number
            if self.counter:
                before = self.numbering
                self.numbering = Numbering(self.rules, held=before.held, odd=before.odd)
            self.counter = signal
        self.numbering.step(change)
        moment = change.moment
        if moment is None:
            return
        if is_hidden(moment):
            self.unseen.append(moment)
        elif self.numbering.number_at in (WRAP_END, TIPPED):
            self.wrapper.count(moment)

    def _count_unseen(self, now_us: int) -> None:
        """A counter that stepped in a long silence says that a bale left in it, if the other
        signals, once they have spoken again, do not tell it themselves."""
        while self.unseen and now_us > self.unseen[0].latest_us + SPOKEN_US:
            moment = self.unseen.pop(0)
            if self.numbering.number_at in (BIND_END, GATE_OPEN):
                self.chamber.count(moment)
            if self.numbering.number_at in (WRAP_END, TIPPED):
                self.wrapper.count(moment)


def _run_on(moment: Moment, level: Threshold, lag_us: int) -> Moment:
    """When a filling chamber was full that rose from one threshold to the other: it goes on as
    fast to the end of the scale, or three times slower."""
    rose_us = moment.latest_us - moment.earliest_us
    left_us = round(rose_us * (1.0 - level.high) / (level.high - level.low))
    return replace(
        moment,
        at_us=moment.latest_us + left_us,
        earliest_us=moment.latest_us - lag_us,
        latest_us=moment.latest_us + 3 * left_us + lag_us,
    )


def _widen(moment: Moment, early_us: int, late_us: int) -> Moment:
    return replace(
        moment,
        earliest_us=moment.earliest_us - early_us,
        latest_us=moment.latest_us + late_us,
    )
