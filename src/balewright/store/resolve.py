"""From rows as they were taken in to one row a bale: the same whether stored or worked out anew."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc

from balewright.records.bale_keys import write_keys
from balewright.records.columns import COLUMNS
from balewright.records.corrected import Corrected, correct_rows
from balewright.records.corrections import Correction
from balewright.records.doubles import SAID_OF, Choice, choose_rows, find_givers, first_of_each
from balewright.records.identity import BALE_TIMES, TELLING, Sources, bale_times
from balewright.store.arrow import BALE_SCHEMA, FILE_SCHEMAS, bales_from_arrow, take_rows
from balewright.store.entries import Dataset

PROVENANCE: Final = ("source", "source_row", "known_cells")
BOOKED: Final = ("job", "status", "mass_kg")
"""Columns the book asks of a bale, as far as any of its rows knows them."""

MORE_KNOWN, LOWER_HASH, SAME_FILE = "more known", "lower hash", "same file"
"""Why a value counts: its row knew more; as much, and its file's hash is lower; comes first."""


@dataclass(frozen=True, eq=False)
class Worked:
    """Rows with what was found of them, before anything is left out.

    rows: as taken in, corrections laid over; files: hashes, by number in `sources`; order: row
    numbers by machine, within it as the bales were made.
    """

    rows: pa.Table
    files: tuple[str, ...]
    sources: Sources
    corrected: Corrected
    choice: Choice
    order: Any


def work_out(rows: pa.Table, corrections: Sequence[Correction] = ()) -> Worked:
    """Tell rows apart and say which count.

    rows: at least TELLING and PROVENANCE, of whole machines; corrections: of any machines.
    """
    names, file = _number_files(rows)
    telling = bales_from_arrow(rows.select(list(TELLING)))
    sources = Sources(
        file, rows.column("source_row").to_numpy(), rows.column("known_cells").to_numpy()
    )
    corrected = correct_rows(telling, sources, names, corrections)
    for laid in corrected.overlays:
        if laid.column in rows.column_names:
            rows = _lay(rows, laid.column, laid.value, laid.rows)
    choice = choose_rows(corrected.told, sources)
    return Worked(rows, names, sources, corrected, choice, _as_made(corrected, sources))


def resolve(worked: Worked) -> pa.Table:
    """One row a bale, with the columns that `worked.rows` has of the bale table and all others of
    the resolved schema. Rows that one file gives twice both stay; `is_first` is 1 for one of them.
    """
    choice, told = worked.choice, worked.corrected.told
    staying = worked.order[choice.stays[worked.order]]
    head = np.zeros(worked.rows.num_rows, dtype=np.int64)
    head[first_of_each(choice.group, choice.rank)] = 1
    given = _Given(worked, staying)
    columns = {name: given.take(name) for name in BALE_SCHEMA.names if name in given.names}
    made = pa.table({name: columns[name] for name in BALE_TIMES})
    times, timed = bale_times(bales_from_arrow(made))
    group = choice.group[staying]
    keys = write_keys(
        worked.corrected.marks, worked.corrected.marks.epoch, worked.sources, worked.files
    )
    columns |= {
        "bale_us": pa.array(times, mask=~timed),
        "bale_key": take_rows(pa.array(keys, pa.string()), staying),
        "is_first": pa.array(head[staying]),
        "counts": pa.array(head[staying] * told.counts[group]),
        "passes": pa.array(head[staying] * told.passes[group]),
        **_booked(worked, group),
        "sources": _sources(worked, group),
        **{name: take_rows(worked.rows.column(name), staying) for name in PROVENANCE[:2]},
    }
    schema = FILE_SCHEMAS[Dataset.RESOLVED]
    kept = pa.schema([field for field in schema if field.name in columns])
    return pa.table([columns[field.name] for field in kept], names=kept.names).cast(kept)


def list_conflicts(worked: Worked) -> pa.Table:
    """Where two rows of one bale say different things: both, and why the first counts."""
    schema = FILE_SCHEMAS[Dataset.CONFLICTS]
    choice, marks = worked.choice, worked.corrected.marks
    rows = np.flatnonzero(np.bincount(choice.group, minlength=1)[choice.group] > 1)
    if not len(rows):
        return schema.empty_table()
    head = first_of_each(choice.group, choice.rank)[choice.group]
    epoch = marks.epoch
    keys: pa.Array = pa.array(write_keys(marks, epoch, worked.sources, worked.files), pa.string())
    found = [schema.empty_table()]
    for column in COLUMNS:
        if column.name == "machine" or column.name not in worked.rows.column_names:
            continue
        cells = worked.rows.column(column.name).combine_chunks()
        of = SAID_OF.get(column.name, column.name)
        known = _known(worked.rows, of if of in worked.rows.column_names else column.name)
        giver = find_givers(choice, known)[head[rows]]
        differs = pc.fill_null(
            pc.not_equal(cells.take(pa.array(giver)), cells.take(pa.array(rows))), False
        )
        other = rows[differs.to_numpy(zero_copy_only=False)]
        if len(other):
            giver = giver[differs.to_numpy(zero_copy_only=False)]
            found.append(_conflicts(worked, column.name, keys, (giver, other)))
    return pa.concat_tables(found)


def _conflicts(worked: Worked, name: str, keys: pa.Array, pair: tuple[Any, Any]) -> pa.Table:
    giver, other = pair
    cells, sources = worked.rows.column(name), worked.sources
    as_text = cells.cast(pa.string())
    source, row = worked.rows.column("source"), worked.rows.column("source_row")
    same = sources.file[giver] == sources.file[other]
    more = sources.known_cells[giver] > sources.known_cells[other]
    why = np.where(same, SAME_FILE, np.where(more, MORE_KNOWN, LOWER_HASH))
    counts, not_ = pa.array(giver), pa.array(other)
    columns = {
        "machine": worked.rows.column("machine").take(not_),
        "bale_key": keys.take(not_),
        "column": pa.array([name] * len(other), pa.string()),
        "value": as_text.take(counts),
        "source": source.take(counts),
        "source_row": row.take(counts),
        "other": as_text.take(not_),
        "other_source": source.take(not_),
        "other_row": row.take(not_),
        "why": pa.array(why.tolist(), pa.string()),
    }
    return pa.table(columns).cast(FILE_SCHEMAS[Dataset.CONFLICTS])


class _Given:
    """Columns of the rows that stay, gaps filled."""

    def __init__(self, worked: Worked, staying: Any) -> None:
        self._worked, self._staying = worked, staying
        self.names = set(worked.rows.column_names)
        self._plain = bool(worked.choice.stays.all())

    def take(self, name: str) -> Any:
        return take_rows(self._worked.rows.column(name), self.givers(name))

    def givers(self, name: str) -> Any:
        if self._plain:
            return self._staying
        of = SAID_OF.get(name, name)
        known = _known(self._worked.rows, of if of in self.names else name)
        return find_givers(self._worked.choice, known)[self._staying]


def _booked(worked: Worked, group: Any) -> dict[str, Any]:
    """What the book says of each bale: from the row that counts, else the next one that knows."""
    columns: dict[str, Any] = {}
    choice = worked.choice
    counting = first_of_each(choice.group, choice.rank)
    for name in BOOKED:
        if name not in worked.rows.column_names:
            continue
        known = _known(worked.rows, name)
        able = first_of_each(choice.group, choice.rank[known[choice.rank]])
        giver = counting.copy()  # of a group of which no row knows, any row is as unknown
        giver[choice.group[able]] = able
        said = take_rows(worked.rows.column(name), giver[group])
        columns[f"book_{name}"] = said
        if name == "job":
            source = take_rows(worked.rows.column("source"), giver[group])
            columns["book_source"] = pc.if_else(said.is_valid(), source, None)
    return columns


def _sources(worked: Worked, group: Any) -> Any:
    """The files that tell of each bale, by hash, with a space between."""
    own, file = worked.choice.group, worked.sources.file
    if not len(own):
        return pa.array([], pa.string())
    pairs = np.unique(np.stack([own, file], axis=1), axis=0) if len(worked.files) > 1 else None
    if pairs is None:
        return pa.repeat(pa.scalar(worked.files[0], pa.string()), len(group))
    starts = np.searchsorted(pairs[:, 0], np.arange(int(own.max()) + 2))
    which = pairs[:, 1].tolist()
    told = [
        " ".join(worked.files[number] for number in which[low:high])
        for low, high in zip(starts[group].tolist(), starts[group + 1].tolist(), strict=True)
    ]
    return pa.array(told, pa.string())


def _as_made(corrected: Corrected, sources: Sources) -> Any:
    """Row numbers by machine and time; a row without a time follows the row before it in its
    file.
    """
    telling, marks = corrected.telling, corrected.marks
    machine = np.where(telling.mask("machine"), marks.machine, -1)
    within = np.lexsort((sources.row, sources.file, machine))
    timed = marks.timed[within]
    held = np.maximum.accumulate(np.where(timed, np.arange(len(within)), -1))
    before = within[np.maximum(held, 0)]
    same = (held >= 0) & (sources.file[within] == sources.file[before])
    same &= machine[within] == machine[before]
    when = np.empty(len(within), dtype=np.int64)
    when[within] = np.where(same, marks.time[before], np.iinfo(np.int64).min)
    return np.lexsort((sources.row, sources.file, when, machine))


def _number_files(rows: pa.Table) -> tuple[tuple[str, ...], Any]:
    """Hashes in their order, and each row's number among them."""
    coded = rows.column("source").combine_chunks().dictionary_encode()
    names = coded.dictionary.to_pylist()
    order = sorted(range(len(names)), key=names.__getitem__)
    rank = np.empty(len(names), dtype=np.int64)
    rank[order] = np.arange(len(names))
    file = rank[coded.indices.to_numpy()] if len(names) else np.empty(0, dtype=np.int64)
    return tuple(names[number] for number in order), file


def _lay(rows: pa.Table, name: str, value: Any, mask: Any) -> pa.Table:
    column = rows.column(name).combine_chunks()
    laid = pc.if_else(pa.array(mask), pa.scalar(value, column.type), column)
    return rows.set_column(rows.column_names.index(name), rows.schema.field(name), laid)


def _known(rows: pa.Table, name: str) -> Any:
    return rows.column(name).combine_chunks().is_valid().to_numpy(zero_copy_only=False)
