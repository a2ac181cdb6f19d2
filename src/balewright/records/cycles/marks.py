"""From what both stations saw of a bale to its nine boundaries, each with how sure it is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Final

from balewright.records.cycles.chamber import ChamberBale, Stretch
from balewright.records.cycles.changes import Moment
from balewright.records.cycles.pairing import Draft
from balewright.records.cycles.phases import (
    BIND_END,
    BIND_START,
    CLOSED,
    FULL,
    GATE_OPEN,
    ON_WRAPPER,
    PHASES,
    TIPPED,
    WRAP_END,
    WRAP_START,
    Sureness,
)
from balewright.records.cycles.rules import CycleRules
from balewright.records.cycles.wrapper import WrapBale

OWN: Final[Mapping[int, str]] = {
    CLOSED: "chamber_closed", FULL: "chamber_full", BIND_START: "binding_on",
    BIND_END: "binding_on", GATE_OPEN: "chamber_closed", ON_WRAPPER: "bale_on_wrapper",
    WRAP_START: "wrapper_on", WRAP_END: "wrapper_on", TIPPED: "bale_on_wrapper",
}  # fmt: skip
"""Each phase's own signal; any other only lets infer it."""
_SOONER: Final = ("binding_on", "wrapper_on", "binding_m", "binding_turns", "wrap_turns")
UNKNOWN_US: Final = -(2**63)


@dataclass(frozen=True)
class Drawn:
    """One row on the working clock. at_us and the others: one for each phase; at_us None where
    not seen, earliest_us and latest_us then what the neighbours leave. since_us: when the bale
    before it left the chamber; until_us: when the one behind it came to the wrapper."""

    at_us: tuple[int | None, ...]
    earliest_us: tuple[int, ...]
    latest_us: tuple[int, ...]
    sure: tuple[Sureness, ...]
    by: tuple[str, ...]
    seq: int
    again: bool = False
    number: int | None = None
    tries: int = 0
    starts: int = 0
    wrapped: bool = False
    came: bool = False
    counted: bool = False
    since_us: int | None = None
    until_us: int | None = None

    @property
    def left_us(self) -> int | None:
        """When it left the chamber, as near as told."""
        return self.at_us[GATE_OPEN] or self.at_us[BIND_END]

    @property
    def has_chamber(self) -> bool:
        """Whether anything was seen of it in the chamber."""
        return any(each is not None for each in self.at_us[:ON_WRAPPER])

    def only_wrapper(self) -> Drawn:
        """Its part on the wrapper, as a further pass."""
        return replace(_beside(_NOTHING, self), again=True, tries=0)

    def with_chamber(self, chamber: Drawn) -> Drawn:
        """With another row's part in the chamber."""
        return replace(_beside(chamber, self), again=False, tries=chamber.tries)

    @property
    def arrived_us(self) -> int | None:
        """When it came to the wrapper, as near as told."""
        return self.at_us[ON_WRAPPER] or self.at_us[WRAP_START] or self.left_us

    @property
    def first_us(self) -> int | None:
        """The earliest that any of it may be, the filling since the bale before with it."""
        begins = [each for each in self.earliest_us if each != UNKNOWN_US]
        begins += [] if self.since_us is None else [self.since_us]
        return min(begins, default=None)


@dataclass(frozen=True)
class Step:
    """The counter showed `number` from `moment` on; one step for every bale counted."""

    number: int
    moment: Moment


def draw(draft: Draft, rules: CycleRules) -> Drawn:
    """The boundaries of one bale, or of one further pass."""
    marks: list[Moment | None] = [None] * len(PHASES)
    bale, wrap = draft.chamber, draft.wrap
    if bale is not None:
        _draw_chamber(bale, marks, rules)
    if wrap is not None:
        _draw_wrapper(wrap, draft, marks, rules)
    _drop_disordered(marks)
    told = [moment for moment in marks if moment is not None]
    place = marks[GATE_OPEN] or marks[BIND_END] or marks[TIPPED] or (told[0] if told else None)
    sure, earliest, latest = _judge(marks, rules)
    return Drawn(
        tuple(None if moment is None else moment.at_us for moment in marks),
        earliest,
        latest,
        sure,
        tuple("" if moment is None else f"{moment.signal} {moment.how}" for moment in marks),
        0 if place is None else place.seq,
        draft.again,
        tries=0
        if bale is None
        else _count(bale.bound, ("binding_on", "binding_m", "binding_turns")),
        starts=_count(draft.turns, ("wrapper_on", "wrap_turns", "film1_m", "film2_m")),
        wrapped=bool(draft.turns),
        came=wrap is not None,
    )


_NOTHING: Final = Drawn(
    (None,) * len(PHASES), (UNKNOWN_US,) * len(PHASES), (UNKNOWN_US,) * len(PHASES),
    (Sureness.NOT_SEEN,) * len(PHASES), ("",) * len(PHASES), 0,
)  # fmt: skip


def _beside(chamber: Drawn, wrapper: Drawn) -> Drawn:
    """The chamber's part of one row and the wrapper's of another."""
    return replace(
        wrapper,
        at_us=chamber.at_us[:ON_WRAPPER] + wrapper.at_us[ON_WRAPPER:],
        earliest_us=chamber.earliest_us[:ON_WRAPPER] + wrapper.earliest_us[ON_WRAPPER:],
        latest_us=chamber.latest_us[:ON_WRAPPER] + wrapper.latest_us[ON_WRAPPER:],
        sure=chamber.sure[:ON_WRAPPER] + wrapper.sure[ON_WRAPPER:],
        by=chamber.by[:ON_WRAPPER] + wrapper.by[ON_WRAPPER:],
    )


class Chain:
    """Rows told with their neighbours: each is held until the next bale is there."""

    def __init__(self) -> None:
        self.held: list[Drawn] = []
        self.left_us: int | None = None

    def take(self, rows: Iterable[Drawn], ended: bool = False) -> list[Drawn]:
        """Rows whose neighbours are known, in order. ended: nothing more will come."""
        out: list[Drawn] = []
        for row in rows:
            if row.again:
                self.held.append(row)
                continue
            out += [replace(each, until_us=row.arrived_us or row.left_us) for each in self.held]
            self.held = [replace(row, since_us=self.left_us)]
            self.left_us = row.left_us or self.left_us
        if ended:
            out += self.held
            self.held = []
        return out


def counted_only(step: Step, phase: int) -> Drawn:
    """A bale of which only the counter's step was seen: at `phase`, as near as that tells."""
    moment = step.moment
    nothing = [UNKNOWN_US] * len(PHASES)
    at: list[int | None] = [None] * len(PHASES)
    early, late = list(nothing), list(nothing)
    sure = [Sureness.NOT_SEEN] * len(PHASES)
    by = [""] * len(PHASES)
    at[phase], early[phase], late[phase] = moment.at_us, moment.earliest_us, moment.latest_us
    sure[phase], by[phase] = Sureness.INFERRED, f"{moment.signal} {moment.how}"
    return Drawn(
        tuple(at), tuple(early), tuple(late), tuple(sure), tuple(by), moment.seq,
        number=step.number, counted=True,
    )  # fmt: skip


def _count(runs: Iterable[Stretch], signals: tuple[str, ...]) -> int:
    """How often it was started, by the first of the signals that tells."""
    names = [run.signal for run in runs]
    return next((names.count(name) for name in signals if name in names), 0)


def _pick(moments: Mapping[str, Moment], own: str) -> Moment | None:
    return moments.get(own) or next(iter(moments.values()), None)


def _first(runs: Iterable[Stretch]) -> Moment | None:
    """When it first began, by the best signal that tells."""
    by_signal: dict[str, Moment] = {}
    for run in sorted(runs, key=lambda each: each.begin_us):
        if run.start is not None:
            by_signal.setdefault(run.signal, run.start)
    return next((by_signal[name] for name in (*_SOONER, *by_signal) if name in by_signal), None)


def _last(runs: Iterable[Stretch]) -> Moment | None:
    """When it last ended, by the best signal that tells."""
    by_signal: dict[str, Moment] = {}
    for run in sorted(runs, key=lambda each: each.end.at_us):
        by_signal[run.signal] = run.end
    return next((by_signal[name] for name in (*_SOONER, *by_signal) if name in by_signal), None)


def _draw_chamber(bale: ChamberBale, marks: list[Moment | None], rules: CycleRules) -> None:
    del rules
    marks[CLOSED] = _pick(bale.closed, OWN[CLOSED])
    marks[FULL] = _pick(bale.full, OWN[FULL])
    marks[BIND_START], marks[BIND_END] = _first(bale.bound), _last(bale.bound)
    marks[GATE_OPEN] = _pick(bale.opened, OWN[GATE_OPEN])


def _draw_wrapper(
    wrap: WrapBale, draft: Draft, marks: list[Moment | None], rules: CycleRules
) -> None:
    del rules
    marks[ON_WRAPPER] = None if draft.again else wrap.came
    marks[WRAP_START], marks[WRAP_END] = _first(draft.turns), _last(draft.turns)
    tip = wrap.tips[0] if wrap.tips else None
    if wrap.left is not None:
        marks[TIPPED] = wrap.left
    elif tip is not None:
        begin_us = tip.end.earliest_us if tip.start is None else tip.start.earliest_us
        middle_us = (tip.begin_us + tip.end.at_us) // 2
        marks[TIPPED] = Moment(
            middle_us, begin_us, tip.end.latest_us, tip.end.seq, "tip_on", "is on"
        )


def _drop_disordered(marks: list[Moment | None]) -> None:
    """A boundary that cannot stand before the one behind it belongs to no bale: not seen."""
    for station in (range(CLOSED, GATE_OPEN + 1), range(ON_WRAPPER, TIPPED + 1)):
        latest: Moment | None = None
        for phase in station:
            moment = marks[phase]
            if moment is None:
                continue
            if latest is not None and moment.latest_us < latest.earliest_us:
                marks[phase] = None
            else:
                latest = moment


def _judge(
    marks: list[Moment | None], rules: CycleRules
) -> tuple[tuple[Sureness, ...], tuple[int, ...], tuple[int, ...]]:
    sure, early, late = [], [], []
    for phase, moment in enumerate(marks):
        if moment is None:
            low, high = _between(marks, phase)
            early.append(low)
            late.append(high)
            sure.append(Sureness.NOT_SEEN)
            continue
        early.append(min(moment.earliest_us, moment.at_us))
        late.append(max(moment.latest_us, moment.at_us))
        near = moment.latest_us - moment.earliest_us <= rules.seen_us + rules.latency_us
        own = moment.signal == OWN[phase]
        seen = Sureness.SEEN if near else Sureness.BRACKETED
        sure.append(seen if own else Sureness.INFERRED)
    return tuple(sure), tuple(early), tuple(late)


def _between(marks: list[Moment | None], phase: int) -> tuple[int, int]:
    """What the neighbours leave for a phase not seen: the last before, the first behind."""
    before = [moment.earliest_us for moment in marks[:phase] if moment is not None]
    behind = [moment.latest_us for moment in marks[phase + 1 :] if moment is not None]
    return (before[-1] if before else UNKNOWN_US), (behind[0] if behind else UNKNOWN_US)
