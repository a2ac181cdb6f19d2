"""One measure of one machine as arrays in the order of its bales, ready for the charts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.findings.measures.measure import Explains, Group, Measure
from balewright.findings.watched import Bools, Floats, Watched
from balewright.records.columns import BY_NAME, Kind
from balewright.records.events import Event, EventKind

_ROLL: Mapping[Group, tuple[EventKind, str]] = {
    Group.FILM1: (EventKind.FILM_ROLL_CHANGED, "1"),
    Group.FILM2: (EventKind.FILM_ROLL_CHANGED, "2"),
    Group.NET: (EventKind.NET_ROLL_CHANGED, ""),
}


@dataclass(frozen=True, eq=False)
class Series:
    """values: (n,) on the watched scale, NaN where not judged; explaining: (n, p), centred and
    scaled, 0 where unknown; new_group: where a job or roll begins; anew: where the level is to be
    learnt anew because a setting moved it on purpose.
    """

    measure: Measure
    values: Floats
    explaining: Floats
    new_group: Bools
    anew: Bools


@dataclass(frozen=True, eq=False)
class Background:
    """What all measures of a machine share: its bales, what explains, where groups begin.

    explains: by key, (n,); groups: where one begins, (n,).
    """

    watched: Watched
    explains: Mapping[str, Floats]
    groups: Mapping[Group, Bools]


def look_at(
    watched: Watched, explains: Mapping[str, Explains], events: tuple[Event, ...]
) -> Background:
    """Read once what measures share. Bales are those handed in, in order."""
    told = {}
    for key, one in explains.items():
        scaled = (one.read(watched) - one.centre) / one.scale
        told[key] = np.where(np.isfinite(scaled), np.clip(scaled, -5.0, 5.0), 0.0)
    jobs = _changes(watched.texts("job"))
    groups = {Group.JOB: jobs}
    for group, (kind, item) in _ROLL.items():
        rolls = _at_events(watched, [e for e in events if e.kind is kind and item in e.item])
        groups[group] = jobs | rolls
    groups[Group.FILMS] = groups[Group.FILM1] | groups[Group.FILM2]
    return Background(watched, told, groups)


def series_of(measure: Measure, background: Background) -> Series:
    """The arrays of one measure."""
    watched = background.watched
    values = np.where(watched.whole, measure.read(watched), np.nan)
    if measure.is_log:
        with np.errstate(divide="ignore", invalid="ignore"):
            values = np.where(values > 0, np.log(values), np.nan)
    values = np.where(np.isfinite(values), values, np.nan)
    columns = [background.explains[key] for key in measure.explained_by]
    explaining = np.column_stack(columns) if columns else np.zeros((len(values), 0))
    anew = np.zeros(len(values), dtype=np.bool_)
    for name in measure.moved_by:
        anew |= _changes(_setting(watched, name))
    return Series(
        measure, values, np.ascontiguousarray(explaining), background.groups[measure.group], anew
    )


_SET_COLUMNS: Final = ("density_dial", "knives_in", "film_width_m", "rolls_on")
"""Columns that are settings; others of a line's name are readings, which never stand still."""


def _setting(watched: Watched, name: str) -> NDArray[np.object_] | Floats:
    """A text column, a column that is a setting, or the line of the sheet in force."""
    if name in BY_NAME and BY_NAME[name].kind is Kind.TEXT:
        return watched.texts(name)
    if name in _SET_COLUMNS and watched.bales.has(name):
        return watched.floats(name)
    return watched.planned(lambda plan: plan.sheet.number(name))


def _changes(values: NDArray[np.object_] | Floats) -> Bools:
    """Where a known value differs from the last known one; unknown changes nothing."""
    is_text = values.dtype == object
    known = values != "" if is_text else np.isfinite(values.astype(np.float64))
    rows = np.flatnonzero(known)
    changed = np.zeros(len(values), dtype=np.bool_)
    if len(rows) > 1:
        changed[rows[1:]] = values[rows[1:]] != values[rows[:-1]]
    return changed


def _at_events(watched: Watched, events: list[Event]) -> Bools:
    """The first bale from each event on: by its time, else by its number."""
    changed = np.zeros(watched.bales.rows, dtype=np.bool_)
    if not watched.bales.rows:
        return changed
    made = np.where(watched.timed, watched.made_us, np.iinfo(np.int64).min)
    ordered = np.maximum.accumulate(made)
    numbers = np.where(watched.bales.mask("bale_no"), watched.bales.column("bale_no"), -1)
    for event in events:
        if event.at_us is not None:
            row = int(np.searchsorted(ordered, event.at_us, side="left"))
        else:
            found = np.flatnonzero(numbers == event.bale_no)
            row = int(found[0]) if len(found) else watched.bales.rows
        if row < watched.bales.rows:
            changed[row] = True
    return changed
