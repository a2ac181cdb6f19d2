"""Settings that moved at one bale and stayed, while the sheet in force did not change.

Counting settles it: as many bales with one value as `STAYS` before, as many with another after.
Single odd bales (a turn more by hand, one misread) move nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.findings.finding import Finding, FindingKind, Start, Weight
from balewright.findings.measures.inputs import Inputs, inputs_of
from balewright.findings.runs import Run
from balewright.findings.watched import Bools, Floats, Found, Watched, tell
from balewright.quantities.interval import Interval
from balewright.quantities.reason import because
from balewright.records.events import Setting

STAYS: Final = 12
"""Bales with the old value before, and with the new one after, that make a setting: `assumed`."""
ODD: Final = 2
"""Up to so many bales in a row that differ are odd ones, no setting: `assumed`."""


@dataclass(frozen=True)
class _Set:
    """A column that holds what was set. step: settings nearer than this are the same; line: of
    the sheet that asks for it; end: how the value's name ends for `words`."""

    column: str
    step: float
    line: str
    end: str


_SETS: Final = (
    _Set("wrap_turns", 0.5, "wrap_turns", "turns"),
    _Set("binding_turns", 0.25, "binding_turns", "turns"),
    _Set("density_dial", 0.5, "density_dial", "dial"),
    _Set("knives_in", 1.0, "knives_in", "knives"),
    _Set("film_width_m", 0.01, "film_width_m", "m"),
)


_TOLD_ENDS: Final = ("ml_bale", "l_t", "m_s", "turns", "rpm", "frac", "bar", "mm", "m", "s")
"""Ends of the names of settings that say their unit; others stand on the machine's own scale."""


@dataclass(frozen=True, eq=False)
class _Stretch:
    """Bales in a row with one value, odd ones among them left out."""

    value: float
    rows: NDArray[np.intp]


def find_settings_moved(watched: Watched) -> Iterator[Finding]:
    """Settings that the bales themselves show to have moved: one finding for each step.

    Not told: a step at which the sheet changed too, and one that brings the machine to its sheet.
    """
    seen = inputs_of(watched)
    for one in _SETS:
        usable = seen.undisturbed if one.column == "wrap_turns" else _set_rows(seen, one.column)
        values = np.where(usable, seen.floats(one.column), np.nan)
        asked = watched.planned(lambda plan, line=one.line: plan.sheet.number(line))  # type: ignore[misc]
        sheets = watched.texts("sheet")
        for before, after in pairwise(_stretches(values, one.step)):
            old, new = before.rows[-1], after.rows[0]
            if sheets[old] != sheets[new] or len(before.rows) < STAYS or len(after.rows) < STAYS:
                continue
            if abs(asked[new] - after.value) < one.step / 2:
                continue
            rows = after.rows[sheets[after.rows] == sheets[new]]
            yield _tell(watched, one, before, replace(after, rows=rows), float(asked[new]))


def _set_rows(seen: Inputs, column: str) -> Bools:
    return seen.bound_at_once if column == "binding_turns" else seen.plain


def _stretches(values: Floats, step: float) -> list[_Stretch]:
    """Rows grouped by value, in order: odd bales left out, what they parted joined again."""
    rows = np.flatnonzero(np.isfinite(values))
    if not len(rows):
        return []
    whole = np.round(values[rows] / step).astype(np.int64)
    cuts = np.flatnonzero(np.diff(whole)) + 1
    groups = [group for group in np.split(np.arange(len(rows)), cuts) if len(group) > ODD]
    joined: list[_Stretch] = []
    for group in groups:
        value = float(whole[group[0]] * step)
        if joined and joined[-1].value == value:
            joined[-1] = _Stretch(value, np.concatenate([joined[-1].rows, rows[group]]))
        else:
            joined.append(_Stretch(value, rows[_from_first(whole, group)]))
    return joined


def _from_first(whole: NDArray[np.int64], group: NDArray[np.intp]) -> NDArray[np.intp]:
    """A group with the bales just before it that have its value already, odd ones in between."""
    first = int(group[0])
    before = np.arange(max(first - 2 * (ODD + 1), 0), first)
    early = before[whole[before] == whole[first]]
    # looked for only behind the last bale that still had what was set before
    runs = np.flatnonzero(np.diff(whole[before]) == 0)
    behind = before[runs[-1] + 1] if len(runs) else (before[0] - 1 if len(before) else first)
    return np.concatenate([early[early > behind], group])


def _tell(watched: Watched, one: _Set, before: _Stretch, after: _Stretch, asked: float) -> Finding:
    old, new = int(before.rows[-1]), int(after.rows[0])
    run = Run(after.rows.astype(np.int64), len(after.rows))
    change = after.value - before.value
    planned = None if np.isnan(asked) else asked
    key = "findings.setting" if planned is None else "findings.setting.sheet"
    numbers = {f"before_{one.end}": before.value, f"now_{one.end}": after.value}
    if planned is not None:
        numbers[f"planned_{one.end}"] = planned
    words = because(f"{key}.{one.end}", columns=one.column, **watched.facts(run), **numbers)
    found = Found(
        FindingKind.SETTING_MOVED, Weight.NOTE if planned is None else Weight.COST, run, planned,
        Interval(after.value, after.value, after.value), one.end, (one.column,), words,
    )  # fmt: skip
    number = watched.bales.cell
    old_us, new_us = (
        int(watched.made_us[row]) if watched.timed[row] else None for row in (old, new)
    )
    # the first bale of the new value is known to the bale; odd ones before it may be its own
    start = Start(_next(number(old, "bale_no")), number(new, "bale_no"), old_us, new_us, 1.0)
    return replace(
        tell(watched, found),
        measure=f"setting {one.column}",
        part=one.column,
        start=start,
        moved=Interval(change, change, change),
    )


def _next(number: int | None) -> int | None:
    return None if number is None else number + 1


def settings_told_moved(settings: Iterable[Setting]) -> tuple[tuple[Setting, Setting], ...]:
    """Steps in the settings a machine itself reports: (before, after) of one name, one sheet.

    settings: of one machine, in any order. Told again with the same value is no step, and a
    change that came with another sheet is the sheet's.
    """
    names: dict[str, list[Setting]] = {}
    for setting in settings:
        names.setdefault(setting.name, []).append(setting)
    steps = []
    for name in sorted(names):
        ordered = sorted(names[name], key=_since)
        steps += [
            (one, other)
            for one, other in pairwise(ordered)
            if one.value != other.value and one.sheet == other.sheet
        ]
    return tuple(sorted(steps, key=lambda step: (_since(step[1]), step[1].name)))


def find_settings_told(watched: Watched, settings: Iterable[Setting]) -> tuple[Finding, ...]:
    """Settings that a machine reports to have moved, while its sheet stayed: one for each step.

    watched: bales in order; settings: of this machine, in any order. A step of a column that the
    bales show themselves is left to `find_settings_moved`; one that leads to the sheet is none.
    A step before or after all these bales is left out.
    """
    seen_in_bales = {one.column for one in _SETS if watched.bales.has(one.column)}
    found = []
    for before, after in settings_told_moved(settings):
        row = _row_of(watched, after)
        if row is None or after.name in seen_in_bales:
            continue
        asked = float(watched.planned(lambda plan, name=after.name: plan.sheet.number(name))[row])  # type: ignore[misc]
        if asked == after.value:
            continue
        found.append(_tell_told(watched, before, after, (row, None if np.isnan(asked) else asked)))
    return tuple(found)


def _row_of(watched: Watched, setting: Setting) -> int | None:
    """The first bale under a setting: by its number, else by its time."""
    if setting.since_bale is not None:
        with np.errstate(invalid="ignore"):
            under = watched.bales.floats("bale_no") >= setting.since_bale
    elif setting.since_us is not None:
        under = watched.timed & (watched.made_us >= setting.since_us)
    else:
        return None
    rows = np.flatnonzero(under)
    # all bales lie under it: it moved before the first of them, or at it, which nobody can tell
    return int(rows[0]) if len(rows) and rows[0] > 0 else None


def _tell_told(
    watched: Watched, before: Setting, after: Setting, where: tuple[int, float | None]
) -> Finding:
    row, planned = where
    rows = np.arange(row, watched.bales.rows)
    run = Run(rows, len(rows))
    end = next((end for end in _TOLD_ENDS if after.name.endswith(f"_{end}")), "dial")
    key = "findings.setting.told" if planned is None else "findings.setting.told.sheet"
    numbers = {f"before_{end}": before.value, f"now_{end}": after.value}
    if planned is not None:
        numbers[f"planned_{end}"] = planned
    words = because(f"{key}.{end}", setting=after.name, **watched.facts(run), **numbers)
    change = after.value - before.value
    found = Found(
        FindingKind.SETTING_MOVED, Weight.NOTE if planned is None else Weight.COST, run, planned,
        Interval(after.value, after.value, after.value), end, (), words,
    )  # fmt: skip
    finding = tell(watched, found)
    since, at_us = finding.since_bale, finding.since_us
    return replace(
        finding,
        measure=f"setting {after.name}",
        part=after.name,
        start=Start(since, since, at_us, at_us, 1.0),
        moved=Interval(change, change, change),
    )


def _since(setting: Setting) -> tuple[int, int]:
    at_us = -1 if setting.since_us is None else setting.since_us
    number = -1 if setting.since_bale is None else setting.since_bale
    return (at_us, number) if at_us >= 0 else (number, 0)
