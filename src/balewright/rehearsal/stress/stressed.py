"""Records of one machine under stress, and the careful writing of changed columns."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from balewright.records.bales import BaleTable, masked_table
from balewright.records.columns import BY_NAME, COLUMNS, Kind
from balewright.records.events import Event

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Mask = NDArray[np.bool_]

US: Final = 1_000_000
_PAUSE_US: Final = 4 * 3600 * US
_NOT_SENSED: Final = frozenset(
    {"density_dial", "wrap_turns", "said_layers", "film_width_m", "roll_lost_turn", "lat", "lon"}
)
READINGS: Final = tuple(
    one.name for one in COLUMNS if one.kind is Kind.FLOAT and one.name not in _NOT_SENSED
)
"""Columns that a sensor reads; the others are counted, set, entered or told by position."""

_STEPS: Final[Mapping[str, float]] = {
    "diameter_m": 0.01, "diameter_left_m": 0.01, "diameter_right_m": 0.01, "wrap_bale_turns": 0.01,
    "said_overlap_frac": 0.01, "said_stretch_frac": 0.01, "speed_m_s": 0.01, "pitch_frac": 0.001,
    "roll_frac": 0.001, "moisture_frac": 0.001, "moisture_max_frac": 0.001,
    "gate_opening_mm": 1.0, "chamber_bar": 1.0, "knife_bar": 1.0, "mass_kg": 1.0, "pto_rpm": 1.0,
    "pto_torque_nm": 1.0,
}  # fmt: skip
_STEP: Final = 0.1


@dataclass(frozen=True)
class Span:
    """Where a stressor worked: its key, the machine, first and last row of the plain table."""

    key: str
    machine: str
    first: int
    last: int


@dataclass(frozen=True, eq=False)
class Stressed:
    """Records under stress.

    origin: the row of the plain table behind each row, shape (rows,); added: name of a field of
    the truth -> what is to be added to it, shape (plain rows,); spans: what worked where.
    """

    bales: BaleTable
    events: tuple[Event, ...]
    origin: Ints
    added: Mapping[str, Floats] = field(default_factory=dict)
    spans: tuple[Span, ...] = ()

    def told(self, key: str, rows: Mask) -> Stressed:
        """The same, with the span between the first and the last of some rows noted."""
        if not rows.any():
            return self
        at = self.origin[rows]
        serial = str(self.bales.column("machine")[0])
        return replace(self, spans=(*self.spans, Span(key, serial, int(at.min()), int(at.max()))))

    def written(self, changes: Mapping[str, Floats]) -> Stressed:
        """The same, with columns changed (see `write`)."""
        return replace(self, bales=write(self.bales, changes))


def as_plain(bales: BaleTable, events: tuple[Event, ...]) -> Stressed:
    """Records before any stress."""
    return Stressed(bales, events, np.arange(bales.rows, dtype=np.int64))


def write(bales: BaleTable, changes: Mapping[str, Floats]) -> BaleTable:
    """A table with new values where a cell was known and the new value is finite.

    Values are shown in the step of their sensor and kept in the believable range; metres of both
    dispensers stay what the control adds up, and the highest moisture stays the highest.
    """
    done: dict[str, NDArray[Any]] = {}
    for name, wanted in changes.items():
        if name in bales.values:
            done[name] = _shown(bales, name, wanted)
    _tie_film(bales, done)
    if "moisture_frac" in done and bales.has("moisture_max_frac"):
        highest = done.get("moisture_max_frac", bales.column("moisture_max_frac"))
        both = bales.mask("moisture_frac") & bales.mask("moisture_max_frac")
        least = np.where(both, done["moisture_frac"], highest)
        done["moisture_max_frac"] = np.maximum(highest, least)
    return masked_table(bales.rows, {**bales.values, **done}, bales.known)


def _shown(bales: BaleTable, name: str, wanted: Floats) -> NDArray[Any]:
    column, old = BY_NAME[name], bales.column(name)
    changed = bales.mask(name) & np.isfinite(wanted) & (wanted != old)
    new = np.where(changed, wanted, 0.0)
    if column.kind is Kind.FLOAT:
        step = _STEPS.get(name, _STEP)
        new = np.round(np.round(new / step) * step, 6)
    new = np.clip(new, column.low, column.high) if column.low is not None else new
    if column.kind is not Kind.FLOAT:
        new = np.round(new)
    return np.where(changed, new.astype(old.dtype), old)


def _tie_film(bales: BaleTable, done: dict[str, NDArray[Any]]) -> None:
    """A control that added up its dispensers before still does."""
    if not bales.has("film_m") or not {"film1_m", "film2_m", "film_m"} & set(done):
        return
    places = [name for name in ("film1_m", "film2_m") if bales.has(name)]
    if not places:
        return
    known = np.all([bales.mask(name) for name in (*places, "film_m")], axis=0)
    before = np.sum([bales.column(name) for name in places], axis=0)
    after = np.sum([done.get(name, bales.column(name)) for name in places], axis=0)
    tied = known & (np.abs(bales.column("film_m") - before) < 0.15) & (after != before)
    stands = np.where(known & (after == before), bales.column("film_m"),
                      done.get("film_m", bales.column("film_m")))  # fmt: skip
    done["film_m"] = np.where(tied, np.round(after, 1), stands)


def scatter(values: Floats) -> float:
    """Standard deviation from bale to bale: sqrt(pi)/2 of the mean step, as for normal noise.

    values: a column with NaN where unknown, shape (n,). 0 where it never moves or has under 3.
    """
    known = values[np.isfinite(values)]
    if len(known) < 3:
        return 0.0
    return float(np.sqrt(np.pi) / 2.0 * np.abs(np.diff(known)).mean())


def work_days(bales: BaleTable) -> Ints:
    """Number of each row's working day, from 0, shape (rows,): a pause of 4 h ends a day."""
    at = _begun(bales)
    if at is None:
        return np.arange(bales.rows, dtype=np.int64) // 120
    return np.cumsum(np.diff(at, prepend=at[:1]) > _PAUSE_US).astype(np.int64)


def job_runs(bales: BaleTable) -> Ints:
    """Number of each row's job in the season, from 0: a day or another job word begins one."""
    job, day = bales.column("job"), work_days(bales)
    begins = np.zeros(bales.rows, dtype=np.bool_)
    begins[1:] = (job[1:] != job[:-1]) | (day[1:] != day[:-1])
    return np.cumsum(begins).astype(np.int64)


def _begun(bales: BaleTable) -> Ints | None:
    """When each bale was begun, the time before it where that is unknown; None without times."""
    for name in ("closed_at", "full_at", "gate_open_at", "tipped_at"):
        mask = bales.mask(name)
        if mask.any():
            first = int(np.argmax(mask))
            last = np.maximum.accumulate(np.where(mask, np.arange(bales.rows), first))
            return np.asarray(bales.column(name)[last], dtype=np.int64)
    return None


def some_runs(runs: Ints, count: int, chance: np.random.Generator, *, together: bool) -> Mask:
    """Rows of `count` runs drawn by chance (all where there are fewer), one after the other if so.

    runs: number of each row's run, from 0 and rising, shape (rows,).
    """
    total = int(runs[-1]) + 1
    wanted = min(count, total)
    if together:
        first = int(chance.integers(0, total - wanted + 1))
        return (runs >= first) & (runs < first + wanted)
    return np.isin(runs, chance.choice(total, wanted, replace=False))
