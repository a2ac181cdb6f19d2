"""What a log says of each bale it counted, as columns of the bale table.

Three ways a value belongs to a bale. Of the last bale (identifiers that say so): the value in force
just before the next count, for it may come after the bale was counted. Over the filling: the mean
or the most over the records since the count before, only those in work where the machine says when
it works. By difference: what a running total gained between two counts.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from balewright.readers.task_data.dictionary import Id
from balewright.readers.task_data.log_doubts import Note
from balewright.readers.task_data.machine_log import MachineLog
from balewright.records.columns import BY_NAME

Numbers = NDArray[np.float64]

_OF_LAST_BALE: Final = {
    "film_width_m": (Id.FILM_WIDTH, 1.0),
    "film_m": (Id.FILM_USED, 1.0),
    "said_stretch_frac": (Id.FILM_STRETCH, 1.0),
    "said_overlap_frac": (Id.FILM_OVERLAP, 1.0),
    "said_layers": (Id.FILM_LAYERS, 1.0),
    "knives_in": (Id.KNIVES, 1.0),
    "additive_l": (Id.LAST_PRESERVATIVE, 1000.0),
}
"""Column: identifier, and what its SI value is multiplied by."""
_OVER_FILLING: Final[dict[str, tuple[Id, Callable[[Numbers], Numbers]]]] = {
    "speed_m_s": (Id.SPEED, lambda si: si),
    "pto_rpm": (Id.PTO_SPEED, lambda si: si),
    "pto_torque_nm": (Id.PTO_TORQUE, lambda si: si),
    "oil_c": (Id.OIL_TEMPERATURE, lambda si: si - 273.15),
    "pitch_frac": (Id.PITCH, np.tan),
    "roll_frac": (Id.ROLL, np.tan),
}
_NEED_WORK: Final = frozenset({"speed_m_s", "pto_rpm", "pto_torque_nm"})
"""Means over standing and driving about say nothing of the filling: unknown without a state."""
_RECORDS_TO_JUDGE: Final = 100
_MOST_OF_THEM: Final = 0.5
_BINDINGS: Final = {1: "net", 2: "twine", 3: "film"}
"""Binding method by the dictionary; mixed bindings (4, 5) have no word in the table: unknown."""
_BOUND_BY: Final = (
    ("net", (Id.MESH_BALES, Id.MESH_BALES_OLD), Id.LAST_MESH, Id.MESH_LAYERS, Id.MESH_TOTAL),
    ("film", (Id.FILM_BALES,), Id.LAST_BINDING_FILM, Id.BINDING_FILM_LAYERS, Id.FILM_TOTAL),
    ("twine", (Id.TWINE_BALES, Id.TWINE_BALES_OLD), Id.LAST_TWINE, Id.TWINE_LAYERS, Id.TWINE_TOTAL),
)
"""Binding, what counts such bales, its length and its layers on the last bale, its total."""
_USED: Final = (
    *(number for number, _ in _OF_LAST_BALE.values()),
    *(number for number, _ in _OVER_FILLING.values()),
    *(Id.MEAN_MOISTURE, Id.MOISTURE, Id.LAST_MOISTURE, Id.LAST_MASS, Id.SIZE, Id.LAST_SIZE),
    *(Id.TOTAL_PRESERVATIVE, Id.LAST_MESH, Id.LAST_BINDING_FILM, Id.LAST_TWINE),
)


def bale_values(part: MachineLog, rows: NDArray[np.int64], note: Note) -> dict[str, Any]:
    """Columns of the bale table beside number, time and mass, (n,) each, NaN or None unknown.

    part: a machine in a log; rows: (n,) record of each bale's count, ascending, several bales may
    share one; note: gets units that contradict and values that no bale can have.
    """
    for number in _USED:
        if number in part.columns and (worth := part.worth(number)).contradicted:
            note.unit(number, worth)
    if not len(rows):
        return {}
    bales = _Bales(part, rows)
    found: dict[str, Any] = {}
    for name, (number, factor) in _OF_LAST_BALE.items():
        if number in part.columns:
            found[name] = bales.last(number) * factor
    for name, (number, shown) in _OVER_FILLING.items():
        if number in part.columns and (name not in _NEED_WORK or bales.in_work is not None):
            found[name] = shown(bales.mean(number))
    if Id.TOTAL_PRESERVATIVE in part.columns:
        gained_l = bales.gained(Id.TOTAL_PRESERVATIVE) * 1000.0
        found["additive_l"] = _first_known(found.get("additive_l"), gained_l)
    _add_moisture(bales, found)
    _note_end_of_scale(bales, note)
    _add_size(bales, found)
    _add_binding(bales, found)
    believed = {name: _believed(name, values, rows, note) for name, values in found.items()}
    return {"lat": part.log.lat[rows], "lon": part.log.lon[rows], **believed}


@dataclass(frozen=True, eq=False)
class _Bales:
    """The bales of one log with the stretch of records that belongs to each."""

    part: MachineLog
    rows: NDArray[np.int64]

    @cached_property
    def steps(self) -> NDArray[np.int64]:
        """The records in which at least one bale was counted."""
        return np.unique(self.rows)

    @cached_property
    def of_step(self) -> NDArray[np.int64]:
        """The step of each bale."""
        return np.searchsorted(self.steps, self.rows)

    @cached_property
    def in_work(self) -> NDArray[np.bool_] | None:
        """Which records lie in work, None where the machine does not say."""
        every = np.arange(self.part.log.rows)
        if len(self.part.written(Id.WORK_STATE)[0]):
            return np.asarray(self.part.carried(Id.WORK_STATE, every) == 1)
        if not len(self.part.written(Id.WORK_STATES)[0]):
            return None
        states = np.nan_to_num(self.part.carried(Id.WORK_STATES, every)).astype(np.int64)
        on = np.zeros(len(every), dtype=np.bool_)
        for section in range(16):  # two bits each, 1 is on
            on |= states >> 2 * section & 3 == 1
        return on

    def last(self, number: int) -> Numbers:
        """The last bale's value: in force just before the next count."""
        ends = np.append(self.steps[1:], self.part.log.rows) - 1
        return self._si(number, self.part.carried(number, ends))[self.of_step]

    def raw(self, number: int) -> Numbers:
        """As `last`, raw."""
        ends = np.append(self.steps[1:], self.part.log.rows) - 1
        return self.part.carried(number, ends)[self.of_step]

    def mean(self, number: int) -> Numbers:
        """The mean over the records since the count before, in work where that is known."""
        values, used = self.since(number)
        starts = np.append(0, self.steps[:-1] + 1)
        sums = np.add.reduceat(np.where(used, values, 0.0), starts)
        counts = np.add.reduceat(used.astype(np.int64), starts)
        means = np.divide(sums, counts, out=np.full(len(sums), np.nan), where=counts > 0)
        return np.asarray(means[self.of_step], dtype=np.float64)

    def most(self, number: int) -> Numbers:
        """The largest since the count before, in work where that is known."""
        values, used = self.since(number)
        starts = np.append(0, self.steps[:-1] + 1)
        tops = np.maximum.reduceat(np.where(used, values, -np.inf), starts)
        return np.where(np.isfinite(tops), tops, np.nan)[self.of_step]

    def gained(self, number: int) -> Numbers:
        """What a running total gained from the count before to just before the next; unknown for
        the first bale of a log, for bales that share a count, and where the total fell."""
        ends = np.append(self.steps[1:], self.part.log.rows) - 1
        totals = self._si(number, self.part.carried(number, ends))
        gains = np.append(np.nan, np.diff(totals))[self.of_step]
        alone = np.bincount(self.of_step)[self.of_step] == 1
        return np.where(alone & (gains >= 0), gains, np.nan)

    def stepped(self, number: int) -> NDArray[np.bool_]:
        """Whether a counter rose since just after the count before."""
        ends = np.append(self.steps[1:], self.part.log.rows) - 1
        after = self.part.carried(number, ends)
        before = self.part.carried(number, np.append(0, ends[:-1]))
        return np.asarray((after > before)[self.of_step], dtype=np.bool_)

    def since(self, number: int) -> tuple[Numbers, NDArray[np.bool_]]:
        """The value in force at each record up to the last count, and which count."""
        every = np.arange(int(self.steps[-1]) + 1)
        values = self._si(number, self.part.carried(number, every))
        used = ~np.isnan(values)
        if self.in_work is not None:
            used &= self.in_work[: len(every)]
        return values, used

    def _si(self, number: int, raws: Numbers) -> Numbers:
        worth = self.part.worth(number)
        return (raws + worth.shift_raw) * worth.si_factor


def _add_moisture(bales: _Bales, found: dict[str, Any]) -> None:
    """The last bale's own, else the mean over the filling, else the machine's running mean."""
    columns = bales.part.columns
    values = None
    if Id.LAST_MOISTURE in columns:
        values = bales.last(Id.LAST_MOISTURE)
    if Id.MOISTURE in columns:
        values = _first_known(values, bales.mean(Id.MOISTURE))
        found["moisture_max_frac"] = bales.most(Id.MOISTURE)
    if Id.MEAN_MOISTURE in columns:
        values = _first_known(values, bales.last(Id.MEAN_MOISTURE))
    if values is not None:
        found["moisture_frac"] = np.where(values > 0, values, np.nan)
        top = found.get("moisture_max_frac")
        if top is not None:
            found["moisture_max_frac"] = np.where(top >= found["moisture_frac"], top, np.nan)


def _note_end_of_scale(bales: _Bales, note: Note) -> None:
    """A moisture that stands at its highest value most of the time is the end of a scale."""
    if Id.MOISTURE not in bales.part.columns:
        return
    values, used = bales.since(Id.MOISTURE)
    known = values[used]
    if len(known) < _RECORDS_TO_JUDGE or known.min() == known.max():
        return
    share = float(np.mean(known == known.max()))
    if share > _MOST_OF_THEM:
        said = (
            (
                f"moisture stands at its highest value, {known.max():.1%}, in {share:.0%} of the "
                "records: the end of the sensor's scale; kept as it is"
            )
            .replace("%,", " %,")
            .replace("% of", " % of")
        )
        note.unbelievable(int(np.argmax(used & (values == known.max()))), said)


def _add_size(bales: _Bales, found: dict[str, Any]) -> None:
    """The size is the diameter of a round bale; on a square baler it is a length."""
    columns = bales.part.columns
    if bales.part.square:
        return
    values = bales.last(Id.LAST_SIZE) if Id.LAST_SIZE in columns else None
    if Id.SIZE in columns:
        values = _first_known(values, bales.most(Id.SIZE))
    if values is not None:
        found["diameter_m"] = np.where(values > 0, values, np.nan)


def _add_binding(bales: _Bales, found: dict[str, Any]) -> None:
    """Which binding, how many metres of it and how many turns (layers lie one a turn)."""
    columns = bales.part.columns
    n = len(bales.rows)
    said = np.full(n, None, dtype=object)
    if Id.BINDING in columns:
        raws = np.nan_to_num(bales.raw(Id.BINDING), nan=-1.0)
        said = np.array([_BINDINGS.get(int(raw)) for raw in raws], dtype=object)
    else:
        for name, counters, *_ in _BOUND_BY:
            for number in counters:
                if number in columns:
                    said[bales.stepped(number)] = name
    turns, metres_m = np.full(n, np.nan), np.full(n, np.nan)
    for name, _, length, layers, total in _BOUND_BY:
        mine = said == name
        if length in columns:
            metres_m[mine] = bales.last(length)[mine]
        elif total in columns:
            metres_m[mine] = bales.gained(total)[mine]
        if layers in columns:
            turns[mine] = bales.last(layers)[mine]
    if (said != None).any():  # noqa: E711 - element by element
        found["binding"] = said
        found["binding_m"], found["binding_turns"] = metres_m, turns


def _first_known(first: Numbers | None, other: Numbers) -> Numbers:
    return other if first is None else np.where(np.isnan(first), other, first)


def _believed(name: str, values: Any, rows: NDArray[np.int64], note: Note) -> Any:
    """Values outside what the table can hold are unknown, and said."""
    column = BY_NAME[name]
    if column.low is None or column.high is None:
        return values
    odd = (values < column.low) | (values > column.high)
    if odd.any():
        first = int(np.argmax(odd))
        said = (
            f"{int(odd.sum())} values of {name} are none of a bale ({values[first]:.6g} is the "
            "first): left unknown"
        )
        note.unbelievable(int(rows[first]), said)
    return np.where(odd, np.nan, np.round(values, 6))
