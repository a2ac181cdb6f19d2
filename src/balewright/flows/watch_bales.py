"""Watch one machine's bales from where the watch stood, or from the last place that still holds."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Protocol

import numpy as np

from balewright import __version__
from balewright.findings.episode import identity_of
from balewright.findings.finding import Finding, FindingKind
from balewright.findings.judged import Judged
from balewright.findings.watch.kind import NO_KIND, learn_kind
from balewright.findings.watch.state import STATE_VERSION
from balewright.findings.watch.state_bytes import (
    kind_from_bytes,
    kind_to_bytes,
    state_from_bytes,
    state_to_bytes,
)
from balewright.findings.watch.watch import CHAPTER_BALES, WatchedMachine, watch
from balewright.plan.machine import Machine
from balewright.plan.sheet.sheet import Sheet
from balewright.records.bales import BaleTable
from balewright.records.columns import BY_NAME, Kind
from balewright.records.events import Event
from balewright.store.reviews import WatchState

KEPT_CHAPTERS: Final = 3
"""States are kept at so many chapters' ends beside the newest: a bale that comes in later than
those is watched again from the machine's first one."""
NAMELESS: Final = ("operator",)
"""Columns that the watch is never shown: its states are kept, and hold nothing of persons."""


@dataclass(frozen=True)
class About:
    """What is known of a machine beside its bales. sheets: by the key its bales name; kind: what
    was learnt of its kind, as it is kept, None while nothing is.
    """

    serial: str
    machine: Machine
    sheets: Mapping[str, Sheet]
    events: tuple[Event, ...] = ()
    kind: bytes | None = None


@dataclass(frozen=True)
class Step:
    """What one watch gave.

    findings: all of its charts' ever told, and of the others those of the chapters that new bales
    touched (of frozen sensors: those frozen at a new bale); body: the state to go on from, None
    where it has none; charts: how many judged something.
    """

    findings: tuple[Finding, ...]
    body: bytes | None
    charts: int


class Engine(Protocol):
    """Watches bales. version: of the state's form and of what is told; another one starts anew."""

    version: int

    def keep_from(self, body: bytes) -> int:
        """Ordinal of the first bale that must be handed in again with the next ones."""

    def watch(self, bales: BaleTable, about: About, past: bytes | None) -> Step:
        """Watch bales in order: all of them, or with `past` from `keep_from` of it on."""

    def learn(self, bodies: Iterable[bytes]) -> bytes | None:
        """What machines of one profile have in common, None where that is not told."""


class ChartEngine:
    """The checks against the plan and the charts of every measure (`findings.watch`)."""

    version = STATE_VERSION

    def keep_from(self, body: bytes) -> int:
        """As the state says."""
        return state_from_bytes(body).keep_from

    def watch(self, bales: BaleTable, about: About, past: bytes | None) -> Step:
        """Watch with the usual limits and what is known of the kind."""
        kind = NO_KIND if about.kind is None else kind_from_bytes(about.kind)
        machine = WatchedMachine(about.serial, about.machine, about.sheets, about.events, kind)
        seen = watch(bales, machine, None if past is None else state_from_bytes(past))
        return Step(seen.findings, state_to_bytes(seen.state), seen.charts)

    def learn(self, bodies: Iterable[bytes]) -> bytes | None:
        """Levels, spreads, rates and slopes of the kind."""
        return kind_to_bytes(learn_kind(map(state_from_bytes, bodies)))


@dataclass(frozen=True)
class Looked:
    """What a watch over a machine gave: every finding that stands, the states to keep, how many
    charts judged something, and the row from which on it judged anew.
    """

    findings: tuple[Finding, ...]
    states: tuple[WatchState, ...]
    charts: int
    first_new: int


def watch_bales(
    engine: Engine,
    about: About,
    judged: Judged,
    kept: Sequence[WatchState],
    before: Sequence[Finding],
) -> Looked:
    """Watch a machine's bales; only those behind the newest state that still holds cost anything.

    judged: all its bales, in order; kept: states of earlier reviews; before: findings of the last
    one. A state holds while the bales it has seen, and what was known beside them, are unchanged.
    """
    bales = _nameless(judged.watched.bales)
    states = [one for one in kept if _holds(one, engine, about, judged)]
    newest = max(states, key=lambda one: one.bales, default=None)
    done, body = (0, None) if newest is None else (newest.bales, newest.body)
    by_chapter = [one for one in before if done and _was_told_before(one, done, judged)]
    step = Step((), body, 0)
    first_new = done
    for end in _stops(done, bales.rows):
        first = 0 if body is None else engine.keep_from(body)
        step = engine.watch(bales.take(np.arange(first, end)), about, body)
        by_chapter = _in_place(by_chapter, step.findings)
        if step.body is None:
            continue
        body = step.body
        mark, beside = _marks(engine, about, judged, end)
        until_us = judged.us_at(end - 1)
        state = WatchState(about.serial, end, until_us, engine.version, mark, beside, body)
        states.append(state)
    charts = [one for one in step.findings if is_ever_told(one)]
    return Looked((*by_chapter, *charts), _worth_keeping(states), step.charts, first_new)


def is_ever_told(finding: Finding) -> bool:
    """Whether the watch tells it again at each step, however long ago it was."""
    return finding.chance_frac is not None and finding.kind is not FindingKind.SENSOR_FROZEN


def _was_told_before(finding: Finding, done: int, judged: Judged) -> bool:
    """Whether the step behind `done` bales leaves out what an earlier one told."""
    if is_ever_told(finding):
        return False
    is_by_bale = finding.kind is FindingKind.SENSOR_FROZEN
    limit = done if is_by_bale else done // CHAPTER_BALES * CHAPTER_BALES
    place = judged.place_of(finding.until_us, finding.until_bale)
    return place is not None and place < limit


def _in_place(before: Sequence[Finding], step: Sequence[Finding]) -> list[Finding]:
    """What earlier steps told, and in the place of what began at the same bale, what this one
    tells of it."""

    def began(one: Finding) -> tuple[object, ...]:
        return (*identity_of(one), one.since_bale, one.since_us, one.evidence[:1])

    new = [one for one in step if not is_ever_told(one)]
    told = {began(one) for one in new}
    return [*(one for one in before if began(one) not in told), *dict.fromkeys(new)]


def mark_of(engine: Engine, about: About, judged: Judged) -> str:
    """A mark of everything a review is made of: another one means that something changed."""
    bales, beside = _marks(engine, about, judged, judged.bales)
    later = _hash(repr(event) for event in about.events)
    return _hash((bales, beside, later, str(judged.bales)))


def _stops(done: int, rows: int) -> list[int]:
    """Where to keep a state: at the last chapters' ends, and at the end."""
    last = rows // CHAPTER_BALES
    ends = [n * CHAPTER_BALES for n in range(max(last - KEPT_CHAPTERS + 1, 1), last + 1)]
    return [*(end for end in ends if done < end < rows), rows]


def _worth_keeping(states: Sequence[WatchState]) -> tuple[WatchState, ...]:
    by_bales = {one.bales: one for one in states}
    newest = max(by_bales, default=0)
    ends = sorted(n for n in by_bales if n % CHAPTER_BALES == 0 and n != newest)
    kept = [*ends[-KEPT_CHAPTERS:], *([newest] if newest in by_bales else [])]
    return tuple(by_bales[n] for n in kept)


def _holds(state: WatchState, engine: Engine, about: About, judged: Judged) -> bool:
    if state.version != engine.version or state.bales > judged.bales:
        return False
    return (state.mark, state.about) == _marks(engine, about, judged, state.bales)


def _marks(engine: Engine, about: About, judged: Judged, bales: int) -> tuple[str, str]:
    """Hashes of the first bales, and of what else could have spoken of them.

    What was learnt of the kind is left out: it lends a machine its first numbers, and does not
    change what was told of bales long ago.
    """
    table = judged.watched.bales
    until_us = judged.us_at(bales - 1) if bales else None
    named = set(table.column("sheet")[:bales][table.mask("sheet")[:bales]].tolist())
    known = sorted(named & set(about.sheets))
    past = [
        repr(one)
        for one in about.events
        if one.at_us is None or until_us is None or one.at_us <= until_us
    ]
    words = (about.serial, repr(about.machine), __version__, str(engine.version), *known, *past)
    return _hash_bales(table, bales), _hash(words)


def _hash(words: Iterable[str]) -> str:
    told = hashlib.sha256()
    for word in words:
        told.update(word.encode("utf-8", "surrogatepass") + b"\x1e")
    return told.hexdigest()


def _hash_bales(table: BaleTable, bales: int) -> str:
    """A hash of the first bales' values; what is unknown is alike, whatever stands there."""
    told = hashlib.sha256()
    for name in sorted(name for name in table.values if table.known[name][:bales].any()):
        mask, values = table.known[name][:bales], table.values[name][:bales]
        told.update(name.encode() + b"\x1e" + np.packbits(mask).tobytes())
        if BY_NAME[name].kind is Kind.TEXT:
            told.update("\x1f".join(values[mask]).encode("utf-8", "surrogatepass"))
        else:
            told.update(np.ascontiguousarray(values[mask]).tobytes())
    return told.hexdigest()


def _nameless(bales: BaleTable) -> BaleTable:
    values = {name: one for name, one in bales.values.items() if name not in NAMELESS}
    known = {name: one for name, one in bales.known.items() if name not in NAMELESS}
    return BaleTable(bales.rows, values, known)
