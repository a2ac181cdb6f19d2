"""Readings of one thing bale by bale, with what was expected and what the sheet wants."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Final

import numpy as np

from balewright.findings.finding import Finding, FindingKind
from balewright.findings.measures.book import measures_of
from balewright.findings.measures.measure import Family
from balewright.findings.recorded import record_film
from balewright.findings.watch.evidence import MeasureHistory, history_of
from balewright.findings.watch.kind import NO_KIND, Kind
from balewright.findings.watch.state_bytes import kind_from_bytes
from balewright.findings.watch.watch import WatchedMachine
from balewright.flows.review_machine import MachineRecords
from balewright.flows.watch_bales import About
from balewright.pictures.readings import Floats, Readings
from balewright.plan.sheet.sheet import Sheet
from balewright.quantities.si import MICROSECONDS_PER_S
from balewright.records.bales import BaleTable
from balewright.records.columns import BY_NAME
from balewright.records.columns import Kind as ColumnKind

THINNEST: Final = "thinnest_layers"
"""Layers at the thinnest spot, counted from what was recorded."""
WAITED: Final = "full_to_wrapped_s"
"""Time from full to wrapped."""

_MEASURED: Final[Mapping[FindingKind, tuple[str, ...]]] = {
    FindingKind.LAYERS_SHORT: (THINNEST,),
    FindingKind.STRETCH_UNEQUAL: ("film_pair_ratio",),
    FindingKind.STRETCH_OFF: ("film_stretch_ratio", "film1_stretch_ratio"),
    FindingKind.BINDING_SHORT: ("binding_turns", "binding_girths_turns"),
    FindingKind.DENSITY_LOW: ("dry_kg_m3", "fresh_kg_m3"),
    FindingKind.WRAPPED_LATE: (WAITED,),
}
"""What shows a check against the plan best; else the first column it rests on."""


def readings_of_finding(records: MachineRecords, finding: Finding) -> Readings | None:
    """What shows this finding bale by bale; None where nothing of it is a number."""
    names = [finding.measure, *_MEASURED.get(finding.kind, ()), *finding.evidence]
    found = (readings_of(records, name) for name in names if name)
    shown = next((one for one in found if one is not None), None)
    if shown is None or shown.name != WAITED or finding.planned is None:
        return shown
    enough = np.full(shown.bales, finding.planned)
    return replace(shown, wanted_low=enough, wanted_high=enough)


def readings_of(records: MachineRecords, name: str) -> Readings | None:
    """A measure, a column of the bale table, or what is counted from it; None where unknown.

    Rows are the machine's bales in the order made, as everywhere in a review.
    """
    if name == THINNEST:
        return _thinnest(records)
    if name == WAITED:
        return _waited(records)
    history = history_of(records.bales, _watched(records.about), name)
    if history is not None:
        return _of_history(records, history)
    column = BY_NAME.get(name)
    if column is None or column.kind in (ColumnKind.TEXT, ColumnKind.TIME):
        return None
    bales = records.judged.watched.bales
    return _plain(records, name, bales.floats(name), _bands(records, name)) if bales.has(name) \
        else None  # fmt: skip


def measures_known(records: MachineRecords) -> tuple[str, ...]:
    """Keys of the measures that these records say something of, in the book's order."""
    bales = records.bales
    return tuple(
        one.key
        for one in measures_of(records.about.machine)
        if all(bales.has(name) for name in one.columns)
    )


def _watched(about: About) -> WatchedMachine:
    return WatchedMachine(
        about.serial, about.machine, about.sheets, about.events, _kind(about.kind)
    )


def _kind(body: bytes | None) -> Kind:
    """What was learnt of the kind; nothing where another version of the watch wrote it."""
    try:
        return NO_KIND if body is None else kind_from_bytes(body)
    except (ValueError, KeyError):
        return NO_KIND


def _of_history(records: MachineRecords, history: MeasureHistory) -> Readings:
    low, high = _bands(records, history.measure.key)
    return Readings(
        name=history.measure.key,
        is_rate=history.measure.family is Family.RATE,
        numbers=history.numbers,
        values=history.values,
        expected=history.expected,
        low=history.low,
        high=history.high,
        wanted_low=low,
        wanted_high=high,
        begins=history.begins,
        changes=history.changes,
        group=history.measure.group.value,
    )


def _thinnest(records: MachineRecords) -> Readings | None:
    about, bales = records.about, records.judged.watched.bales
    film = record_film(bales, about.machine, about.sheets, bales.rows)
    if not np.isfinite(film.thinnest).any():
        return None
    return _plain(records, THINNEST, film.thinnest, (film.wanted, film.wanted))


def _waited(records: MachineRecords) -> Readings | None:
    bales = records.judged.watched.bales
    if not (bales.has("full_at") and bales.has("wrap_end_at")):
        return None
    known = bales.mask("full_at") & bales.mask("wrap_end_at")
    took = np.where(known, bales.column("wrap_end_at") - bales.column("full_at"), 0)
    return _plain(records, WAITED, np.where(known, took / MICROSECONDS_PER_S, np.nan), None)


def _plain(
    records: MachineRecords, name: str, values: Floats, wanted: tuple[Floats, Floats] | None
) -> Readings:
    """Readings that nobody expected anything of, beside what the sheet wants."""
    bales = records.judged.watched.bales
    none = np.full(bales.rows, np.nan)
    low, high = wanted if wanted is not None else (none, none)
    jobs = bales.column("job") if bales.has("job") else np.full(bales.rows, "", dtype=object)
    begins = np.zeros(bales.rows, dtype=np.bool_)
    begins[1:] = jobs[1:] != jobs[:-1]
    number = np.where(bales.mask("bale_no"), bales.column("bale_no"), -1)
    return Readings(name, False, number, values, none, none, none, low, high, begins)


def _bands(records: MachineRecords, name: str) -> tuple[Floats, Floats]:
    """What the sheet in force wants of each bale."""
    bales = records.judged.watched.bales
    bands = {key: _band(sheet, name) for key, sheet in records.about.sheets.items()}
    if not any(bands.values()) or not bales.has("sheet"):
        none = np.full(bales.rows, np.nan)
        return none, none.copy()
    keys, place = np.unique(_texts(bales, "sheet"), return_inverse=True)
    ends = np.array([bands.get(str(key)) or (np.nan, np.nan) for key in keys])
    return ends[place, 0], ends[place, 1]


def _texts(bales: BaleTable, name: str) -> np.ndarray[tuple[int], np.dtype[np.str_]]:
    return np.where(bales.mask(name), bales.column(name), "").astype(np.str_)


def _band(sheet: Sheet, name: str) -> tuple[float, float] | None:
    expected: dict[str, Callable[[], tuple[float, float]]] = {
        "diameter_m": lambda: (sheet.expected.diameter_m.low, sheet.expected.diameter_m.high),
        "mass_kg": lambda: (sheet.expected.mass_kg.low, sheet.expected.mass_kg.high),
    }
    if name in expected:
        return expected[name]()
    line = sheet.line(name)
    return None if line is None or line.low is None or line.high is None else (line.low, line.high)
