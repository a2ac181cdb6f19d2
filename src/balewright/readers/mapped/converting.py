"""One raw column -> one column of the bale table: values, what is known, what failed and why."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from balewright.readers.cells import outside
from balewright.readers.mapped.clocks import read_moments
from balewright.readers.mapped.moments import Moments
from balewright.readers.mapped.numbers import Numbers, Writing, read_numbers
from balewright.readers.mapped.raw import RawColumn
from balewright.readers.mapped.units import UNITS, convert, own_unit
from balewright.readers.mapped.words import read_texts
from balewright.readers.mapped.zones import Series, Zoned, settle_twice, to_utc, zone_of
from balewright.readers.times import moment_is_believable
from balewright.records.bales import Values
from balewright.records.column_map import ColumnMap, MappedColumn, Twice
from balewright.records.columns import BY_NAME, Kind

Explain = Callable[[int, str], str]
"""(row, what stands there) -> what was needed and the cure."""


@dataclass(frozen=True)
class Converted:
    """One column of the bale table. twice: rows whose clock came twice and was settled."""

    target: str
    heading: str
    place: int
    values: Values
    known: NDArray[np.bool_]
    failed: NDArray[np.bool_]
    explain: Explain
    twice: NDArray[np.bool_] | None = None


@dataclass
class Memory:
    """What is carried from block to block: the last time of each machine, by target."""

    last_us: dict[str, dict[str, int]] = field(default_factory=dict)


def writing_of(column_map: ColumnMap) -> Writing:
    """How numbers are written in the map's tables."""
    unknown = tuple(word.strip().lower() for word in column_map.unknown)
    return Writing(column_map.decimal, column_map.thousands, unknown)


def convert_values(column: MappedColumn, raw: RawColumn, column_map: ColumnMap) -> Converted:
    """A column of texts or numbers."""
    target = BY_NAME[column.target]
    writing = writing_of(column_map)
    if target.kind is Kind.TEXT:
        texts = read_texts(raw, target, column.words, writing.unknown)
        need = ", ".join(target.choices)
        said = f"needs one of {need}, or a word that the map knows. Add the word to the map."
        return _converted(column, texts.values, texts.known, texts.failed, lambda *_: said)
    signs = (
        UNITS[column.unit or own_unit(column.target) or ""].signs if own_unit(column.target) else ()
    )
    numbers = read_numbers(raw, writing, signs)
    held = convert(column.target, column.unit, numbers.values)
    far = numbers.known & outside(target, held)
    good = numbers.known & ~far
    kind = np.float64 if target.kind is Kind.FLOAT else np.int64
    values = np.where(good, held, 0).astype(kind)
    explain = _explain_number(column, writing, numbers, held)
    return _converted(column, values, good, numbers.failed | far, explain)


def _explain_number(
    column: MappedColumn, writing: Writing, numbers: Numbers, held: NDArray[np.float64]
) -> Explain:
    target = BY_NAME[column.target]
    unit = column.unit or own_unit(column.target) or ""
    own = own_unit(column.target) or ""
    kind = "a whole number" if target.kind is Kind.INT else "a number"

    def explain(row: int, _: str) -> str:
        if numbers.failed[row]:
            said = f" in {unit}" if unit else ""
            return f"needs {kind}{said} with {writing.said}. Check the map, or mend the cell."
        limits = f"from {target.low:.12g} to {target.high:.12g}"
        became = f"{held[row]:.6g} {own}".strip()
        return f"needs {kind} {limits}, is {became} by the map. Check the unit in the map."

    return explain


def _converted(
    column: MappedColumn,
    values: Values,
    known: NDArray[np.bool_],
    failed: NDArray[np.bool_],
    explain: Explain,
) -> Converted:
    return Converted(column.target, column.heading, column.place, values, known, failed, explain)


@dataclass(frozen=True)
class ClockCells:
    """The columns of one time: the whole of it, or its time of day with its date beside."""

    column: MappedColumn
    raw: RawColumn
    date: RawColumn | None = None


@dataclass(frozen=True)
class Where:
    """Where the rows of a block were made: machines and zones, "" where nobody knows them."""

    series: Series
    zones: Series


def convert_times(
    cells: ClockCells, column_map: ColumnMap, where: Where, memory: Memory
) -> Converted:
    """A column of times, in UTC microseconds."""
    writing, order = writing_of(column_map), column_map.day_order
    moments = read_moments(cells.raw, cells.column.unit, order, writing)
    if cells.date is not None:
        moments = _join(read_moments(cells.date, "date", order, writing), moments)
    zoned, no_zone = _zoned(moments, where.zones)
    before = memory.last_us.setdefault(cells.column.target, {})
    local = moments.known & ~moments.is_utc
    at_us = moments.local_us.copy()
    at_us[local] = settle_twice(
        _some(zoned, local), column_map.twice, where.series.take(local), before
    )
    gap = zoned.is_gap & local
    twice = zoned.is_twice & local & ~no_zone
    refused = twice & (column_map.twice is Twice.REFUSE)
    known = moments.known & ~gap & ~refused & ~no_zone
    far = known & ~moment_is_believable(at_us)
    good = known & ~far

    def explain(row: int, _: str) -> str:
        zone = where.zones.names[where.zones.codes[row]]
        if no_zone[row]:
            return f"needs a zone, the row has {zone!r}. {_zone_cure(zone)}"
        if gap[row]:
            return f"needs a time that was: in {zone} clocks went forward over it. Check the zone."
        if refused[row]:
            return (
                f"needs one moment: in {zone} clocks went back and showed it twice. "
                "Give the map a rule for clocks that come twice, or export with offsets."
            )
        if far[row]:
            return "needs a time in the years 1970 to 2099. Check the order of day and month."
        return _time_need(cells, order)

    return Converted(
        cells.column.target,
        cells.column.heading,
        cells.column.place,
        np.where(good, at_us, 0),
        good,
        moments.failed | gap | refused | far | (no_zone & moments.known),
        explain,
        twice & good,
    )


def _time_need(cells: ClockCells, order: str) -> str:
    unit = cells.column.unit
    if unit in ("epoch_s", "epoch_ms", "serial"):
        what = {"epoch_s": "seconds since 1970", "epoch_ms": "milliseconds since 1970"}
        return f"needs {what.get(unit, 'days as a spreadsheet counts them')}. Check the map."
    day = {"dmy": "day.month.year", "mdy": "month/day/year"}.get(order, "year-month-day")
    if cells.date is not None:
        return f"needs a date ({day}) and a time of day in two columns. Check the map."
    return f"needs a date ({day} or year-month-day) with a time of day. Check the map."


def _zone_cure(zone: str) -> str:
    if zone == "":
        return "Enter the machine with its zone, or give the map a zone."
    return "Write a name such as Europe/Berlin or an offset such as +02:00."


def _join(date: Moments, clock: Moments) -> Moments:
    """A date and a time of day; both or neither are known."""
    known = date.known & clock.known
    half = (date.known != clock.known) & ~date.failed & ~clock.failed
    # A date beside a clock that was never set is no fault: the phase did not happen.
    lonely = half & clock.known
    return Moments(
        np.where(known, date.local_us + clock.local_us, 0),
        np.zeros(len(known), dtype=np.bool_),
        known,
        clock.failed | lonely | (date.failed & clock.known),
    )


def _zoned(moments: Moments, zones: Series) -> tuple[Zoned, NDArray[np.bool_]]:
    """Local times by the zone of their row; and where there is none."""
    rows = len(moments.known)
    zoned = Zoned(
        moments.local_us.copy(),
        moments.local_us.copy(),
        np.zeros(rows, dtype=np.bool_),
        np.zeros(rows, dtype=np.bool_),
    )
    no_zone = np.zeros(rows, dtype=np.bool_)
    local = moments.known & ~moments.is_utc
    for code, name in enumerate(zones.names):
        here = np.flatnonzero(local & (zones.codes == code))
        zone = zone_of(name) if name else None
        if zone is None:
            no_zone[here] = True
            continue
        part = to_utc(moments.local_us[here], zone)
        zoned.first_us[here], zoned.second_us[here] = part.first_us, part.second_us
        zoned.is_gap[here], zoned.is_twice[here] = part.is_gap, part.is_twice
    return zoned, no_zone


def _some(zoned: Zoned, rows: NDArray[np.bool_]) -> Zoned:
    return Zoned(
        zoned.first_us[rows], zoned.second_us[rows], zoned.is_gap[rows], zoned.is_twice[rows]
    )
