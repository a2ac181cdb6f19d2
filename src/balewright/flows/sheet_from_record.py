"""What was really set on a day: the settings of a sheet as the bales' records show them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from types import MappingProxyType
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from balewright.cards.sheet_json import sheet_from_json
from balewright.flows.workplace import Workplace
from balewright.plan.sheet.sheet import Sheet, SheetLine
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.si import MICROSECONDS_PER_S
from balewright.records.bales import BaleTable
from balewright.records.identity import BALE_TIMES, REWRAPPED, bale_times
from balewright.words.times import local_time, zone_named

COLUMN_OF: Final = MappingProxyType({
    "speed_m_s": "speed_m_s",
    "gate_opening_mm": "gate_opening_mm",
    "diameter_m": "diameter_m",
    "chamber_bar": "chamber_bar",
    "knives_in": "knives_in",
    "knife_bar": "knife_bar",
    "binding": "binding",
    "binding_turns": "binding_turns",
    "layers": "said_layers",
    "wrap_turns": "wrap_turns",
    "overlap_frac": "said_overlap_frac",
    "pre_stretch_frac": "said_stretch_frac",
    "film_width_m": "film_width_m",
    "rolls_on": "rolls_on",
    "wrap_rpm": "wrap_rpm",
    "tip_side": "tip_side",
})  # fmt: skip
"""Lines of a sheet that bales can tell of, with the column of the bale table that does."""

_NEEDED: Final = ("bale_no", "status", "mode", "sheet", *COLUMN_OF.values(), *BALE_TIMES)
MOST_STEPS: Final = 6
"""More different numbers than that, or numbers of which few come again, are measured ones: they
get a spread instead of steps."""
_COUNTS: Final = frozenset(("knives_in", "layers", "wrap_turns", "rolls_on", "film_width_m"))
"""What is never measured, however few bales there are."""
_SAME: Final = 5e-3
"""Two numbers within this share of each other are one setting: sensors round."""
_QUARTER_US: Final = 900 * MICROSECONDS_PER_S
"""Every zone's clock is whole quarter hours off UTC, so a quarter hour is of one day."""


@dataclass(frozen=True)
class Asked:
    """Which bales: those of a day on the machine's own clock, or those numbered first_bale to
    last_bale, both ends included (exactly one of the two).
    """

    day: date | None = None
    first_bale: int | None = None
    last_bale: int | None = None


@dataclass(frozen=True)
class Step:
    """So many bales in a row had this value; since_bale: number of the first one, if it has one."""

    value: float | str
    bales: int
    since_bale: int | None


@dataclass(frozen=True)
class RecordedLine:
    """One setting as the records show it.

    value: what most bales had, or the middle of measured values; None: not recorded. low, high:
    between them lie 8 of 10 bales, None for words; known: bales that tell it; steps: value after
    value where they are few, else empty; planned: the line of the sheet in force; differs: whether
    that line's value is another, None where one of the two is unknown.
    """

    key: str
    value: float | str | None
    low: float | None
    high: float | None
    known: int
    steps: tuple[Step, ...]
    planned: SheetLine | None
    differs: bool | None


@dataclass(frozen=True)
class RecordedSheet:
    """The settings of some bales in the order of a sheet.

    bales: looked at, second passes and tests left out; first_bale, last_bale: their numbers, None
    without any; sheet_id: the kept sheet that most of them name, None where none does;
    other_sheets: further ones they name; unnamed: bales that name no kept sheet; by_hand: bales
    not wrapped automatically, where that is known.
    """

    serial: str
    bales: int
    first_bale: int | None
    last_bale: int | None
    sheet_id: str | None
    other_sheets: tuple[str, ...]
    unnamed: int
    by_hand: int
    lines: tuple[RecordedLine, ...]


@dataclass(frozen=True)
class RecordedDay:
    """A day on the machine's own clock and how many bales were made."""

    day: date
    bales: int


def list_recorded_days(workplace: Workplace, serial: str) -> tuple[RecordedDay, ...]:
    """The days with bales, the newest first. Raises BadInput for a serial that is not known."""
    zone = zone_named(_zone(workplace, serial))
    times, timed = bale_times(_made(workplace, serial))
    quarters, counts = np.unique(times[timed] // _QUARTER_US, return_counts=True)
    days: Counter[date] = Counter()
    for quarter, count in zip(quarters.tolist(), counts.tolist(), strict=True):
        days[local_time(quarter * _QUARTER_US, zone).date()] += count
    return tuple(RecordedDay(day, days[day]) for day in sorted(days, reverse=True))


def sheet_from_record(workplace: Workplace, serial: str, asked: Asked) -> RecordedSheet:
    """What was set on those bales beside the sheet in force; unknown stays unknown.

    No bales give a sheet of none. Raises BadInput for a serial that is not known, and unless
    exactly a day or two bale numbers in order are asked for.
    """
    zone_name = _zone(workplace, serial)
    bales = _made(workplace, serial)
    chosen = bales.take(_chosen(bales, asked, zone_name))
    counted = Counter(chosen.column("sheet")[chosen.mask("sheet")].tolist())
    kept = {
        key: entry for key in counted if (entry := workplace.register.load_sheet(key)) is not None
    }
    named = [key for key, _ in counted.most_common() if key in kept]
    sheet = sheet_from_json(kept[named[0]].json) if named else None
    numbers = chosen.column("bale_no")[chosen.mask("bale_no")]
    by_hand = chosen.mask("mode") & (chosen.column("mode") != "automatic")
    return RecordedSheet(
        serial=serial,
        bales=chosen.rows,
        first_bale=int(numbers.min()) if len(numbers) else None,
        last_bale=int(numbers.max()) if len(numbers) else None,
        sheet_id=named[0] if named else None,
        other_sheets=tuple(named[1:]),
        unnamed=chosen.rows - sum(counted[key] for key in named),
        by_hand=int(np.count_nonzero(by_hand)),
        lines=tuple(_lines(chosen, sheet)),
    )


def _zone(workplace: Workplace, serial: str) -> str:
    entry = workplace.register.load_machine(serial)
    if entry is None:
        cure = "Add the machine, or check the serial."
        raise BadInput(Fault("machine", "a serial of the register", repr(serial), cure))
    return entry.zone


def _made(workplace: Workplace, serial: str) -> BaleTable:
    """Bales of the machine in the order they were made; second passes and tests left out."""
    bales = workplace.journal.read_bales(serial, _NEEDED)
    status = bales.column("status")
    odd = bales.mask("status") & ((status == REWRAPPED) | (status == "test"))
    return bales.take(np.flatnonzero(~odd))


def _chosen(bales: BaleTable, asked: Asked, zone_name: str) -> NDArray[Any]:
    first, last = asked.first_bale, asked.last_bale
    if (asked.day is None) == (first is None or last is None):
        cure = "Name a day, or the first and the last bale."
        raise BadInput(Fault("record", "a day or two bale numbers", "neither or both", cure))
    if asked.day is not None:
        start_us, end_us = _day_us(asked.day, zone_name)
        times, timed = bale_times(bales)
        return np.flatnonzero(timed & (times >= start_us) & (times < end_us))
    assert first is not None
    assert last is not None
    if not 0 <= first <= last:
        cure = "Put the lower number first."
        raise BadInput(Fault("record", "two bale numbers in order", f"{first} to {last}", cure))
    numbers = bales.column("bale_no")
    return np.flatnonzero(bales.mask("bale_no") & (numbers >= first) & (numbers <= last))


def _day_us(day: date, zone_name: str) -> tuple[int, int]:
    """Where a day of that zone begins and ends, in UTC microseconds."""
    try:
        ends = [
            datetime.combine(one, time(), zone_named(zone_name)).astimezone(UTC)
            for one in (day, day + timedelta(days=1))
        ]
    except OverflowError:
        need = "a day of this calendar"
        raise BadInput(Fault("day", need, day.isoformat(), "Name another day.")) from None
    return (
        round(ends[0].timestamp()) * MICROSECONDS_PER_S,
        round(ends[1].timestamp()) * MICROSECONDS_PER_S,
    )


def _lines(bales: BaleTable, sheet: Sheet | None) -> Iterator[RecordedLine]:
    """Every line of the sheet, and whatever else the records tell."""
    planned = {line.key: line for line in sheet.lines} if sheet is not None else {}
    told = [key for key, column in COLUMN_OF.items() if bales.has(column) or not planned]
    for key in dict.fromkeys([*planned, *told]):
        yield _line(bales, key, planned.get(key))


def _line(bales: BaleTable, key: str, planned: SheetLine | None) -> RecordedLine:
    column = COLUMN_OF.get(key)
    known = bales.mask(column) if column is not None else np.zeros(bales.rows, dtype=np.bool_)
    if column is None or not known.any():
        return RecordedLine(key, None, None, None, 0, (), planned, None)
    values = bales.column(column)[known]
    is_set = _is_set(key, values)
    steps = tuple(_steps(bales, values, known)) if is_set else ()
    value: float | str
    value = Counter(values.tolist()).most_common(1)[0][0] if is_set else float(np.median(values))
    low = high = None
    if not isinstance(value, str):
        low, high = (float(np.quantile(values, share)) for share in (0.1, 0.9))
    span = (value, value) if is_set else (low, high)
    differs = None if planned is None else _differs(planned.value, *span)
    return RecordedLine(key, value, low, high, len(values), steps, planned, differs)


def _is_set(key: str, values: NDArray[Any]) -> bool:
    """Whether these are what somebody sets: words, few counts, few numbers that come again."""
    different = len(set(values.tolist()))
    comes_again = key in _COUNTS or different == 1 or 2 * different <= len(values)
    return values.dtype.kind == "O" or (different <= MOST_STEPS and comes_again)


def _steps(bales: BaleTable, values: NDArray[Any], known: NDArray[np.bool_]) -> Iterator[Step]:
    """Runs of one value over the bales that tell it."""
    starts = [0, *(np.flatnonzero(values[1:] != values[:-1]) + 1).tolist()]
    rows = np.flatnonzero(known)
    for start, end in zip(starts, [*starts[1:], len(values)], strict=True):
        value = values[start]
        plain = value.item() if isinstance(value, np.generic) else value
        yield Step(plain, end - start, bales.cell(int(rows[start]), "bale_no"))


def _differs(
    planned: float | str | None, low: float | str | None, high: float | str | None
) -> bool | None:
    """Whether what was planned lies outside; low, high: twice the same for what was set."""
    if planned is None or low is None or high is None:
        return None
    if isinstance(planned, str) or isinstance(low, str) or isinstance(high, str):
        return planned != low
    slack = _SAME * abs(planned)
    return not low - slack <= planned <= high + slack
