"""A table of another program by its column map -> batches of bales, nothing silent."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc
from numpy.typing import NDArray

from balewright.readers.csv_form import show_text
from balewright.readers.mapped.converting import (
    ClockCells,
    Converted,
    Memory,
    Where,
    convert_times,
    convert_values,
)
from balewright.readers.mapped.raw import RawRows
from balewright.readers.mapped.terms import TOTALS
from balewright.readers.mapped.words import as_text
from balewright.readers.mapped.zones import Series
from balewright.readers.reading import Reading
from balewright.readers.times import format_time
from balewright.records.bales import BaleTable, masked_table
from balewright.records.column_map import MACHINES_OWN, ZONE, ColumnMap, MappedColumn
from balewright.records.columns import BY_NAME, Kind
from balewright.records.intake import Batch, Doubt, Places, PlaceUnit, Refusal
from balewright.records.order import OrderState, mark_order
from balewright.records.quality import Mark

TOTALS_LOOKED_AT: Final = 3
"""In how many first columns a row says that it is a sum."""
_SAYS_SUM: Final = ("machine", "job", "operator", "crop", "bale_no")
_TOTALS: Final = pa.array(sorted(TOTALS), pa.string())
_SUM: Final = "needs a bale, is a sum or a mean of others. Nothing to do: it is not counted."
_HEAD_AGAIN: Final = "needs a bale, has the headings again. Nothing to do: it is not counted."
_NO_BALE: Final = (
    "needs a bale number or a time, has neither: a sum or a note of the report. "
    "If it is a bale, give it one of them."
)


@dataclass(frozen=True)
class Table:
    """A table that was found: its rows below the head, and what a place in it is called."""

    file: str
    rows: Iterator[RawRows]
    unit: PlaceUnit


def apply_map(column_map: ColumnMap, table: Table, reading: Reading) -> Iterator[Batch]:
    """Every row as a bale, a refusal or a blank; columns of the map stand where `place` says.

    Raises BadInput where the table cannot be read to its end, possibly after some batches.
    """
    state, memory = OrderState(), Memory()
    for raw in table.rows:
        made = _Block(column_map, table, reading, raw).convert(memory)
        places = made.places
        doubts, state = mark_order(made.bales, state, table.file, places)
        if table.unit is not PlaceUnit.LINE:
            doubts = tuple(_at_row(doubt) for doubt in doubts)
        where = Places(np.full(len(places), "", dtype=object), places, table.unit)
        yield Batch(made.bales, (), made.refusals, (*made.doubts, *doubts), where)


def _at_row(doubt: Doubt) -> Doubt:
    place = doubt.place.replace("line ", "row ", 1)
    return Doubt(doubt.file, place, doubt.kind, doubt.text)


@dataclass(frozen=True)
class _Made:
    """What became of a block."""

    bales: BaleTable
    places: NDArray[np.int64]
    refusals: tuple[Refusal, ...]
    doubts: tuple[Doubt, ...]


@dataclass(frozen=True)
class _Block:
    """One block on its way."""

    column_map: ColumnMap
    table: Table
    reading: Reading
    raw: RawRows

    def convert(self, memory: Memory) -> _Made:
        """Bales, their places, refusals in the order of the file, doubts of clocks."""
        columns, machines = self._columns(memory)
        bad = self._failures(columns)
        good = np.ones(len(self.raw.places), dtype=np.bool_)
        good[list(bad)] = False
        nameless = _nameless(columns, good)
        for row in np.flatnonzero(nameless).tolist():
            bad[row] = (f"{self._place(row)}", self._row_text(row), _NO_BALE)
        good &= ~nameless
        values = {one.target: one.values[good] for one in columns}
        known = {one.target: one.known[good] for one in columns}
        if machines is not None:
            values["machine"], known["machine"] = machines[good], np.ones(int(good.sum()), np.bool_)
        places = self.raw.places[good]
        return _Made(
            masked_table(len(places), values, known),
            places,
            self._refusals(bad),
            self._doubts(columns, good),
        )

    def _columns(self, memory: Memory) -> tuple[list[Converted], NDArray[Any] | None]:
        """Every mapped column converted, and the machine of all rows where no column says it."""
        used = [one for one in self.column_map.columns if one.target not in ("", ZONE)]
        times = [one for one in used if BY_NAME[one.target].kind is Kind.TIME]
        columns = [
            convert_values(one, self.raw.columns[one.place], self.column_map)
            for one in used
            if one not in times
        ]
        said = next((one for one in columns if one.target == "machine"), None)
        machine = self.column_map.machine or self.reading.machine
        rows = len(self.raw.places)
        whole = np.full(rows, machine or "", dtype=object)
        machines = whole if said is None else said.values
        series = _series(machines)
        where = Where(series, self._zones(series))
        for cells in self._clocks(times):
            columns.append(convert_times(cells, self.column_map, where, memory))
        columns.sort(key=lambda one: one.place)
        return columns, whole if said is None and machine else None

    def _clocks(self, times: list[MappedColumn]) -> Iterator[ClockCells]:
        """A time of day goes with the date of its own target, else with the only one."""
        dates = {one.target: self.raw.columns[one.place] for one in times if one.unit == "date"}
        for one in times:
            if one.unit == "clock":
                date = dates.get(one.target) or next(iter(dates.values()))
                yield ClockCells(one, self.raw.columns[one.place], date)
            elif one.unit != "date":
                yield ClockCells(one, self.raw.columns[one.place])

    def _zones(self, series: Series) -> Series:
        """The zone of each row's clocks, "" where nobody knows it."""
        zone = self.column_map.zone
        if zone == MACHINES_OWN:
            zones = tuple(self.reading.zones.get(name, "") for name in series.names)
            own = Series(series.codes, zones)
        else:
            own = Series(np.zeros(len(series.codes), dtype=np.int64), (zone,))
        column = next((one for one in self.column_map.columns if one.target == ZONE), None)
        if column is None:
            return own
        said = as_text(self.raw.columns[column.place]).fill_null("").to_pylist()
        names = [word.strip() or own.names[at] for word, at in zip(said, own.codes, strict=True)]
        return _series(np.array(names, dtype=object))

    def _failures(self, columns: list[Converted]) -> dict[int, tuple[str, str, str]]:
        """Row -> place, text and reason of its first failed cell; further ones are named."""
        failed: dict[int, list[Converted]] = {}
        for one in columns:
            for row in np.flatnonzero(one.failed).tolist():
                failed.setdefault(row, []).append(one)
        found = {row: self._failure(row, ones) for row, ones in failed.items()}
        rows = {int(place): row for row, place in enumerate(self.raw.places)}
        mapped = {one.place: one for one in self.column_map.columns if one.target}
        for (place, at), why in self.raw.failed.items():
            if at in mapped and place in rows:
                reason = f"needs a value, has {why}. Mend the formula, or clear the cell."
                where = f"{self._place(rows[place])}, column {mapped[at].heading}"
                found[rows[place]] = (where, why, reason)
        for row in self._sums():
            found[row] = (self._place(row), self._row_text(row), _SUM)
        return found

    def _failure(self, row: int, ones: list[Converted]) -> tuple[str, str, str]:
        if self._is_head(row):
            return self._place(row), self._row_text(row), _HEAD_AGAIN
        first = ones[0]
        text = as_text(self.raw.columns[first.place].take(np.array([row]))).to_pylist()[0] or ""
        reason = first.explain(row, text)
        if len(ones) > 1:
            others = ", ".join(one.heading for one in ones[1:])
            reason += f" Also wrong in this row: {others}."
        return f"{self._place(row)}, column {first.heading}", show_text(text), reason

    def _is_head(self, row: int) -> bool:
        """Whether the headings stand here again, as reports of several pages have them."""
        cells = [
            (as_text(self.raw.columns[one.place].take(np.array([row]))).to_pylist()[0], one.heading)
            for one in self.column_map.columns
            if one.heading
        ]
        return all((cell or "").strip() == heading for cell, heading in cells)

    def _sums(self) -> list[int]:
        """Rows that say they are a sum or a mean."""
        texts = {one.place for one in self.column_map.columns if one.target in _SAYS_SUM}
        found = np.zeros(len(self.raw.places), dtype=np.bool_)
        for place in sorted({*range(min(TOTALS_LOOKED_AT, len(self.raw.columns))), *texts}):
            cells = self.raw.columns[place].text
            found |= np.array(pc.is_in(cells, value_set=_TOTALS))
        return np.flatnonzero(found).tolist()

    def _refusals(self, bad: dict[int, tuple[str, str, str]]) -> tuple[Refusal, ...]:
        name, unit = self.table.file, self.table.unit
        found = [
            (place, Refusal(name, f"{unit} {place}", show_text(text), why))
            for place, (text, why) in self.raw.refused.items()
        ]
        found += [(int(self.raw.places[row]), Refusal(name, *told)) for row, told in bad.items()]
        return tuple(refusal for _, refusal in sorted(found, key=lambda one: one[0]))

    def _doubts(self, columns: list[Converted], good: NDArray[np.bool_]) -> tuple[Doubt, ...]:
        """Clocks that came twice, and a last line that may be cut."""
        doubts = []
        for one in columns:
            if one.twice is None:
                continue
            for row in np.flatnonzero(one.twice & good).tolist():
                text = f"{one.heading}: clocks went back and showed this time twice; taken as "
                at = format_time(int(one.values[row]))
                doubts.append(self._doubt(row, Mark.CLOCK_TWICE, f"{text}{at}"))
        if self.raw.is_cut and len(good) and good[-1]:
            said = "the last line has no line end: the file may have been cut there"
            doubts.append(self._doubt(len(good) - 1, Mark.FILE_CUT, said))
        return tuple(doubts)

    def _doubt(self, row: int, mark: Mark, text: str) -> Doubt:
        return Doubt(self.table.file, self._place(row), mark, text)

    def _place(self, row: int) -> str:
        return f"{self.table.unit} {self.raw.places[row]}"

    def _row_text(self, row: int) -> str:
        cells = [as_text(one.take(np.array([row]))).to_pylist()[0] for one in self.raw.columns]
        return show_text("; ".join(cell or "" for cell in cells), 120)


def _nameless(columns: list[Converted], good: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Rows with neither number nor time, in a table that has such columns."""
    names = [one for one in columns if one.target == "bale_no" or one.target.endswith("_at")]
    if not names:
        return np.zeros(len(good), dtype=np.bool_)
    named = np.logical_or.reduce([one.known for one in names])
    return np.asarray(good & ~named, dtype=np.bool_)


def _series(machines: NDArray[Any]) -> Series:
    coded = pa.array(machines, pa.string()).dictionary_encode()
    names = tuple(coded.dictionary.to_pylist())
    return Series(np.array(coded.indices, dtype=np.int64), names)
