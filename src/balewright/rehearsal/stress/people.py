"""What people do that the simulator does not know of: driving, tractors, hours, entries, rolls."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from balewright.records.bales import masked_table
from balewright.records.events import Event, EventKind
from balewright.rehearsal.stress.fields import wetter
from balewright.rehearsal.stress.stressed import (
    US,
    Mask,
    Stressed,
    job_runs,
    some_runs,
    work_days,
)
from balewright.rehearsal.stress.timing import lengths, retime, set_clock

_HOUR_US: Final = 3600 * US
_ROUND: Final[Mapping[str, float]] = {"mass_kg": 50.0, "moisture_frac": 0.05, "diameter_m": 0.05}


def two_drivers(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """Every second day: `severity` faster, to one side by 8 cm and binding 8 s late, times it."""
    rows = work_days(one.bales) % 2 == chance.integers(0, 2)
    bales, size = one.bales, np.where(rows, severity, 0.0)
    done = one.written(
        {
            "speed_m_s": bales.floats("speed_m_s") * (1.0 + size),
            "diameter_left_m": bales.floats("diameter_left_m") + 0.08 * size,
            "diameter_right_m": bales.floats("diameter_right_m") - 0.08 * size,
        }
    )
    fill = lengths(done)["full_at"]
    later = {"full_at": fill * (1.0 / (1.0 + size) - 1.0), "bind_start_at": 8.0 * size}
    return retime(done, later).told("two drivers", rows)


def borrowed_tractor(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """Two jobs on end: PTO and wrapper faster by `severity`; at full, oil +6 K, supply -0.5 V."""
    rows = some_runs(job_runs(one.bales), 2, chance, together=True)
    bales, strength = one.bales, severity / 0.09
    faster = np.where(rows, 1.0 + severity, 1.0)
    done = one.written(
        {
            "pto_rpm": bales.floats("pto_rpm") * faster,
            "wrap_rpm": bales.floats("wrap_rpm") * faster,
            "oil_c": bales.floats("oil_c") + 6.0 * strength * rows,
            "supply_min_v": bales.floats("supply_min_v") - 0.5 * strength * rows,
        }
    )
    wrapping = lengths(done)["wrap_end_at"]
    return retime(done, {"wrap_end_at": wrapping * (1.0 / faster - 1.0)}).told(
        "borrowed tractor", rows
    )


def night_shift(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """Two days 9 h later at full, air -8 K and oil -3 K, dew of `severity`.

    A day keeps an hour to the next one, and stays where there is no such room.
    """
    days = work_days(one.bales)
    drawn = some_runs(days, 2, chance, together=False)
    rows = np.zeros(one.bales.rows, dtype=np.bool_)
    strength = severity / 0.03
    for day in np.unique(days[drawn]):
        today = days == day
        moved = _later(one, today, round(9 * strength * _HOUR_US))
        if moved is not None:
            one, rows = moved, rows | today
    if not rows.any():
        return one
    done = wetter(one, np.where(rows, severity, 0.0))
    return done.written(
        {
            "air_c": done.bales.floats("air_c") - 8.0 * strength * rows,
            "oil_c": done.bales.floats("oil_c") - 3.0 * strength * rows,
        }
    ).told("night shift", rows)


def _later(one: Stressed, today: Mask, wanted_us: int) -> Stressed | None:
    """A day moved later, as far as the next one leaves room; None where it leaves none."""
    begun, known = one.bales.column("closed_at"), one.bales.mask("closed_at")
    if not known.all():
        return None
    start, end = int(begun[today].min()), _end_us(one, today)
    after = begun[begun > begun[today].max()]
    room_us = wanted_us if len(after) == 0 else int(after.min()) - end - _HOUR_US
    by_us = min(wanted_us, room_us)
    if by_us <= 0:
        return None

    def shown(at_us: NDArray[np.int64]) -> NDArray[np.int64]:
        return np.where((at_us >= start) & (at_us <= end), at_us + by_us, at_us)

    return set_clock(one, shown)


def _end_us(one: Stressed, today: Mask) -> int:
    names = [name for name in ("gate_open_at", "tipped_at", "closed_at") if one.bales.has(name)]
    return max(int(one.bales.column(name)[today & one.bales.mask(name)].max()) for name in names)


def half_full_rolls(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """A share `severity` of film rolls is changed half-way for one noted with the same metres."""
    changes: dict[str, list[Event]] = {}
    for event in one.events:
        if event.kind is EventKind.FILM_ROLL_CHANGED and event.bale_no is not None:
            changes.setdefault(event.item, []).append(event)
    numbers = one.bales.column("bale_no")
    extra: list[Event] = []
    for _, rolls in sorted(changes.items()):
        for first, second in pairwise(rolls):
            begins, ends = (np.flatnonzero(numbers == at.bale_no) for at in (first, second))
            if chance.random() >= severity or not (len(begins) and len(ends)):
                continue
            row = (int(begins[0]) + int(ends[0])) // 2
            extra.append(replace(first, bale_no=int(numbers[row]),
                                 at_us=one.bales.cell(row, "closed_at")))  # fmt: skip
    if not extra:
        return one
    events = sorted((*one.events, *extra), key=lambda event: event.at_us or 0)
    rows = np.isin(numbers, np.array([event.bale_no for event in extra], dtype=np.int64))
    return replace(one, events=tuple(events)).told("half-full rolls", rows)


def film_width_wrong(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """Two jobs on end in which the recorded film width is `severity` metres too small."""
    rows = some_runs(job_runs(one.bales), 2, chance, together=True)
    width = one.bales.floats("film_width_m")
    return one.written({"film_width_m": np.where(rows, width - severity, width)}).told(
        "film width entered wrong", rows & one.bales.mask("film_width_m")
    )


def operator_who_rounds(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """Every second day mass, moisture and diameter are entered in steps, `severity` times."""
    if severity == 0.0:
        return one
    rows = work_days(one.bales) % 2 == chance.integers(0, 2)
    changes = {}
    values: dict[str, NDArray[Any]] = dict(one.bales.values)
    for name, step in _ROUND.items():
        read = one.bales.floats(name)
        coarse = np.round(read / (step * severity)) * step * severity
        changes[name] = np.where(rows, coarse, read)
        how = name.rsplit("_", 1)[0] + "_how"
        if how in values:
            entered = rows & one.bales.mask(how) & one.bales.mask(name)
            values[how] = np.where(entered, "entered", values[how]).astype(object)
    table = masked_table(one.bales.rows, values, one.bales.known)
    return replace(one, bales=table).written(changes).told("operator who rounds", rows)
