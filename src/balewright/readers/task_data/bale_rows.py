"""Counted bales -> rows of the bale table, in batches. Identity is taken, never invented."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, Final

import numpy as np

from balewright.readers.task_data.log_bales import LogBales
from balewright.readers.task_data.result import TaskData, TaskRecord
from balewright.records.bales import BaleTable, bale_table, concatenate
from balewright.records.intake import MAX_BATCH_ROWS, Batch, Doubt, Places, PlaceUnit
from balewright.records.quality import Mark

LIFE_EPOCH: Final = 0
"""A lifetime number stands in epoch 0; a task counter's epoch is unknown, so that its number
identifies a bale only together with the time of its step."""

_Named = tuple[str | None, LogBales]
_Piece = tuple[str | None, LogBales, slice]

_HOW: Final = {
    "mass_kg": "mass_how",
    "moisture_frac": "moisture_how",
    "diameter_m": "diameter_how",
}


def task_bales(data: TaskData) -> Iterator[Batch]:
    """Every bale the logs counted, in batches of at most MAX_BATCH_ROWS rows, with the byte of
    the record in which its count stepped.

    data: from `open_task_data`. The first batch also carries what was refused and doubted in the
    set and in its tasks. `tipped_at` is the time of the count's step by the log's own clock (in
    UTC where the task's periods or the receiver say how far it is off); `bale_no` the machine's
    lifetime number where it gives one, else the counter's. Bales of logs that no task names have
    no job. Who drove stands in the set's allocations and never in a bale.
    """
    refusals = (*data.refusals, *(each for record in data.tasks for each in record.refused))
    doubts = [*data.doubts, *(each for record in data.tasks for each in record.doubtful)]
    named: list[_Named] = [
        (word, counted)
        for word, record in zip(job_words(data.tasks), data.tasks, strict=True)
        for counted in record.counted
    ]
    named += [(None, counted) for counted in data.loose]
    for _, counted in named:
        if len(counted.rows) and not counted.machine:
            text = "no device says which machine counted here: its bales have no machine"
            doubts.append(Doubt(counted.log.file, "whole log", Mark.IDENTITY_UNKNOWN, text))
    first = True
    for pieces in _filled(named):
        tables = [_table(word, counted, part) for word, counted, part in pieces]
        yield Batch(
            concatenate(tables) if tables else bale_table(0, {}),
            (),
            refusals if first else (),
            tuple(doubts) if first else (),
            _places(pieces),
        )
        first = False


def _filled(named: Sequence[_Named]) -> Iterator[list[_Piece]]:
    """The bales of the logs, cut and packed into batches; one empty batch where there is none."""
    held: list[_Piece] = []
    rows = 0
    for word, counted in named:
        low, end = 0, len(counted.rows)
        while low < end:
            high = min(end, low + MAX_BATCH_ROWS - rows)
            held.append((word, counted, slice(low, high)))
            rows += high - low
            low = high
            if rows == MAX_BATCH_ROWS:
                yield held
                held, rows = [], 0
    if held or not any(len(counted.rows) for _, counted in named):
        yield held


def _places(pieces: Sequence[_Piece]) -> Places:
    files = [counted.log.file for _, counted, part in pieces for _ in counted.rows[part]]
    at = np.concatenate(
        [np.zeros(0, np.int64), *(counted.offsets[part] for _, counted, part in pieces)]
    )
    return Places(np.array(files, dtype=object), at, PlaceUnit.BYTE)


def job_words(tasks: Sequence[TaskRecord]) -> tuple[str, ...]:
    """The word each task's bales carry: its name, told apart by its identifier where tasks of
    the set share a name but not customer, farm and field."""
    places: dict[str, set[tuple[str | None, ...]]] = {}
    for each in tasks:
        places.setdefault(each.task.job, set()).add((each.customer, each.farm, each.field))
    return tuple(
        f"{each.task.job} [{each.task.key}]" if len(places[each.task.job]) > 1 else each.task.job
        for each in tasks
    )


def _table(job: str | None, counted: LogBales, part: slice) -> BaleTable:
    n = len(counted.rows[part])
    life = counted.life_numbers
    columns: dict[str, Any] = {
        "machine": [counted.machine or None] * n,
        "job": [job] * n,
        "bale_no": (life if life is not None else counted.numbers)[part],
        "counter_epoch": [LIFE_EPOCH if life is not None else None] * n,
        "tipped_at": counted.at_us[part],
        "mass_kg": counted.mass_kg[part],
        **{name: values[part] for name, values in counted.values.items()},
    }
    for name, how in _HOW.items():
        if name in columns:
            columns[how] = ["sensed" if each else None for each in ~np.isnan(columns[name])]
    if "knives_in" in columns:
        columns["knives_in"] = [
            None if np.isnan(each) else round(each) for each in columns["knives_in"]
        ]
    return bale_table(n, columns)
