"""Counted bales -> rows of the bale table, in batches. Identity is taken, never invented."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from balewright.readers.task_data.dictionary import Id
from balewright.readers.task_data.log_bales import LogBales, MachineLog
from balewright.readers.task_data.result import TaskData, TaskRecord
from balewright.records.bales import BaleTable, bale_table, concatenate
from balewright.records.columns import BY_NAME
from balewright.records.intake import MAX_BATCH_ROWS, Batch, Doubt
from balewright.records.quality import Mark

LIFE_EPOCH: Final = 0
"""A lifetime number stands in epoch 0; a task counter's epoch is unknown, so that its number
identifies a bale only together with the time of its step."""

_AT_STEP: Final = {"moisture_frac": (Id.MEAN_MOISTURE, Id.MOISTURE)}
_LATER: Final = {
    "moisture_frac": (Id.LAST_MOISTURE,),
    "knives_in": (Id.KNIVES,),
    "film_width_m": (Id.FILM_WIDTH,),
    "film_m": (Id.FILM_USED,),
    "said_stretch_frac": (Id.FILM_STRETCH,),
    "said_overlap_frac": (Id.FILM_OVERLAP,),
    "said_layers": (Id.FILM_LAYERS,),
}
"""Values of the last bale may come after the count stepped: the last before the next step."""
_BINDINGS: Final = {1: "net", 2: "twine", 3: "film"}
"""Binding method by the dictionary; mixed bindings (4, 5) have no word in the table: unknown."""


def task_bales(data: TaskData) -> Iterator[Batch]:
    """Every bale the logs counted, in batches of at most MAX_BATCH_ROWS rows.

    data: from `open_task_data`. The first batch also carries what was refused and doubted in the
    set and in its tasks. `tipped_at` is the time of the count's step by the log's own clock (in
    UTC where the task's periods say how far it is off); `bale_no` the machine's lifetime number
    where it gives one, else the counter's. Bales of logs that no task names are not given.
    """
    refusals = (*data.refusals, *(each for record in data.tasks for each in record.refused))
    doubts = [*data.doubts, *(each for record in data.tasks for each in record.doubtful)]
    tables = []
    for word, record in zip(job_words(data.tasks), data.tasks, strict=True):
        for counted in record.counted:
            if len(counted.rows):
                tables.append(_table(word, counted))
            if len(counted.rows) and not counted.part.machine:
                text = "no device says which machine counted here: its bales have no machine"
                log = counted.part.log.file
                doubts.append(Doubt(log, "whole log", Mark.IDENTITY_UNKNOWN, text))
    bales = concatenate(tables) if tables else bale_table(0, {})
    for low in range(0, max(1, bales.rows), MAX_BATCH_ROWS):
        picked = np.arange(low, min(low + MAX_BATCH_ROWS, bales.rows))
        yield Batch(bales.take(picked), (), refusals if not low else (), tuple(doubts))
        doubts = []


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


def _table(job: str, counted: LogBales) -> BaleTable:
    part, rows, n = counted.part, counted.rows, len(counted.rows)
    life = counted.life_numbers
    columns: dict[str, Any] = {
        "machine": [part.machine or None] * n,
        "job": [job] * n,
        "bale_no": life if life is not None else counted.numbers,
        "counter_epoch": [LIFE_EPOCH if life is not None else None] * n,
        "tipped_at": part.log.at_us[rows],
        "mass_kg": counted.mass_kg,
        "mass_how": [None if np.isnan(mass) else "sensed" for mass in counted.mass_kg],
        "lat": part.log.lat[rows],
        "lon": part.log.lon[rows],
    }
    ends = np.append(rows[1:], part.log.rows) - 1
    for at, names in ((rows, _AT_STEP), (np.maximum(ends, rows), _LATER)):
        for name, numbers in names.items():
            for number in numbers:
                if number in part.columns:
                    columns[name] = _believed(name, _carried(part, number, at, _si(part, number)))
                    break
    if "moisture_frac" in columns:
        known = ~np.isnan(columns["moisture_frac"])
        columns["moisture_how"] = ["sensed" if each else None for each in known]
    if "knives_in" in columns:
        columns["knives_in"] = [
            None if np.isnan(each) else round(each) for each in columns["knives_in"]
        ]
    if Id.BINDING in part.columns:
        raws = _carried(part, Id.BINDING, np.maximum(ends, rows), lambda raw: raw)
        columns["binding"] = [_BINDINGS.get(int(raw)) for raw in np.nan_to_num(raws, nan=-1)]
    return bale_table(n, columns)


def _si(part: MachineLog, number: int) -> Callable[[NDArray[Any]], NDArray[Any]]:
    worth = part.worth(number)
    return lambda raws: (raws + worth.shift_raw) * worth.si_factor


def _carried(
    part: MachineLog,
    number: int,
    at: NDArray[np.int64],
    convert: Callable[[NDArray[Any]], NDArray[Any]],
) -> NDArray[np.float64]:
    """The value in force at each record (a value is written only when it changes), NaN before
    the first."""
    rows, raws = part.log.written(part.columns[number])
    place = np.searchsorted(rows, at, side="right") - 1
    if not len(raws):
        return np.full(len(at), np.nan)
    values = np.asarray(convert(raws.astype(np.float64)), dtype=np.float64)
    return np.where(place >= 0, values[np.maximum(place, 0)], np.nan)


def _believed(name: str, values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Values outside what the table can hold are unknown."""
    column = BY_NAME[name]
    low, high = column.low, column.high
    assert low is not None
    assert high is not None
    return np.where((values >= low) & (values <= high), np.round(values, 6), np.nan)
