"""Events beside the bale table as CSV, version 2 (1 is read too): the rules of the bale table."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, TextIO

from balewright.readers.csv_form import EVENT_FORM, Layout, read_layout
from balewright.readers.csv_rows import Rows, read_rows
from balewright.readers.csv_text import head_lines, row_lines, write_cells
from balewright.readers.lines import Tell
from balewright.records.bales import bale_table, fill_column
from balewright.records.events import EVENT_COLUMNS, Event, EventKind
from balewright.records.intake import Batch


def read_event_csv(path: Path) -> Iterator[Batch]:
    """Read events from CSV, plain or gzip: batches without bales, with events and refusals.

    Raises BadInput as `read_bale_csv` does.
    """
    return read_laid_out_events(path, read_layout(path, EVENT_FORM))


def read_laid_out_events(path: Path, layout: Layout, tell: Tell | None = None) -> Iterator[Batch]:
    """As `read_event_csv`, where the layout has been read already; tell hears the bytes."""
    for rows in read_rows(path, layout, tell):
        yield Batch(bale_table(0, {}), _events(rows), rows.refusals, rows.doubts)


def write_event_csv(events: Sequence[Event], stream: TextIO) -> None:
    """Write events as CSV that reads back as the same events.

    stream: open for text in UTF-8 with newline="". Raises BadInput, before anything is written,
    for a value that the form cannot hold.
    """
    given: dict[str, list[Any]] = {
        "machine": [event.machine or None for event in events],
        "bale": [event.bale_no for event in events],
        "at": [event.at_us for event in events],
        "kind": [event.kind.value for event in events],
        "item": [event.item or None for event in events],
        "value": [event.value for event in events],
        "note": [event.note or None for event in events],
        "batch": [event.batch or None for event in events],
    }
    cells = [
        write_cells(column, *fill_column(column.kind, given[column.name]))
        for column in EVENT_COLUMNS
    ]
    stream.write(head_lines(EVENT_FORM, EVENT_COLUMNS))
    stream.writelines(row_lines(cells))


def _events(rows: Rows) -> tuple[Event, ...]:
    def plain(name: str) -> list[Any]:
        if name not in rows.values:
            return [None] * len(rows.lines)
        pairs = zip(rows.values[name].tolist(), rows.known[name].tolist(), strict=True)
        return [value if known else None for value, known in pairs]

    names = ("machine", "kind", "bale", "at", "item", "value", "note", "batch")
    return tuple(
        Event(machine, EventKind(kind), bale, at_us, item or "", value, note or "", batch or "")
        for machine, kind, bale, at_us, item, value, note, batch in zip(
            *map(plain, names), strict=True
        )
    )
