"""From a bale back to the rows that tell of it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import pyarrow as pa

from balewright.records.bale_keys import row_keys, write_keys
from balewright.records.columns import COLUMNS
from balewright.records.corrected import list_in_force
from balewright.records.corrections import Correction
from balewright.records.doubles import SAID_OF, SAYS_HOW, find_givers
from balewright.records.identity import TELLING, read_marks
from balewright.records.traced import Conflict, Source, Told, TracedBale, TracedValue, Why
from balewright.store.arrow import FILE_SCHEMAS, bales_from_arrow, read_part
from balewright.store.bucket_view import BucketView
from balewright.store.entries import Dataset
from balewright.store.resolve import Worked, list_conflicts, work_out


def trace_bale(
    rows: pa.Table, machine: str, key: str, corrections: Sequence[Correction]
) -> TracedBale | None:
    """The bale that answers to a key, None when none does.

    rows: all of the machine's, as they were taken in; corrections: of that machine.
    """
    worked = work_out(rows, corrections)
    telling = bales_from_arrow(rows.select(list(TELLING)))
    own = row_keys(read_marks(telling, worked.sources), worked.sources, worked.files)
    marks = worked.corrected.marks
    keys = write_keys(marks, marks.epoch, worked.sources, worked.files)
    group = worked.choice.group
    # The key it has now first: a corrected number may be what another bale was called before.
    hit = [row for row, now in enumerate(keys) if now == key]
    hit = hit or [row for row, before in enumerate(own) if before == key]
    if not hit:
        return None
    ranked = worked.choice.rank
    mine = ranked[group[ranked] == group[hit[0]]]
    told = worked.corrected.told
    names = tuple(sorted({*(own[row] for row in mine.tolist()), keys[mine[0]]}))
    about = [one for one in corrections if {*one.bales} & {*names}]
    stays = worked.choice.stays[mine]
    return TracedBale(
        machine=machine,
        key=keys[mine[0]],
        answers_to=names,
        sources=tuple(_source(rows, row) for row in mine.tolist()),
        values=_values(worked, rows, mine, about),
        corrections=tuple(about),
        counts=bool(told.counts[group[hit[0]]]),
        is_pass=bool(told.passes[group[hit[0]]]),
        repeated=int(np.count_nonzero(stays)) > 1,
    )


def read_conflicts(view: BucketView) -> tuple[Conflict, ...]:
    """Conflicts of the view's machine: stored where nothing changed since, else found anew."""
    if view.machine is None or view.machine in view.changed:
        rows = view.read_raw(Dataset.BALES)
        table = list_conflicts(work_out(rows, [one for _, one in view.corrections]))
    else:
        parts = [part for part in view.parts if part.dataset is Dataset.CONFLICTS]
        kept = [read_part(view.path(part), Dataset.CONFLICTS, view.machine) for part in parts]
        table = pa.concat_tables([FILE_SCHEMAS[Dataset.CONFLICTS].empty_table(), *kept])
    return tuple(
        Conflict(
            key=line["bale_key"],
            column=line["column"],
            value=line["value"],
            source=line["source"],
            row=line["source_row"],
            other=line["other"],
            other_source=line["other_source"],
            other_row=line["other_row"],
            why=Why(line["why"]),
        )
        for line in table.to_pylist()
    )


def _values(
    worked: Worked, rows: pa.Table, mine: Any, about: Sequence[Correction]
) -> tuple[TracedValue, ...]:
    said = bales_from_arrow(rows.take(pa.array(mine)))
    counts = bales_from_arrow(worked.rows.take(pa.array(mine)))
    place = {row: number for number, row in enumerate(mine.tolist())}
    force = list_in_force(about)
    found = []
    for column in COLUMNS:
        name = column.name
        changed = tuple(one for one in force if _touches(one, name))
        if not said.has(name) and not changed:
            continue
        of = SAID_OF.get(name, name)
        known = worked.rows.column(of).combine_chunks().is_valid().to_numpy(zero_copy_only=False)
        giver = place[int(find_givers(worked.choice, known)[mine[0]])]
        value = counts.cell(giver, name)
        told = [Told(said.cell(row, name), row) for row in range(said.rows)]
        others = tuple(one for one in told if one.value is not None and one.source != giver)
        by = told[giver] if told[giver].value is not None else None
        if changed:
            others = (*((by,) if by is not None else ()), *others)
            found.append(TracedValue(name, value, None, Why.CORRECTED, others, changed))
        else:
            why = _why(worked, mine, giver, [one for one in others if one.value != value])
            why = Why.ONLY if not others else why
            found.append(TracedValue(name, value, by, why, others))
    return tuple(found)


def _why(worked: Worked, mine: Any, giver: int, otherwise: Sequence[Told]) -> Why:
    if not otherwise:
        return Why.SAME
    first, other = mine[giver], mine[otherwise[0].source]
    if worked.sources.file[first] == worked.sources.file[other]:
        return Why.SAME_FILE
    more = worked.sources.known_cells[first] > worked.sources.known_cells[other]
    return Why.MORE_KNOWN if more else Why.LOWER_HASH


def _touches(one: Correction, column: str) -> bool:
    return one.column == column or SAYS_HOW.get(one.column) == column


def _source(rows: pa.Table, row: int) -> Source:
    line = rows.slice(row, 1).select(
        ["source", "source_row", "known_cells", "source_file", "source_at", "source_unit"]
    ).to_pylist()[0]  # fmt: skip
    return Source(
        sha256=line["source"],
        row=line["source_row"],
        known_cells=line["known_cells"],
        file=line["source_file"] or "",
        at=line["source_at"],
        unit=line["source_unit"],
    )
