"""Bale tables and events as Arrow, with the declared schema: unknown is null, never NaN or zero."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any, Final

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc
import pyarrow.parquet as pq

from balewright.quantities.errors import BadInput, Fault
from balewright.records.bales import BaleTable, masked_table
from balewright.records.columns import BY_NAME, COLUMNS, Kind
from balewright.records.events import Event, EventKind
from balewright.store.entries import Dataset

JOURNAL_VERSION: Final = 2
"""Of the column files, apart from the CSV forms' versions. 2: places in the original, batches."""

_TYPES: Final = {
    Kind.TEXT: pa.string(),
    Kind.INT: pa.int64(),
    Kind.FLOAT: pa.float64(),
    Kind.TIME: pa.timestamp("us", "UTC"),
}
_SOURCE: Final = [
    pa.field("source", pa.string(), nullable=False),  # sha-256 of the file it came from
    pa.field("source_row", pa.int64(), nullable=False),  # its place among the rows kept of it
]
_PLACE: Final = [
    pa.field("source_file", pa.string()),
    pa.field("source_at", pa.int64()),
    pa.field("source_unit", pa.string()),
]
BALE_SCHEMA: Final = pa.schema([pa.field(c.name, _TYPES[c.kind]) for c in COLUMNS])
EVENT_SCHEMA: Final = pa.schema(
    [
        pa.field("machine", pa.string()),
        pa.field("kind", pa.string(), nullable=False),
        pa.field("bale_no", pa.int64()),
        pa.field("at", pa.timestamp("us", "UTC")),
        pa.field("item", pa.string(), nullable=False),
        pa.field("value", pa.float64()),
        pa.field("note", pa.string(), nullable=False),
        pa.field("batch", pa.string(), nullable=False),
    ]
)
FILE_SCHEMAS: Final = {
    # bale_us: the bale's time in whole microseconds, so that questions need no time arithmetic;
    # known_cells: which of two rows of one bale knows more; source_file, source_at, source_unit:
    # where the row stands in its file (`records.intake.Places`), null where nobody can say.
    Dataset.BALES: pa.schema(
        [
            *BALE_SCHEMA,
            pa.field("bale_us", pa.int64()),
            pa.field("known_cells", pa.int64()),
            *_SOURCE,
            *_PLACE,
        ]
    ),
    Dataset.EVENTS: pa.schema([*EVENT_SCHEMA, *_SOURCE]),
    # Rows of one bale made one, corrections laid over. is_first: 1 for one row of each bale, also
    # where its file gives it twice; counts, passes: 1 on that row for a bale of the book, for a
    # further pass; book_...: of any of its rows, with the file whose word the job is; sources:
    # hashes of all its files, spaced; source, source_row: where the row that counts comes from.
    Dataset.RESOLVED: pa.schema(
        [
            *BALE_SCHEMA,
            pa.field("bale_us", pa.int64()),
            pa.field("bale_key", pa.string(), nullable=False),
            pa.field("is_first", pa.int64(), nullable=False),
            pa.field("counts", pa.int64(), nullable=False),
            pa.field("passes", pa.int64(), nullable=False),
            pa.field("book_job", pa.string()),
            pa.field("book_source", pa.string()),
            pa.field("book_status", pa.string()),
            pa.field("book_mass_kg", pa.float64()),
            pa.field("sources", pa.string(), nullable=False),
            *_SOURCE,
        ]
    ),
    # value: what counts, as text, and its row; other: what another row of the bale says.
    Dataset.CONFLICTS: pa.schema(
        [
            pa.field("machine", pa.string()),
            pa.field("bale_key", pa.string(), nullable=False),
            pa.field("column", pa.string(), nullable=False),
            pa.field("value", pa.string(), nullable=False),
            *_SOURCE,
            pa.field("other", pa.string(), nullable=False),
            pa.field("other_source", pa.string(), nullable=False),
            pa.field("other_row", pa.int64(), nullable=False),
            pa.field("why", pa.string(), nullable=False),
        ]
    ),
}
VERSION_KEY: Final = b"balewright.schema_version"
_ASKED_BY: Final = ("machine", "job", "book_job")

Upgrade = Callable[[pa.Table], pa.Table]


def _note_places_and_batches(table: pa.Table) -> pa.Table:
    """From version 1 to 2: nobody noted where a bale stood, nor the batch of a roll."""
    if "kind" in table.column_names:
        none = pa.array([""] * table.num_rows, pa.string())
        return table.append_column("batch", none)
    for field in _PLACE:
        table = table.append_column(field, pa.nulls(table.num_rows, field.type))
    return table


UPGRADES: Final[Mapping[int, Upgrade]] = {1: _note_places_and_batches}
"""From version N to N + 1, one step each. Version 1 is the first."""


def bales_to_arrow(bales: BaleTable) -> pa.Table:
    """The table with every column of the schema, shape (rows,). A known NaN is ValueError."""
    arrays = []
    for column in COLUMNS:
        if column.name not in bales.values:
            arrays.append(pa.nulls(bales.rows, _TYPES[column.kind]))
            continue
        values, unknown = bales.column(column.name), ~bales.mask(column.name)
        if column.kind is Kind.FLOAT and bool((np.isnan(values) & ~unknown).any()):
            raise ValueError(f"{column.name}: NaN marked as known")
        array = pa.array(values, mask=unknown, from_pandas=False, type=_raw_type(column.kind))
        arrays.append(array.cast(_TYPES[column.kind]))
    return pa.Table.from_arrays(arrays, schema=BALE_SCHEMA)


def take_rows(cells: Any, rows: Any) -> Any:
    """Rows of a table or column by number, in that order.

    cells: an Arrow table or column; rows: int64, shape (any,). Rows mostly stand already as they
    are wanted, as a machine writes them: then nothing is copied.
    """
    if len(rows) == len(cells) and np.array_equal(rows, np.arange(len(rows))):
        return cells
    return cells.take(pa.array(rows))


def sort_rows(table: pa.Table, *names: str) -> pa.Table:
    """The rows by these columns, rising, unknown last."""
    order = pc.sort_indices(table, sort_keys=[(name, "ascending") for name in names])
    return take_rows(table, order.to_numpy())


def _raw_type(kind: Kind) -> pa.DataType:
    return pa.int64() if kind is Kind.TIME else _TYPES[kind]


def bales_from_arrow(table: pa.Table) -> BaleTable:
    """The bale columns of an Arrow table; others are left out."""
    values: dict[str, Any] = {}
    known: dict[str, Any] = {}
    for name in table.column_names:
        if name not in BY_NAME:
            continue
        column = table.column(name).combine_chunks()
        known[name] = column.is_valid().to_numpy(zero_copy_only=False)
        values[name] = _numpy(column, BY_NAME[name].kind)
    return masked_table(table.num_rows, values, known)


def _numpy(column: Any, kind: Kind) -> Any:
    if kind is Kind.TEXT:
        coded = column.dictionary_encode()  # texts repeat: each is made once
        texts = np.array([*coded.dictionary.to_pylist(), ""], dtype=object)
        return texts[coded.indices.fill_null(len(texts) - 1).to_numpy()]
    whole = column.cast(pa.int64()) if kind is Kind.TIME else column
    return whole.fill_null(0).to_numpy(zero_copy_only=False)


def events_to_arrow(events: Sequence[Event]) -> pa.Table:
    """Events as rows, in the order given."""
    rows = [
        {
            "machine": event.machine,
            "kind": event.kind.value,
            "bale_no": event.bale_no,
            "item": event.item,
            "value": event.value,
            "note": event.note,
            "batch": event.batch,
        }
        for event in events
    ]
    at = pa.array([event.at_us for event in events], pa.int64()).cast(pa.timestamp("us", "UTC"))
    table = pa.Table.from_pylist(rows, schema=EVENT_SCHEMA)
    return table.set_column(EVENT_SCHEMA.get_field_index("at"), EVENT_SCHEMA.field("at"), at)


def events_from_arrow(table: pa.Table) -> tuple[Event, ...]:
    """The events of an Arrow table, in its order."""
    place = table.column_names.index("at")
    whole = table.set_column(place, "at_us", table.column("at").cast(pa.int64()))
    names = ["machine", "kind", "bale_no", "at_us", "item", "value", "note", "batch"]
    return tuple(
        Event(**{**row, "kind": EventKind(row["kind"])}) for row in whole.select(names).to_pylist()
    )


def versioned(schema: pa.Schema, version: int = JOURNAL_VERSION) -> pa.Schema:
    """The schema with its version in the file's metadata."""
    return schema.with_metadata({VERSION_KEY: str(version).encode()})


def how_to_write(schema: pa.Schema, lasts: bool = True) -> dict[str, Any]:
    """What a Parquet writer is told of the columns of a file.

    lasts: False for a file that is merged away before long: packed less, in half the time.

    Texts repeat: they are written as numbers of a dictionary. Whole numbers and times rise from
    row to row: as differences they take half the space and half the time. Lowest and highest are
    noted where they let a reader step over rows: of these, and of the texts that rows are asked by.
    """
    texts = [field.name for field in schema if field.type == pa.string()]
    whole = [field.name for field in schema if field.type in (pa.int64(), _TYPES[Kind.TIME])]
    return {
        "compression": "zstd" if lasts else "snappy",
        "use_dictionary": texts,
        "column_encoding": dict.fromkeys(whole, "DELTA_BINARY_PACKED"),
        "write_statistics": [*whole, *(name for name in texts if name in _ASKED_BY)],
    }


def read_part(
    path: Path, dataset: Dataset, machine: str | None = None, columns: Sequence[str] | None = None
) -> pa.Table:
    """The rows of one column file, upgraded to this version's schema.

    machine: only its rows; columns: only these, None for all. Raises BadInput when the file is
    damaged or of a newer version.
    """
    try:
        found = pq.read_schema(path).metadata or {}
        version = int(found.get(VERSION_KEY, b"0"))
        check_version(str(path), version)
        filters = None if machine is None else [("machine", "==", machine)]
        current = version == JOURNAL_VERSION
        table = pq.ParquetDataset(path, filters=filters, partitioning=None).read(
            list(columns) if current and columns is not None else None
        )
    except (pa.ArrowException, OSError) as error:
        cure = "Restore the journal and the register from the same backup."
        raise BadInput(Fault(str(path), "a whole column file", str(error), cure)) from error
    upgraded = table if current else upgrade(table, version)
    schema = FILE_SCHEMAS[dataset]
    wanted = schema if columns is None else pa.schema([schema.field(name) for name in columns])
    return upgraded.select(wanted.names).cast(wanted)


def check_version(place: str, version: int) -> None:
    """Raise BadInput for a file that a newer Balewright wrote."""
    if version > JOURNAL_VERSION:
        need = f"a file of schema version {JOURNAL_VERSION} or older"
        cure = "Install the newer Balewright that wrote it."
        raise BadInput(Fault(place, need, f"version {version}", cure))


def upgrade(
    table: pa.Table,
    version: int,
    steps: Mapping[int, Upgrade] | None = None,
    target: int = JOURNAL_VERSION,
) -> pa.Table:
    """Bring a table of an older version to `target`, step by step; BadInput for a missing step."""
    steps = UPGRADES if steps is None else steps
    for now in range(version, target):
        if now not in steps:
            need = f"a way from schema version {now} to {now + 1}"
            raise BadInput(Fault("journal", need, "none", "Restore a backup of that version."))
        table = steps[now](table)
    return table
