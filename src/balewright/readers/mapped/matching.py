"""Which saved map a table is read by: the one whose headings it has, or the one that was named."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from difflib import get_close_matches
from pathlib import Path

from balewright.quantities.errors import BadInput, Fault
from balewright.readers.mapped.applying import Table, apply_map
from balewright.readers.mapped.heads import HEAD_ROWS, Rows, Source, headings_at, sheet_rows
from balewright.readers.mapped.text_rows import TextForm, read_text_rows
from balewright.readers.mapped.workbook import SheetForm, read_sheet_rows
from balewright.readers.reading import Reading
from balewright.records.column_map import ColumnMap
from balewright.records.intake import Batch, PlaceUnit


@dataclass(frozen=True)
class Match:
    """A map on a table: its columns at the places where this table has them."""

    column_map: ColumnMap
    width: int


def find_map(source: Source, reading: Reading) -> Match | None:
    """The map that reads a table, None where none has its headings.

    Raises BadInput where `reading.map_key` names no map or one that does not fit, and where maps
    of two names fit alike.
    """
    if reading.map_key is not None:
        return _named(source, reading)
    found: dict[str, Match] = {}
    for column_map in reading.maps:
        match = None if column_map.name in found else match_map(source, column_map)
        if match is not None:
            found[column_map.name] = match
    if len(found) > 1:
        names = " and ".join(sorted(found)[:4])
        keys = ", ".join(f"{one.column_map.key} ({name})" for name, one in sorted(found.items()))
        raise BadInput(
            Fault(
                source.path.name,
                "one column map that fits",
                f"{len(found)}: {names}",
                f"Say which one: {keys}.",
            )
        )
    return next(iter(found.values()), None)


def _named(source: Source, reading: Reading) -> Match:
    wanted = reading.map_key or ""
    by_key = {one.key: one for one in reversed(reading.maps)}
    by_name = {one.name: one for one in reversed(reading.maps)}  # the newest of a name stays
    column_map = by_key.get(wanted) or by_name.get(wanted)
    if column_map is None:
        known = [*by_key, *by_name]
        near = get_close_matches(wanted, known, 1)
        cure = f"Did you mean {near[0]}? " if near else ""
        raise BadInput(
            Fault(
                "column map",
                "the key or name of a saved column map",
                repr(wanted),
                f"{cure}`balewright columns list` shows them.",
            )
        )
    match = match_map(source, column_map)
    if match is None:
        raise BadInput(_misfit(source, column_map))
    return match


def match_map(source: Source, column_map: ColumnMap) -> Match | None:
    """The map placed on a table, whatever order its columns have; None where headings differ."""
    if (source.kind == "text") != (column_map.sheet is None):
        return None
    if column_map.sheet is None:
        rows = source.text_rows(column_map.encoding, column_map.separator)
        encoding = source.encoding(column_map.encoding)
        return _place(rows, replace(column_map, encoding=encoding))
    placed = [
        match
        for sheet in source.sheets
        if (match := _place(sheet_rows(sheet), replace(column_map, sheet=sheet.name))) is not None
    ]
    own = [match for match in placed if match.column_map.sheet == column_map.sheet]
    if len(placed) > 1 and not own:
        names = ", ".join(str(match.column_map.sheet) for match in placed)
        need = f"one sheet with the headings of {column_map.name}, or one named {column_map.sheet}"
        cure = "Keep one of them in the file, or make a map for each."
        raise BadInput(Fault(source.path.name, need, names, cure))
    return next(iter(own or placed), None)


def _place(rows: Rows, column_map: ColumnMap) -> Match | None:
    """Where the headings stand: in the map's own row, else in the first row that has them."""
    wanted = Counter(column_map.headings)
    ends = [row for row, _ in rows if row < HEAD_ROWS]
    for at in sorted(ends, key=lambda row: (row != column_map.head_row, row)):
        headings = headings_at(rows, at, column_map.head_rows)
        if headings is None or Counter(headings) != wanted:
            continue
        free: dict[str, list[int]] = {heading: [] for heading in wanted}
        for place, heading in enumerate(headings):
            free[heading].append(place)
        columns = tuple(
            replace(column, place=free[column.heading].pop(0))
            for column in sorted(column_map.columns, key=lambda one: one.place)
        )
        return Match(replace(column_map, columns=columns, head_row=at), len(headings))
    return None


def read_matched(path: Path, kind: str, match: Match, reading: Reading) -> Iterator[Batch]:
    """The table as batches. Raises BadInput where it cannot be read to its end."""
    column_map = match.column_map
    head = column_map.head_row + column_map.head_rows
    if column_map.sheet is None:
        form = TextForm(column_map.encoding, column_map.separator, match.width, head)
        table = Table(path.name, read_text_rows(path, form, reading.tell), PlaceUnit.LINE)
    else:
        sheet = SheetForm(column_map.sheet, head, match.width)
        rows = read_sheet_rows(path, kind, sheet, reading.tell)
        table = Table(path.name, rows, PlaceUnit.ROW)
    return apply_map(column_map, table, reading)


def _misfit(source: Source, column_map: ColumnMap) -> Fault:
    """Which headings the table lacks or has besides, as far as it can be told."""
    if (source.kind == "text") != (column_map.sheet is None):
        need = "a text table" if column_map.sheet is None else "a spreadsheet"
        return Fault(source.path.name, f"{need} for {column_map.name}", source.kind, _ANEW)
    rows = (
        source.text_rows(column_map.encoding, column_map.separator)
        if column_map.sheet is None
        else [row for sheet in source.sheets for row in sheet_rows(sheet)]
    )
    wanted = Counter(column_map.headings)
    best: list[str] = []
    for at, _ in rows[:HEAD_ROWS]:
        headings = headings_at(rows, at, column_map.head_rows) or []
        if sum((Counter(headings) & wanted).values()) > sum((Counter(best) & wanted).values()):
            best = headings
    lacking = [*(wanted - Counter(best))][:5]
    further = [*(Counter(best) - wanted)][:5]
    given = "none of them" if not best else f"lacking {lacking}, besides {further}"
    return Fault(source.path.name, f"the headings of {column_map.name}", given, _ANEW)


_ANEW = "Make a map for this table: `balewright columns FILE`, or at the desk."
