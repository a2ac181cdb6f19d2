"""Whether a column map can be used: every fault at once, each with its cure."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from difflib import get_close_matches

from balewright.quantities.errors import BadInput, Fault
from balewright.readers.mapped.clocks import CLOCK_FORMS, DAY_ORDERS
from balewright.readers.mapped.encodings import ENCODINGS
from balewright.readers.mapped.numbers import DECIMALS, THOUSANDS
from balewright.readers.mapped.raw import MAX_COLUMNS
from balewright.readers.mapped.text_rows import SEPARATORS
from balewright.readers.mapped.units import units_for
from balewright.readers.mapped.zones import zone_of
from balewright.records.column_map import MACHINES_OWN, ZONE, ColumnMap, MappedColumn
from balewright.records.columns import BY_NAME, Kind

MAX_WORDS = 500


def check_map(column_map: ColumnMap) -> None:
    """Pass a map that can read a table; BadInput with every fault of one that cannot."""
    faults = [*_whole(column_map), *_targets(column_map)]
    for column in column_map.columns:
        faults += _column(column)
    if faults:
        raise BadInput(*faults[:50])


def _whole(column_map: ColumnMap) -> Iterator[Fault]:
    if not column_map.name.strip() or len(column_map.name) > 120:
        yield Fault("name", "1 to 120 letters", repr(column_map.name[:130]), "Name the map.")
    if not 1 <= len(column_map.columns) <= MAX_COLUMNS:
        given = str(len(column_map.columns))
        yield Fault("columns", f"1 to {MAX_COLUMNS} columns", given, "Map the table's own columns.")
    for place, allowed, given in (
        ("encoding", ENCODINGS, column_map.encoding),
        ("separator", SEPARATORS, column_map.separator),
        ("decimal", DECIMALS, column_map.decimal),
        ("thousands", THOUSANDS, column_map.thousands),
        ("day_order", DAY_ORDERS, column_map.day_order),
    ):
        if given not in allowed:
            need = "one of " + ", ".join(map(repr, allowed))
            yield Fault(place, need, repr(given), "Choose one of them.")
    if column_map.thousands == column_map.decimal:
        cure = "Give the thousands sign another sign, or none."
        yield Fault("thousands", "another sign than the decimal", column_map.thousands, cure)
    if column_map.zone != MACHINES_OWN and zone_of(column_map.zone) is None:
        cure = f"Give a zone such as Europe/Berlin, an offset such as +02:00, or {MACHINES_OWN}."
        yield Fault("zone", "a time zone", repr(column_map.zone), cure)
    if column_map.head_row < 0 or column_map.head_rows not in (1, 2):
        given = f"row {column_map.head_row}, {column_map.head_rows} rows"
        yield Fault("head_row", "a row from 0, of one or two rows", given, "Count from the top.")


def _targets(column_map: ColumnMap) -> Iterator[Fault]:
    """No target stands twice, but for a date and a clock that make one time together."""
    used = [one for one in column_map.columns if one.target]
    if not any(one.target != ZONE for one in used):
        cure = "Choose a column of the bale table for at least one."
        yield Fault("columns", "a column that is read", "none", cure)
    whole = Counter(one.target for one in used if one.unit not in ("date", "clock"))
    parts = Counter((one.target, one.unit) for one in used if one.unit in ("date", "clock"))
    for target, count in whole.items():
        if count > 1 or any(part[0] == target for part in parts):
            yield Fault(target, "one column", "several", "Leave out all but one of them.")
    for (target, part), count in parts.items():
        if count > 1:
            yield Fault(target, f"one column with its {part}", "several", "Leave out the others.")
    dates = sum(count for (_, part), count in parts.items() if part == "date")
    for target, part in parts:
        if part == "clock" and (target, "date") not in parts and dates != 1:
            cure = "Choose a column as its date."
            yield Fault(target, "a date beside the time of day", "none of its own", cure)


def _column(column: MappedColumn) -> Iterator[Fault]:
    place = f"column {column.place + 1}, {column.heading!r}"
    if column.target in ("", ZONE):
        return
    if column.target not in BY_NAME:
        near = get_close_matches(column.target, BY_NAME, 1)
        cure = f"Did you mean {near[0]}?" if near else "See the columns of the bale table."
        yield Fault(place, "a column of the bale table", repr(column.target), cure)
        return
    target = BY_NAME[column.target]
    allowed = CLOCK_FORMS if target.kind is Kind.TIME else ("", *units_for(column.target))
    if column.unit not in allowed:
        said = ", ".join(one or "nothing" for one in allowed)
        cure = "Choose one of them."
        yield Fault(place, f"one of {said} as the unit of {target.name}", repr(column.unit), cure)
    for theirs, ours in column.words[:MAX_WORDS]:
        if target.choices and ours not in ("", *target.choices):
            need = "one of " + ", ".join(target.choices)
            yield Fault(f"{place}, word {theirs!r}", need, repr(ours), "Choose one of them.")
    if column.words and not target.choices:
        cure = "Remove the words: this column takes any text."
        yield Fault(place, "words only for a column with choices", target.name, cure)
    if len(column.words) > MAX_WORDS:
        given = str(len(column.words))
        yield Fault(place, f"at most {MAX_WORDS} words", given, "It is no column of choices.")
