"""What the machine writes down of a season: one row a bale, under its own numbers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from balewright.records.bales import BaleTable, masked_table
from balewright.records.columns import BY_NAME, Kind
from balewright.rehearsal.cycle import Made, Times
from balewright.rehearsal.days import Site
from balewright.rehearsal.faults import ConfuserKind, FaultKind
from balewright.rehearsal.sensed import writes
from balewright.rehearsal.sensing import read_sensors
from balewright.rehearsal.task import Floats, Task

_TIMES: Final = {
    "closed_at": "closed_s",
    "full_at": "full_s",
    "bind_start_at": "bind_start_s",
    "bind_end_at": "bind_end_s",
    "gate_open_at": "gate_open_s",
    "on_wrapper_at": "on_wrapper_s",
    "wrap_start_at": "wrap_start_s",
    "wrap_end_at": "wrap_end_s",
    "tipped_at": "tipped_s",
}
_HOW: Final = (
    ("diameter_how", "diameter_m"), ("mass_how", "mass_kg"), ("moisture_how", "moisture_frac"),
)  # fmt: skip
_FIELD_DEG: Final = 6e-4
"""Spread of the bales of a field, degrees."""


@dataclass(frozen=True)
class Page:
    """Whose record it is and when it begins.

    sheets: keys of the sheet in force at first and after a change of setting; silent: columns
    whose sensor this one machine lacks; start_us: the season's first midnight.
    """

    serial: str
    sheets: tuple[str | None, str | None]
    sites: tuple[Site, ...]
    silent: frozenset[str]
    start_us: int


def number_bales(task: Task, first: int) -> NDArray[np.int64]:
    """The number each bale gets, shape (bales,)."""
    rows = np.arange(task.bales)
    numbers = first + rows
    for bale, _ in task.placed(ConfuserKind.SWAPPED_CONTROL):
        numbers = np.where(rows >= bale, rows - bale + 1, numbers)
    for fault in task.planted:
        if fault.kind is not FaultKind.COUNTER:
            continue
        after = rows >= fault.start
        if fault.severity == 1:
            numbers = np.where(after, rows - fault.start + 1, numbers)
        elif fault.severity == 2:
            numbers = np.where(after, numbers + 7, numbers)
        else:
            numbers = np.where(after, numbers - 2, numbers)
    return numbers


def write_table(
    task: Task, made: Made, times: Times, page: Page, numbers: NDArray[np.int64]
) -> BaleTable:
    """The bale table of one machine's season: columns it does not record stay out."""
    floats = _write_times(times, page.start_us) | read_sensors(task, made)
    where = [page.sites[job % len(page.sites)] for job in task.schedule.job.tolist()]
    for name, place in (("lat", [site.lat for site in where]),
                        ("lon", [site.lon for site in where])):  # fmt: skip
        floats[name] = np.round(np.array(place) + task.by_bale(name, _FIELD_DEG), 6)
    machine = task.machine
    floats = {name: values for name, values in floats.items() if writes(machine, name, page.silent)}
    for fault, progress in zip(task.planted, task.progress, strict=True):
        if fault.kind is FaultKind.COLUMN_SILENT:
            name = silent_column(fault.column, frozenset(floats))
            if name:
                floats[name] = np.where(progress > 0, np.nan, floats[name])
    text = _write_text(task, made, page)
    text["job"] = np.array([site.job for site in where], dtype=object)
    return _table(task.bales, text, floats, numbers)


def silent_column(asked: str, written: frozenset[str]) -> str:
    """The column that goes silent: as asked, or the first of the book's that is written."""
    if asked:
        return asked if asked in written else ""
    return next((name for name in _FIRST if name in written), "")


_FIRST: Final = (
    "mass_kg", "moisture_frac", "diameter_m", "gate_opening_mm", "chamber_bar", "oil_c",
    "binding_m", "film1_m", "film_m", "bind_start_at",
)  # fmt: skip


def _write_times(times: Times, start_us: int) -> dict[str, Floats]:
    columns = {}
    for name, field in _TIMES.items():
        seconds = getattr(times, field)
        whole_us = np.round(np.nan_to_num(seconds) * 10) * 100_000
        columns[name] = np.where(np.isnan(seconds), np.nan, start_us + whole_us)
    return columns


def _write_text(task: Task, made: Made, page: Page) -> dict[str, NDArray[Any]]:
    def always(word: str) -> NDArray[Any]:
        return np.full(task.bales, word, dtype=object)

    text = {
        "machine": always(page.serial),
        "binding": always(task.targets.binding),
        "status": always("ok"),
        "crop": always(task.targets.crop),
    }
    first, then = page.sheets
    if first is not None:
        text["sheet"] = always(first)
        for bale, _ in task.placed(ConfuserKind.SETTING_CHANGED):
            text["sheet"][bale:] = first if then is None else then
    for name, sensed in _HOW:
        if writes(task.machine, sensed, page.silent):
            text[name] = always("sensed")
    if writes(task.machine, "mode", page.silent):
        text["mode"] = np.where(made.loads.by_hand, "by hand", "automatic").astype(object)
    if writes(task.machine, "operator", page.silent):
        text["operator"] = np.array([f"driver {n + 1}" for n in made.crop.driver], dtype=object)
    if writes(task.machine, "codes", page.silent):
        text["codes"] = _say_codes(task.bales, made.loads.said)
    return text


def _say_codes(bales: int, said: Mapping[str, NDArray[np.bool_]]) -> NDArray[Any]:
    words = np.full(bales, "", dtype=object)
    for code, came in said.items():
        for bale in np.flatnonzero(came).tolist():
            words[bale] = f"{words[bale]} {code}".strip()
    return words


def _table(
    count: int,
    text: Mapping[str, NDArray[Any]],
    floats: Mapping[str, Floats],
    numbers: NDArray[np.int64],
) -> BaleTable:
    values: dict[str, NDArray[Any]] = dict(text)
    known = {name: np.ones(count, dtype=np.bool_) for name in text}
    if "codes" in text:  # a cycle without a code has an empty cell: unknown to the table
        known["codes"] = text["codes"] != ""
    values["bale_no"], known["bale_no"] = numbers.astype(np.int64), np.ones(count, dtype=np.bool_)
    for name, column in floats.items():
        mask = np.isfinite(column)
        kind = np.float64 if BY_NAME[name].kind is Kind.FLOAT else np.int64
        values[name] = np.where(mask, column, 0.0).astype(kind)
        known[name] = mask
    return masked_table(count, values, known)
