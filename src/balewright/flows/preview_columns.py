"""The first rows of a table as a map would read them: bales, refusals and doubts, nothing kept."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import Any, Final

from balewright.flows.reading_of import reading_of
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.readers.mapped.heads import source_of
from balewright.readers.mapped.map_text import keyed
from balewright.readers.mapped.matching import match_map, read_matched
from balewright.readers.reading import Reading
from balewright.records.column_map import ColumnMap
from balewright.records.columns import BY_NAME, Kind
from balewright.records.intake import Doubt, Refusal

SHOWN_ROWS: Final = 20
SHOWN_ODD: Final = 50


@dataclass(frozen=True)
class PreviewRow:
    """A bale as it would be kept. place: line or row; values: one for each column, None unknown."""

    place: int
    values: tuple[Any, ...]


@dataclass(frozen=True)
class Preview:
    """columns: targets that the map fills; times: which of them are times; rows: the first
    SHOWN_ROWS; refusals, doubts: the first SHOWN_ODD; kept, refused, doubtful: of the rows looked
    at, which are all of a small file and the first block of a large one.
    """

    columns: tuple[str, ...]
    times: frozenset[str]
    rows: tuple[PreviewRow, ...]
    refusals: tuple[Refusal, ...]
    doubts: tuple[Doubt, ...]
    kept: int
    refused: int
    doubtful: int


def preview_columns(workplace: Workplace | None, path: Path, column_map: ColumnMap) -> Preview:
    """Read a table's beginning by a map. Raises BadInput where it cannot be read at all."""
    reading = Reading() if workplace is None else reading_of(workplace)
    source = source_of(path)
    match = match_map(source, keyed(column_map))
    if match is None:
        cure = "Guess its columns again."
        raise BadInput(Fault(path.name, "the headings of the map", "others", cure))
    batches = list(islice(read_matched(path, source.kind, match, reading), 2))
    columns = [one.target for one in column_map.columns if one.target in BY_NAME]
    if "machine" not in columns and column_map.machine is not None:
        columns.insert(0, "machine")
    columns = list(dict.fromkeys(columns))
    rows = [
        PreviewRow(
            int(batch.places.at[row]) if batch.places is not None else row,
            tuple(batch.bales.cell(row, name) for name in columns),
        )
        for batch in batches
        for row in range(min(batch.bales.rows, SHOWN_ROWS))
    ]
    refusals = [one for batch in batches for one in batch.refusals]
    doubts = [one for batch in batches for one in batch.doubts]
    return Preview(
        tuple(columns),
        frozenset(name for name in columns if BY_NAME[name].kind is Kind.TIME),
        tuple(rows[:SHOWN_ROWS]),
        tuple(refusals[:SHOWN_ODD]),
        tuple(doubts[:SHOWN_ODD]),
        sum(batch.bales.rows for batch in batches),
        len(refusals),
        len(doubts),
    )
