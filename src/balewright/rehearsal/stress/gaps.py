"""Cells, columns and rows that are not there, and rows that are there twice."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.records.bales import BaleTable, masked_table
from balewright.records.columns import BY_NAME, COLUMNS, Kind
from balewright.rehearsal.stress.stressed import Mask, Stressed, work_days

_IDENTITY: Final = frozenset({"bale_no", "counter_epoch", "closed_at", "gate_open_at"})
CELLS: Final = tuple(
    one.name for one in COLUMNS if one.kind is not Kind.TEXT and one.name not in _IDENTITY
)
"""Columns in which cells may be missing: not those that say which bale a row is."""
SENSED: Final = tuple(name for name in CELLS if BY_NAME[name].kind is not Kind.TIME)
_BURST_BALES: Final = 40.0


def _without(bales: BaleTable, gone: dict[str, Mask]) -> BaleTable:
    """A table in which cells are unknown, values cleared with their mask."""
    values, known = dict(bales.values), dict(bales.known)
    for name, rows in gone.items():
        if name in values:
            empty = np.zeros(1, dtype=values[name].dtype)
            values[name] = np.where(rows, "" if BY_NAME[name].kind is Kind.TEXT else empty,
                                    values[name]).astype(values[name].dtype)  # fmt: skip
            known[name] = known[name] & ~rows
    return masked_table(bales.rows, values, known)


def _everywhere(one: Stressed, bales: BaleTable, key: str) -> Stressed:
    return replace(one, bales=bales).told(key, np.ones(bales.rows, dtype=np.bool_))


def cells_missing(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """A share `severity` of cells is unknown, each by itself."""
    gone = chance.random((len(CELLS), one.bales.rows)) < severity
    bales = _without(one.bales, dict(zip(CELLS, gone, strict=True)))
    return _everywhere(one, bales, "cells missing")


def bursts_missing(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """Columns fall silent for 40 bales on average, for a share `severity` of all, below 0.9."""
    drawn = chance.random((one.bales.rows, len(SENSED)))
    begins = severity / (1.0 - severity) / _BURST_BALES
    silent = np.zeros(drawn.shape, dtype=np.bool_)
    now: NDArray[np.bool_] = drawn[0] < severity
    silent[0] = now
    for row in range(1, len(drawn)):
        now = np.where(now, drawn[row] >= 1.0 / _BURST_BALES, drawn[row] < begins)
        silent[row] = now
    bales = _without(one.bales, dict(zip(SENSED, silent.T, strict=True)))
    return _everywhere(one, bales, "bursts missing")


def columns_missing(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """Each column but numbers and times is not recorded at all, with chance `severity`."""
    drawn = chance.random(len(SENSED)) < severity
    every = np.ones(one.bales.rows, dtype=np.bool_)
    gone = {name: every for name, missing in zip(SENSED, drawn, strict=True) if missing}
    for name in ("diameter_m", "mass_kg", "moisture_frac"):
        if name in gone:
            gone[name.rsplit("_", 1)[0] + "_how"] = every
    return _everywhere(one, _without(one.bales, gone), "columns missing")


def _kept(one: Stressed, rows: NDArray[np.int64]) -> Stressed:
    return replace(one, bales=one.bales.take(rows), origin=one.origin[rows])


def short_history(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """The first share `severity` of the rows is not kept, nor the events before the rest."""
    del chance
    first = min(int(severity * one.bales.rows), one.bales.rows - 1)
    lost = np.arange(one.bales.rows) < first
    since = one.bales.cell(first, "closed_at")
    done = _kept(one.told("short history", lost), np.flatnonzero(~lost))
    if since is None:
        return done
    events = [event for event in one.events if event.at_us is None or event.at_us >= since]
    return replace(done, events=tuple(events))


def bales_missing(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """A share `severity` of rows is not there, each by itself; the first row always is."""
    lost = chance.random(one.bales.rows) < severity
    lost[0] = False
    return _kept(one.told("bales missing", lost), np.flatnonzero(~lost))


def lost_day(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """`severity` working days, neither first nor last, have no rows; a part of one by chance."""
    days = work_days(one.bales)
    count = int(severity) + int(chance.random() < severity - int(severity))
    inner = np.arange(1, int(days[-1]))
    drawn = chance.permutation(inner)[:count]
    for day in drawn:
        one = one.told("lost day", days == day)
    return _kept(one, np.flatnonzero(~np.isin(days, drawn)))


def rows_doubled(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """A share `severity` of rows stands twice, one right after the other."""
    twice = chance.random(one.bales.rows) < severity
    rows = np.repeat(np.arange(one.bales.rows), np.where(twice, 2, 1))
    return _kept(one.told("rows doubled", twice), rows)
