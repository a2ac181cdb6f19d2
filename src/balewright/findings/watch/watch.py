"""Watch one machine: physics by chapters, and every measure's charts; new bales cost only
themselves."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Final

import numpy as np

from balewright.findings.chapters import LEAD_IN, find_in_watched
from balewright.findings.finding import Finding, FindingKind
from balewright.findings.measures.book import EXPLAINS, is_recorded, measures_of, sensors_of
from balewright.findings.measures.cartridge import find_cartridges
from balewright.findings.measures.frozen import find_frozen
from balewright.findings.measures.inputs import LOOKS_BACK
from balewright.findings.measures.measure import Family, Group, Measure
from balewright.findings.measures.rates import code_measures, code_of
from balewright.findings.measures.scale_end import find_scale_ends
from balewright.findings.measures.settings_moved import ODD, STAYS, find_settings_moved
from balewright.findings.planned import plan_of
from balewright.findings.watch.chances import jobs_limit, level_limits, rate_limits, restless_limit
from balewright.findings.watch.kind import NO_KIND, Kind
from balewright.findings.watch.level import LevelState, begin_level, usual_of, watch_level
from balewright.findings.watch.limits import USUAL_LIMITS, Limits
from balewright.findings.watch.rate import RateState, begin_rate, usual_rate_of, watch_rate
from balewright.findings.watch.restless import RestlessState, begin_restless, watch_restless
from balewright.findings.watch.series import Background, Series, look_at, series_of, since_first
from balewright.findings.watch.start import WINDOW_BALES
from balewright.findings.watch.state import MachineState, Mark
from balewright.findings.watch.tell import tell_all
from balewright.findings.watched import Bools, Watched, watch_machine
from balewright.plan.machine import Machine
from balewright.plan.sheet.sheet import Sheet
from balewright.records.bales import BaleTable
from balewright.records.events import Event

CHAPTER_BALES: Final = 1_000
MOST_CODES: Final = 60
"""Codes of a machine that are watched each by itself, in the order in which they came."""


@dataclass(frozen=True)
class WatchedMachine:
    """What is known beside the bales: profile, sheets by key, events, its kind, the limits."""

    serial: str
    machine: Machine
    sheets: Mapping[str, Sheet]
    events: tuple[Event, ...] = ()
    kind: Kind = NO_KIND
    limits: Limits = USUAL_LIMITS


@dataclass(frozen=True, eq=False)
class Watch:
    """findings: of the charts all that were ever told, of physics those of the chapters that new
    bales touched; state: to go on from; charts: how many charts judged something.
    """

    findings: tuple[Finding, ...]
    state: MachineState
    charts: int


def watch(bales: BaleTable, about: WatchedMachine, past: MachineState | None = None) -> Watch:
    """Watch a machine's bales.

    bales: of one machine, in any order, all from the bale with ordinal `past.keep_from` on; past:
    what the watch of the bales before gave, None at the beginning. Bales that were watched already
    are only looked back at. A bale that comes in late needs a state from before it.
    """
    state = past if past is not None else MachineState()
    watched = watch_machine(
        about.serial, about.machine, bales, plan_of(about.sheets, about.machine)
    )
    first, rows = state.judged - state.keep_from, watched.bales.rows
    if first > rows:
        raise ValueError(f"{rows} bales handed in, {first} of them were watched already")
    background = look_at(watched, EXPLAINS, about.events)
    measures = measures_of(about.machine)
    new = _watch_measures(background, measures, about, state)
    ordinal = state.keep_from
    judged = ordinal + rows
    marks = _marks(watched, ordinal, new)
    state = replace(new, judged=judged, keep_from=_keep_from(judged), marks=MappingProxyType(marks))
    frozen, repeats = find_frozen(_rows(watched, first, rows), state.repeats)
    counted = find_cartridges(watched, about.events)
    physics = (*_physics(watched, ordinal, first, state), *frozen, *counted)
    silent = tuple(one for one in physics if one.kind is FindingKind.NOT_WATCHED)
    state = replace(state, silent=silent, repeats=MappingProxyType(repeats))
    codes = code_measures(filter(None, map(code_of, state.rates)))
    told = tell_all(about.serial, (*measures, *codes), state, about.limits)
    charts = len(state.levels) + len(state.rates) + len(state.restless)
    return Watch((*physics, *told), state, charts)


def _keep_from(judged: int) -> int:
    chapter = judged // CHAPTER_BALES * CHAPTER_BALES
    return max(min(chapter - LEAD_IN, judged - WINDOW_BALES - LOOKS_BACK), 0)


def _watch_measures(
    background: Background,
    measures: tuple[Measure, ...],
    about: WatchedMachine,
    state: MachineState,
) -> MachineState:
    """Every chart gone on over the new bales. A column that is not there costs nothing."""
    levels, rates = dict(state.levels), dict(state.rates)
    first, bales = state.judged - state.keep_from, background.watched.bales
    for measure in measures:
        if not is_recorded(measure, bales):
            continue
        series = series_of(measure, background)
        if not np.isfinite(series.values[first:]).any():
            continue
        if measure.family is Family.LEVEL:
            levels[measure.key] = _level(series, about, state)
        else:
            rates[measure.key] = _rate(series, about, state)
    rates |= _codes(background, about, state)
    return replace(
        state,
        levels=MappingProxyType(levels),
        rates=MappingProxyType(rates),
        restless=MappingProxyType(_restless(background, about, state)),
    )


def _codes(
    background: Background, about: WatchedMachine, state: MachineState
) -> dict[str, RateState]:
    """Every code by itself, from the first bale on that showed it."""
    first, bales = state.judged - state.keep_from, background.watched.bales
    known = {key for key in state.rates if code_of(key) is not None}
    new: dict[str, None] = {}
    if bales.has("codes"):
        rows = first + np.flatnonzero(bales.mask("codes")[first:])
        for text in bales.column("codes")[rows]:
            new |= dict.fromkeys(sorted(set(str(text).split())))
    wanted = [one for one in new if code_measures([one])[0].key not in known]
    told = {}
    codes = (*(code_of(key) or "" for key in known), *wanted[: max(MOST_CODES - len(known), 0)])
    for measure in code_measures(codes):
        series = series_of(measure, background)
        if measure.key not in known:
            series = since_first(series, first)
        if np.isfinite(series.values[first:]).any():
            told[measure.key] = _rate(series, about, state)
    return told


def level_terms(
    measure: Measure, about: WatchedMachine
) -> tuple[LevelState, tuple[tuple[float, float, float], int]]:
    """Where the watch of a level begins, and its limits with the bales that are learnt from."""
    usual, limits = about.kind.levels.get(measure.key), about.limits
    learning = limits.learning_bales if usual is None else limits.known_bales
    begun = begin_level(usual if usual is not None else usual_of(measure))
    asked = (*level_limits(limits.notice_bales), jobs_limit(limits.told_bales))
    return begun, (asked, learning)


def rate_terms(
    measure: Measure, about: WatchedMachine
) -> tuple[RateState, tuple[tuple[float, float], int]]:
    """The same of a rate."""
    usual, limits = about.kind.rates.get(measure.key), about.limits
    learning = limits.learning_bales if usual is not None else 3 * limits.learning_bales
    begun = begin_rate(usual if usual is not None else usual_rate_of(measure))
    return begun, (rate_limits(limits.notice_bales), learning)


def _level(series: Series, about: WatchedMachine, state: MachineState) -> LevelState:
    begun, limits = level_terms(series.measure, about)
    places = state.judged - state.keep_from, state.keep_from
    return watch_level(series, places, state.levels.get(series.measure.key, begun), limits)


def _rate(series: Series, about: WatchedMachine, state: MachineState) -> RateState:
    begun, limits = rate_terms(series.measure, about)
    first = state.judged - state.keep_from
    kept = state.rates.get(series.measure.key, begun)
    return watch_rate(series, first, state.keep_from, kept, limits)


def _restless(
    background: Background, about: WatchedMachine, state: MachineState
) -> dict[str, RestlessState]:
    """Sensors gone on."""
    watched, told = background.watched, dict(state.restless)
    jobs = background.groups[Group.JOB]
    places = state.judged - state.keep_from, state.keep_from
    for column in sensors_of(about.machine):
        values = np.where(watched.whole, watched.floats(column), np.nan)
        if not np.isfinite(values[places[0] :]).any():
            continue
        begun = told.get(column, begin_restless())
        told[column] = watch_restless(values, jobs, places, begun, restless_limit(about.limits))
    return told


def _marks(watched: Watched, ordinal: int, state: MachineState) -> dict[int, Mark]:
    """The bales that anything was told of, and the last one; old marks stay."""
    wanted = {ordinal + watched.bales.rows - 1}
    for level in state.levels.values():
        for alarm in level.alarms:
            wanted |= {
                alarm.first,
                alarm.since,
                alarm.since - 1,
                alarm.last,
                alarm.at,
                alarm.at - 1,
            }
        for shift in level.by_jobs.shifts:
            wanted |= {shift.first, shift.since, shift.since - 1, shift.last, shift.at}
            wanted |= {shift.at - 1, shift.until, shift.until - 1}
        wanted |= {level.anew, level.anew - 1}
    for rate in state.rates.values():
        for rise in rate.rises:
            wanted |= {rise.first, rise.since, rise.last, rise.at}
            wanted |= set() if rise.over is None else {rise.over, rise.over - 1}
    for sensor in state.restless.values():
        for told in sensor.told:
            wanted |= {told.first, told.since, told.last, told.at}
            wanted |= set() if told.over is None else {told.over, told.over - 1}
    marks = {at: mark for at, mark in state.marks.items() if at in wanted}
    for at in wanted:
        row = at - ordinal
        if at not in marks and 0 <= row < watched.bales.rows:
            marks[at] = _mark(watched, row)
    return marks


def _mark(watched: Watched, row: int) -> Mark:
    made_us = int(watched.made_us[row]) if watched.timed[row] else None
    return Mark(watched.bales.cell(row, "bale_no"), made_us, watched.bales.cell(row, "sheet"))


def _physics(watched: Watched, ordinal: int, first: int, state: MachineState) -> Iterator[Finding]:
    """Findings by the sheet, by geometry and by counting, of every chapter with new bales."""
    rows = watched.bales.rows
    begin = (ordinal + first) // CHAPTER_BALES * CHAPTER_BALES
    before = state.silent
    for chapter in range(begin, ordinal + rows, CHAPTER_BALES):
        low, high = chapter - ordinal, min(chapter + CHAPTER_BALES - ordinal, rows)
        part = _rows(watched, max(low - LEAD_IN, 0), high)
        own: Bools = np.arange(part.bales.rows) >= low - max(low - LEAD_IN, 0)
        found = find_in_watched(part, own, before)
        before = tuple(one for one in found if one.kind is FindingKind.NOT_WATCHED)
        yield from found
        yield from _settings(part, int(np.argmax(own)))
        yield from find_scale_ends(part, own)


def _settings(part: Watched, first_own: int) -> Iterator[Finding]:
    """Settings that moved at a bale of the chapter, or so shortly before that it could not say."""
    first = max(first_own - STAYS - ODD, 0)
    since_us = int(part.made_us[first]) if part.timed[first] else None
    number = part.bales.cell(first, "bale_no")
    for one in find_settings_moved(part):
        if one.since_us is not None and since_us is not None:
            is_own = one.since_us >= since_us
        else:
            is_own = number is None or one.since_bale is None or one.since_bale >= number
        if is_own:
            yield one


def _rows(watched: Watched, low: int, high: int) -> Watched:
    """A stretch of a machine's bales, in order."""
    rows = np.arange(low, high)
    return replace(
        watched,
        bales=watched.bales.take(rows),
        made_us=watched.made_us[low:high],
        timed=watched.timed[low:high],
    )
