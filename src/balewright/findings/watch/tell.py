"""What was told of a measure, put as findings in the trade's units."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from balewright.findings.finding import Finding, FindingKind, Start, Weight
from balewright.findings.measures.measure import Measure
from balewright.findings.measures.telling import Moved, restless_words, words_of
from balewright.findings.watch.chances import certain_frac, is_told
from balewright.findings.watch.honest import (
    chance_of_rise,
    honest_chance,
    seen_of_rise,
)
from balewright.findings.watch.limits import Limits
from balewright.findings.watch.rate import Rise
from balewright.findings.watch.restless import Restless
from balewright.findings.watch.spans import Change, changes_of
from balewright.findings.watch.start import CONFIDENCE
from balewright.findings.watch.state import MachineState, Mark
from balewright.quantities.interval import Interval
from balewright.quantities.reason import Reason

LEAST_SPREADS = 0.6
"""A change smaller than what matters is still told, as a note, where it is so many bale spreads."""
RESTLESS_FAULT_FRAC = 0.8
_NOBODY = Mark(None, None, None)


def tell_all(
    serial: str,
    measures: tuple[Measure, ...],
    state: MachineState,
    limits: Limits,
) -> tuple[Finding, ...]:
    """Every finding of a machine's charts, those that are over too.

    What a machine in order would show too often waits. Of measures of one matter that moved
    together only the surest is told; one that yields, only where no other moved.
    """
    found: list[_Told] = []
    for measure in measures:
        if measure.key in state.levels:
            for change in changes_of(state.levels[measure.key]):
                chance = change.chance_frac
                if not is_told(chance, change.judged, limits):
                    continue
                honest = honest_chance(chance, change.by_jobs)
                finding = _tell_change(serial, measure, change, state, honest)
                found += [_Told(measure, change.first, change.told, chance, one) for one in finding]
        if measure.key in state.rates:
            for rise in state.rates[measure.key].rises:
                chance = chance_of_rise(rise, state.rates[measure.key])
                if not is_told(chance, rise.judged, limits):
                    continue
                honest = honest_chance(chance)
                finding = _tell_rise(serial, measure, rise, state, honest)
                found += [_Told(measure, rise.since, rise.at, chance, one) for one in finding]
    told = [one.finding for one in found if not any(other.outdoes(one) for other in found)]
    for column, sensor in sorted(state.restless.items()):
        told += [_tell_restless(serial, column, one, state) for one in sensor.told]
    return tuple(told)


@dataclass(frozen=True)
class _Told:
    """A finding with its measure and the ordinals of the bales at which it may have begun, and of
    the one that told; chance_frac: by the chart's model.
    """

    measure: Measure
    first: int
    told: int
    chance_frac: float
    finding: Finding

    def outdoes(self, other: _Told) -> bool:
        """Whether it is the surer, or the more exact, telling of the same matter at the same
        time."""
        matter = self.measure.matter
        if self is other or not matter or matter != other.measure.matter:
            return False
        if self.first > other.told or other.first > self.told:
            return False
        return _rank(self) < _rank(other)


def _rank(one: _Told) -> tuple[bool, float, str]:
    return one.measure.yields, one.chance_frac, one.measure.key


def _tell_change(
    serial: str, measure: Measure, change: Change, state: MachineState, chance: float
) -> Iterator[Finding]:
    weight = measure.up if change.moved > 0 else measure.down
    least = min(measure.floor, LEAST_SPREADS * change.spread)
    if weight is None or abs(change.moved) < (least if measure.tells_small else measure.floor):
        return
    if abs(change.moved) < measure.floor:
        weight = Weight.NOTE
    was, now, moved = _in_unit(measure, change)
    sure_frac = certain_frac(chance, measure.fault_frac)
    since = _since(change.first, change.since, change.last, state)
    words = words_of(measure, Moved(was, now, since, sure_frac, change.grows))
    yield replace(
        _bare(serial, (change.since, change.until), state, (measure.kind, weight, words)),
        looked_at=change.judged,
        planned=was,
        seen=now,
        unit=measure.unit,
        evidence=measure.columns,
        measure=measure.key,
        part=measure.part,
        start=_start(change.first, change.last, state),
        moved=moved,
        certain_frac=sure_frac,
        chance_frac=chance,
        adjusted_for=measure.explained_by,
    )  # fmt: skip


def _in_unit(measure: Measure, change: Change) -> tuple[float, Interval, Interval]:
    """The level before, now, and the difference, in the measure's unit."""
    half = 1.96 * change.moved_spread
    ends = change.moved - half, change.moved, change.moved + half
    if measure.is_log:
        was = math.exp(change.before)
        low, best, high = (was * math.exp(min(max(one, -5.0), 5.0)) for one in ends)
    else:
        was = change.before
        low, best, high = (was + one for one in ends)
    return was, Interval(low, best, high, 0.95), Interval(low - was, best - was, high - was, 0.95)


def _tell_rise(
    serial: str, measure: Measure, rise: Rise, state: MachineState, chance: float
) -> Iterator[Finding]:
    if measure.up is None:
        return
    events, expected = seen_of_rise(rise, state.rates[measure.key])
    bales = max(expected / max(rise.before, 1e-9), rise.bales)
    now = _rate_interval(events, bales)
    seen = Interval(100.0 * now.low, 100.0 * now.best, 100.0 * now.high, 0.95)
    before = 100.0 * rise.before
    moved = Interval(seen.low - before, seen.best - before, seen.high - before, 0.95)
    sure_frac = certain_frac(chance, measure.fault_frac)
    since = _since(rise.first, rise.since, rise.last, state)
    words = words_of(measure, Moved(before, seen, since, sure_frac))
    yield replace(
        _bare(serial, (rise.since, rise.over), state, (measure.kind, measure.up, words)),
        looked_at=rise.judged,
        planned=100.0 * rise.before,
        seen=seen,
        unit="a hundred bales",
        evidence=measure.columns,
        measure=measure.key,
        part=measure.part,
        start=_start(rise.first, rise.last, state),
        moved=moved,
        certain_frac=sure_frac,
        chance_frac=chance,
        adjusted_for=measure.explained_by,
    )  # fmt: skip


def _rate_interval(events: float, bales: float) -> Interval:
    """Events a bale with the 95 % interval of a Poisson count (Wilson-Hilferty)."""
    low = 0.0
    if events > 0:
        low = events * (1 - 1 / (9 * events) - 1.96 / (3 * math.sqrt(events))) ** 3
    more = events + 1.0
    high = more * (1 - 1 / (9 * more) + 1.96 / (3 * math.sqrt(more))) ** 3
    return Interval(min(max(low, 0.0), events) / bales, events / bales, high / bales, 0.95)


def _tell_restless(serial: str, column: str, told: Restless, state: MachineState) -> Finding:
    chance = -math.expm1(-max(told.judged, 1) * math.exp(-min(told.statistic - 2.0, 600.0)))
    chance = honest_chance(chance)
    sure_frac = certain_frac(chance, RESTLESS_FAULT_FRAC)
    since = _since(told.first, told.since, told.last, state)
    what = FindingKind.SENSOR_RESTLESS, Weight.NOTE, restless_words(column, since, sure_frac)
    return replace(
        _bare(serial, (told.since, told.over), state, what),
        looked_at=told.judged,
        evidence=(column,),
        measure=column,
        part="sensor",
        start=_start(told.first, told.last, state),
        certain_frac=sure_frac,
        chance_frac=chance,
    )  # fmt: skip


def _bare(
    serial: str,
    span: tuple[int, int | None],
    state: MachineState,
    what: tuple[FindingKind, Weight, Reason],
) -> Finding:
    """A finding that says only what and which bales: since one ordinal, until before another
    (None: it lasts).
    """
    since, until = span
    begun = state.marks.get(since, _NOBODY)
    last = state.judged - 1 if until is None else max(until - 1, since)
    ended = state.marks.get(last, state.marks.get(last + 1, _NOBODY))
    return Finding(
        machine=serial,
        kind=what[0],
        weight=what[1],
        since_bale=begun.bale_no,
        until_bale=ended.bale_no,
        since_us=begun.made_us,
        bales=max(last - since + 1, 1),
        looked_at=0,
        planned=None,
        seen=None,
        unit="",
        evidence=(),
        sheet=begun.sheet,
        words=what[2],
        until_us=ended.made_us,
    )


def _start(first: int, last: int, state: MachineState) -> Start:
    one, other = state.marks.get(first, _NOBODY), state.marks.get(last, _NOBODY)
    return Start(one.bale_no, other.bale_no, one.made_us, other.made_us, CONFIDENCE)


def _since(first: int, since: int, last: int, state: MachineState) -> dict[str, str | int]:
    names = ("first_bale", "since_bale", "last_bale")
    told = {}
    for name, at in zip(names, (first, since, last), strict=True):
        number = state.marks.get(at, _NOBODY).bale_no
        told[name] = "(no number)" if number is None else number
    return told
