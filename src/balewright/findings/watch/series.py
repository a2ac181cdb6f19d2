"""One measure of one machine as arrays in the order of its bales, ready for the charts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.findings.measures.inputs import REST_S
from balewright.findings.measures.measure import Explains, Group, Measure
from balewright.findings.watched import Bools, Floats, Watched
from balewright.quantities.si import MICROSECONDS_PER_S
from balewright.records.columns import BY_NAME, Kind
from balewright.records.events import Event, EventKind

_ROLL: Mapping[Group, tuple[EventKind, str]] = {
    Group.FILM1: (EventKind.FILM_ROLL_CHANGED, "1"),
    Group.FILM2: (EventKind.FILM_ROLL_CHANGED, "2"),
    Group.NET: (EventKind.NET_ROLL_CHANGED, ""),
}


Groups = NDArray[np.int8]


@dataclass(frozen=True, eq=False)
class Series:
    """values: (n,) on the watched scale, NaN where not judged; explaining: (n, p), centred and
    scaled, 0 where unknown; jobs, rolls: where one begins, 2 where the roll is of another batch,
    else 0; new_group: where either does; anew: where the level is to be
    learnt anew because a setting moved it on purpose.
    """

    measure: Measure
    values: Floats
    explaining: Floats
    jobs: Groups
    rolls: Groups
    anew: Bools

    @property
    def new_group(self) -> Groups:
        """Where a job or a roll begins."""
        return np.maximum(self.jobs, self.rolls)


@dataclass(frozen=True, eq=False)
class Background:
    """What all measures of a machine share: its bales, what explains, where groups begin.

    explains: by key, (n,); groups: where one begins, (n,).
    """

    watched: Watched
    explains: Mapping[str, Floats]
    groups: Mapping[Group, Groups]


def look_at(
    watched: Watched, explains: Mapping[str, Explains], events: tuple[Event, ...]
) -> Background:
    """Read once what measures share. Bales are those handed in, in order."""
    told = {}
    for key, one in explains.items():
        scaled = (one.read(watched) - one.centre) / one.scale
        told[key] = np.where(np.isfinite(scaled), np.clip(scaled, -5.0, 5.0), 0.0)
    jobs = _changes(watched.texts("job")).astype(np.int8)
    groups = {Group.JOB: jobs, Group.DAY: _rested(watched)}
    for group, (kind, item) in _ROLL.items():
        rolls = [e for e in events if e.kind is kind and item in e.item]
        changed = _at_events(watched, rolls).astype(np.int8)
        groups[group] = changed + _at_events(watched, _of_another_batch(rolls)).astype(np.int8)
    groups[Group.FILMS] = np.maximum(groups[Group.FILM1], groups[Group.FILM2])
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
    first = measure.group if measure.group in (Group.JOB, Group.DAY) else Group.JOB
    nothing = np.zeros(len(values), dtype=np.int8)
    rolls = nothing if first is measure.group else background.groups[measure.group]
    explaining = np.ascontiguousarray(explaining)
    return Series(measure, values, explaining, background.groups[first], rolls, anew)


def since_first(series: Series, first: int) -> Series:
    """The same, unknown before the first bale from place `first` on that counts anything: what was
    never seen before is not known not to have been there. Without one nothing is known."""
    hits = np.flatnonzero(series.values[first:] > 0)
    values = series.values.copy()
    values[: first + int(hits[0]) if len(hits) else len(values)] = np.nan
    return replace(series, values=values)


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


def _rested(watched: Watched) -> Groups:
    """Where a machine began again after a rest."""
    begins = np.zeros(watched.bales.rows, dtype=np.int8)
    both = watched.timed[1:] & watched.timed[:-1]
    gap_s = np.diff(watched.made_us) / MICROSECONDS_PER_S
    begins[1:] = both & (gap_s > REST_S)
    return begins


def _of_another_batch(rolls: list[Event]) -> list[Event]:
    """Rolls whose batch is known and not that of the roll before of which it was known."""
    noted = [one for one in rolls if one.batch]
    noted.sort(key=lambda one: (one.at_us is None, one.at_us or 0, one.bale_no or 0))
    return [new for old, new in pairwise(noted) if new.batch != old.batch]


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
