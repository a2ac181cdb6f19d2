"""The real season of a baler's time logs, seen as signals."""

from __future__ import annotations

from pathlib import Path
from types import MappingProxyType

import numpy as np
import pytest

from balewright.readers.task_data.logged import TimeLog
from balewright.readers.task_data.opening import open_task_data
from balewright.records.cycles.bale_rows import to_bales
from balewright.records.cycles.cutting import cut_cycles
from balewright.records.signals import Signal, Signals

SEASON = "isoxml/10-square-baler-5-tasks-14-logs"


def as_signal(at_us: np.ndarray, values: np.ndarray, rows: np.ndarray) -> Signal:
    """Values as they were written, the record of each as its message."""
    known = np.isfinite(values)
    return Signal(at_us, values, known, np.zeros(len(values), dtype=np.bool_), rows)


def as_signals(log: TimeLog, machine: str) -> Signals:
    """A log's bale counter and its positions."""
    numbers = [column.number for column in log.columns]
    column = next(numbers.index(number) for number in (91, 214, 270) if number in numbers)
    rows, raws = log.written(column)
    by_name = {
        "job_bale_no": as_signal(log.at_us[rows], raws.astype(np.float64), rows.astype(np.int64)),
        "lat": as_signal(log.at_us, log.lat, np.arange(log.rows)),
        "lon": as_signal(log.at_us, log.lon, np.arange(log.rows)),
    }
    return Signals(log.file, machine, MappingProxyType(by_name))


@pytest.mark.derived
@pytest.mark.real_data
def test_count_steps_give_the_bales_of_the_season(data_dir: Path) -> None:
    """Cut from its signals each log has the bales that reading task data counts, 233 in all, each
    at the record of its count and at the place where the baler stood at the time told."""
    every = 0
    for task in open_task_data(data_dir / SEASON).tasks:
        for counted in task.counted:
            if counted.count is None:
                continue
            log = counted.log.decoded()
            signals = as_signals(log, counted.machine)
            bales, _, at = to_bales(cut_cycles(signals), signals)
            assert bales.rows == counted.count.gained
            every += bales.rows
            near = np.abs(log.at_us[at] - counted.at_us)
            assert near.max(initial=0) <= 1_000_000
            assert np.array_equal(bales.column("bale_no"), counted.numbers)
            opened_us = bales.column("gate_open_at")
            assert (opened_us <= log.at_us[at]).all()
            placed = np.flatnonzero(np.isfinite(log.lat))
            stood = placed[np.searchsorted(log.at_us[placed], opened_us, side="right") - 1]
            for name, places in (("lat", log.lat), ("lon", log.lon)):
                known = bales.mask(name)
                assert np.array_equal(bales.column(name)[known], places[stood][known])
    assert every == 233
