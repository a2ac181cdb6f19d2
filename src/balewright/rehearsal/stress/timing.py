"""Phases that take longer or shorter, with all that waits behind them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Final

import numpy as np

from balewright.records.columns import BY_NAME, CHAMBER_PHASES, WRAPPER_PHASES, Kind
from balewright.records.events import Event
from balewright.rehearsal.stress.stressed import US, Floats, Ints, Stressed, write

PHASES: Final = (*CHAMBER_PHASES, *WRAPPER_PHASES)
_GATE: Final = PHASES.index("gate_open_at")
_TURNAROUND_S: Final = 5.0
_SHORTEST: Final = 0.2
_STEP_US: Final = 100_000
TIMES: Final = tuple(name for name, one in BY_NAME.items() if one.kind is Kind.TIME)


def lengths(one: Stressed) -> dict[str, Floats]:
    """Seconds from the phase before to each phase but the first, NaN where unknown."""
    gone = _steps(_clock(one))
    return {name: gone[:, place] for place, name in enumerate(PHASES) if place}


def retime(one: Stressed, extra_s: Mapping[str, Floats]) -> Stressed:
    """Records in which phases end later (or earlier) than they did.

    extra_s: phase -> seconds more from the phase before, shape (rows,). A phase keeps at least a
    fifth of its length; the next bale begins and the wrapper is given it when there is room.
    """
    at = _clock(one)
    if at.size == 0 or not np.isfinite(at).any():
        return one
    gone = _steps(at)
    more = np.zeros_like(gone)
    for name, extra in extra_s.items():
        length = gone[:, PHASES.index(name)]
        shortest = np.where(length > 0, _SHORTEST * length, length)
        more[:, PHASES.index(name)] = np.nan_to_num(np.maximum(length + extra, shortest) - length)
    late = np.cumsum(more, axis=1)
    if not late.any():
        return one
    late += _waits(at, late)
    columns = {}
    for place, name in enumerate(PHASES):
        moved_us = np.round(np.nan_to_num(late[:, place]) * US / _STEP_US) * _STEP_US
        columns[name] = one.bales.column(name).astype(np.float64) + moved_us
    begun, shift_us = one.bales.column("closed_at"), np.round(np.nan_to_num(late[:, 0]) * US)
    events = _moved(one.events, begun[one.bales.mask("closed_at")],
                    shift_us[one.bales.mask("closed_at")].astype(np.int64))  # fmt: skip
    return replace(one, bales=write(one.bales, columns), events=events)


def _clock(one: Stressed) -> Floats:
    """All phases in seconds since the first known one, shape (rows, 9), NaN where unknown."""
    known = np.stack([one.bales.mask(name) for name in PHASES], axis=1)
    at_us = np.stack([one.bales.column(name) for name in PHASES], axis=1)
    if not known.any():
        return np.full(known.shape, np.nan)
    return np.where(known, (at_us - at_us[known].min()) / US, np.nan)


def _steps(at: Floats) -> Floats:
    gone = np.full_like(at, np.nan)
    before = at[:, 0].copy()
    for place in range(1, at.shape[1]):
        gone[:, place] = at[:, place] - before
        before = np.where(np.isfinite(at[:, place]), at[:, place], before)
    return gone


def _waits(at: Floats, late: Floats) -> Floats:
    """How much later each phase still is because bales before it take longer."""
    waits = np.zeros_like(late)
    last = at.shape[1] - 1
    begins = 0.0
    for row in range(len(at)):
        waits[row] = begins
        if row and np.isfinite(at[row, _GATE]) and np.isfinite(at[row - 1, last]):
            free = at[row - 1, last] + late[row - 1, last] + waits[row - 1, last]
            opens = at[row, _GATE] + late[row, _GATE] + begins
            had_room = at[row, _GATE] >= at[row - 1, last]
            if had_room and opens < free:
                waits[row, _GATE:] += free - opens
        if row + 1 < len(at) and np.isfinite(at[row + 1, 0]) and np.isfinite(at[row, _GATE]):
            opened = at[row, _GATE] + late[row, _GATE] + waits[row, _GATE]
            idle = at[row + 1, 0] - at[row, _GATE]
            begins = max(0.0, opened + min(idle, _TURNAROUND_S) - at[row + 1, 0])
    return waits


def _moved(events: tuple[Event, ...], begun: Ints, shift_us: Ints) -> tuple[Event, ...]:
    """Events that keep their place among the bales."""
    if len(begun) == 0:
        return events
    moved = []
    for event in events:
        at_us = event.at_us
        if at_us is not None:
            row = int(np.searchsorted(begun, at_us, side="right")) - 1
            at_us += int(shift_us[row]) if row >= 0 else 0
        moved.append(replace(event, at_us=at_us))
    return tuple(moved)


def set_clock(one: Stressed, shown: Callable[[Ints], Ints]) -> Stressed:
    """Records whose every time, of bales and events, is what another clock showed.

    shown: UTC microseconds -> microseconds that the clock showed, for arrays.
    """
    columns = {
        name: shown(one.bales.column(name)).astype(np.float64)
        for name in TIMES
        if name in one.bales.values
    }
    events = tuple(
        event
        if event.at_us is None
        else replace(event, at_us=int(shown(np.array([event.at_us], dtype=np.int64))[0]))
        for event in one.events
    )
    return replace(one, bales=write(one.bales, columns), events=events)
