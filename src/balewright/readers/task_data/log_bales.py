"""The bales that one machine counted in one log, with the mass that came near each step."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from balewright.readers.task_data.bale_values import bale_values
from balewright.readers.task_data.counters import MAX_LEAP_BALES, MAX_LEAP_KG, Climb, follow
from balewright.readers.task_data.dictionary import Id, words_for
from balewright.readers.task_data.log_doubts import Note, note_counting, note_masses
from balewright.readers.task_data.logged import KeptLog
from balewright.readers.task_data.machine_log import MachineLog
from balewright.readers.task_data.pairing import pair_masses
from balewright.records.columns import BY_NAME
from balewright.records.intake import Doubt
from balewright.records.quality import Mark

COUNTERS: Final = ((91,), (214,), (270,), (519,), (681, 682, 683), (283, 284), (522, 523))
"""Which identifiers count bales, the best first; several are added up (by binding, by cut)."""
LIFE_COUNTERS: Final = (Id.LIFE_BALES, Id.LIFE_COUNT, Id.LAST_LIFE_NUMBER)
_SAME_KG: Final = 15.0
"""A mass counter that steps by tens rounds the bale's own mass by less than this."""


@dataclass(frozen=True, eq=False)
class LogBales:
    """What one machine counted in one log.

    rows: (n,) record of each bale's count step; at_us, offsets: (n,) its time and its byte;
    numbers: (n,) what the counter showed after it; life_numbers: (n,) lifetime numbers, None
    where the machine gives none that agree; mass_kg: (n,) NaN where no mass came; values: further
    columns of the bale table, (n,) each; count, mass: the climbs, None where not logged.
    """

    log: KeptLog
    machine: str
    rows: NDArray[np.int64]
    at_us: NDArray[np.int64]
    offsets: NDArray[np.int64]
    numbers: NDArray[np.int64]
    life_numbers: NDArray[np.int64] | None
    mass_kg: NDArray[np.float64]
    values: Mapping[str, Any]
    count: Climb | None
    mass: Climb | None
    gained_kg: float | None
    doubts: tuple[Doubt, ...]


def count_log(part: MachineLog, kept: KeptLog) -> LogBales:
    """Count the bales and the mass of one machine in one log. kept: that log, as it is kept."""
    note = Note(part.log)
    chosen = _choose(part)
    count = _follow(part, chosen, MAX_LEAP_BALES) if chosen else None
    life = _life(part, chosen, count, note)
    rows, numbers = count.each() if count else (np.zeros(0, np.int64), np.zeros(0, np.int64))
    if count and chosen[0] in LIFE_COUNTERS:
        life_numbers: NDArray[np.int64] | None = numbers
    else:
        life_numbers = life.each()[1] if life else None
    mass, gain_rows, gains_kg, gained_kg = _masses(part, note)
    values = bale_values(part, rows, note)
    mass_kg = np.full(len(rows), np.nan)
    clock_s = np.maximum.accumulate(part.log.at_us) / 1e6
    paired = pair_masses(clock_s[rows], clock_s[gain_rows])
    mass_kg[paired[paired >= 0]] = _refine(part, gain_rows, gains_kg)[paired >= 0]
    if count:
        note_counting(note, count, confirmed=life is not None)
        note_masses(note, (rows, mass_kg), (gain_rows[paired < 0], gains_kg[paired < 0]))
    elif gained_kg:
        said = f"{gained_kg:.0f} kg gained, and nothing in this log counts bales that carry it"
        note.at(int(gain_rows[0]), Mark.MASS_WITHOUT_BALE, said)
    column = BY_NAME["mass_kg"]
    low, high = column.low or 0.0, column.high or np.inf
    mass_kg[~((mass_kg >= low) & (mass_kg <= high))] = np.nan
    log = part.log
    return LogBales(
        log=kept,
        machine=part.machine,
        rows=rows,
        at_us=log.at_us[rows],
        offsets=log.offsets[rows],
        numbers=numbers,
        life_numbers=life_numbers,
        mass_kg=mass_kg,
        values=values,
        count=count,
        mass=mass,
        gained_kg=gained_kg,
        doubts=tuple(note.doubts),
    )


def _choose(part: MachineLog) -> tuple[int, ...]:
    for numbers in COUNTERS:
        here = tuple(number for number in numbers if number in part.columns)
        if any(len(part.written(number)[0]) for number in here):
            return here
    return ()


def _follow(part: MachineLog, numbers: tuple[int, ...], most: float) -> Climb | None:
    return follow([part.written(number) for number in numbers], most)


def _life(
    part: MachineLog, chosen: tuple[int, ...], count: Climb | None, note: Note
) -> Climb | None:
    """The lifetime counter, where it gained as many bales as were counted; else a doubt."""
    number = next((each for each in LIFE_COUNTERS if each in part.columns), None)
    if number is None or count is None or chosen[0] in LIFE_COUNTERS:
        return None
    life = _follow(part, (number,), MAX_LEAP_BALES)
    if life is None or life.gained == count.gained:
        return life
    said = (
        f"{words_for(number)} gained {life.gained}, {words_for(chosen[0])} {count.gained}: "
        "bales are counted by the latter and carry no life number"
    )
    note.at(int(life.rows[-1]) if len(life.rows) else 0, Mark.TOTAL_DIFFERS, said)
    return None


def _masses(
    part: MachineLog, note: Note
) -> tuple[Climb | None, NDArray[np.int64], NDArray[np.float64], float | None]:
    """The mass counter's climb; rows and kilograms of each arrival; what it gained in all."""
    last_rows, last_kg = _last_masses(part)
    if Id.TOTAL_MASS not in part.columns:
        return None, last_rows, last_kg, None
    worth = part.worth(Id.TOTAL_MASS)
    mass = _follow(part, (Id.TOTAL_MASS,), MAX_LEAP_KG / worth.si_factor)
    if mass is None:
        return None, last_rows, last_kg, None
    if worth.contradicted:
        note.unit(Id.TOTAL_MASS, worth)
    gains_kg = np.asarray(mass.gains * worth.si_factor, dtype=np.float64)
    for row, before, after in (*mass.falls, *mass.leaps):
        kind = Mark.COUNTER_STEPPED_BACK if after < before else Mark.MASS_UNBELIEVABLE
        said = f"the mass counter goes from {before} to {after}: a new start, not a gain"
        note.at(row, kind, said)
    return mass, mass.rows, gains_kg, float(gains_kg.sum())


def _refine(
    part: MachineLog, rows: NDArray[np.int64], gains_kg: NDArray[np.float64]
) -> NDArray[np.float64]:
    """A counter rounds; where the machine says the bale's own mass in the same record and it
    agrees with the gain, that is the better value."""
    last_rows, last_kg = _last_masses(part)
    exact: dict[int, float] = dict(zip(last_rows.tolist(), last_kg.tolist(), strict=True))
    refined = [
        exact[row] if row in exact and abs(exact[row] - gain_kg) < _SAME_KG else gain_kg
        for row, gain_kg in zip(rows.tolist(), gains_kg.tolist(), strict=True)
    ]
    return np.array([round(each, 3) for each in refined], dtype=np.float64)


def _last_masses(part: MachineLog) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """Where the machine says the last bale's mass anew: rows and kilograms. The first value of a
    log belongs to a bale before it."""
    if Id.LAST_MASS not in part.columns:
        return np.zeros(0, np.int64), np.zeros(0)
    rows, raws = part.written(Id.LAST_MASS)
    if not len(rows):
        return np.zeros(0, np.int64), np.zeros(0)
    worth = part.worth(Id.LAST_MASS)
    new = np.flatnonzero(np.diff(raws.astype(np.int64)) != 0) + 1
    kilograms = (raws[new].astype(np.float64) + worth.shift_raw) * worth.si_factor
    return rows[new].astype(np.int64), kilograms
