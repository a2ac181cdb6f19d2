"""What a finding rests on, bale by bale: readings, what was expected, and the limits."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.findings.measures.book import EXPLAINS, is_recorded, measures_of
from balewright.findings.measures.measure import Family, Measure
from balewright.findings.measures.rates import code_measures, code_of
from balewright.findings.planned import plan_of
from balewright.findings.watch.level import watch_level
from balewright.findings.watch.rate import watch_rate
from balewright.findings.watch.series import Series, look_at, series_of, since_first
from balewright.findings.watch.spans import changes_of
from balewright.findings.watch.watch import WatchedMachine, level_terms, rate_terms
from balewright.findings.watched import Bools, Floats, watch_machine
from balewright.records.bales import BaleTable

WIDE: Final = 3.0
"""Spreads from what was expected to the drawn limits of a single bale."""


@dataclass(frozen=True, eq=False)
class MeasureHistory:
    """One measure of one machine, all its bales in order; arrays are (bales,), NaN unknown.

    numbers: bale numbers (-1 none); made_us: when made (int64, `timed` tells where known); values,
    expected, low, high: in the measure's unit; expected takes in what explains it and what its job
    or roll adds; for a rate expected is times a bale. begins: where a job or roll begins;
    changes: (first, since, last, told, until) as rows of the bales, until None while it lasts.
    """

    measure: Measure
    numbers: NDArray[np.int64]
    made_us: NDArray[np.int64]
    timed: Bools
    values: Floats
    expected: Floats
    low: Floats
    high: Floats
    begins: Bools
    changes: tuple[tuple[int, int, int, int, int | None], ...]


def history_of(bales: BaleTable, about: WatchedMachine, key: str) -> MeasureHistory | None:
    """The history of one measure; None where the machine has no such measure or no values of it.

    bales: all of the machine, in any order.
    """
    code = code_of(key)
    book = measures_of(about.machine) if code is None else code_measures([code])
    found = [one for one in book if one.key == key]
    if not found or not is_recorded(found[0], bales):
        return None
    plans = plan_of(about.sheets, about.machine)
    watched = watch_machine(about.serial, about.machine, bales, plans)
    series = series_of(found[0], look_at(watched, EXPLAINS, about.events))
    if code is not None:
        series = since_first(series, 0)
    if not np.isfinite(series.values).any():
        return None
    walk = _level if found[0].family is Family.LEVEL else _rate
    (expected, spread), changes = walk(series, about)
    number = np.where(watched.bales.mask("bale_no"), watched.bales.column("bale_no"), -1)
    return MeasureHistory(
        measure=found[0],
        numbers=number,
        made_us=watched.made_us,
        timed=watched.timed,
        values=_shown(found[0], series.values),
        expected=_shown(found[0], expected),
        low=_shown(found[0], expected - WIDE * spread),
        high=_shown(found[0], expected + WIDE * spread),
        begins=series.new_group > 0,
        changes=changes,
    )


def _shown(measure: Measure, watched: Floats) -> Floats:
    """In the measure's own unit."""
    return np.exp(np.clip(watched, -50.0, 50.0)) if measure.is_log else watched


def _level(
    series: Series, about: WatchedMachine
) -> tuple[tuple[Floats, Floats], tuple[tuple[int, int, int, int, int | None], ...]]:
    begun, limits = level_terms(series.measure, about)
    trail: list[Floats] = []
    state = watch_level(series, (0, 0), begun, limits, trail)
    told = np.concatenate(trail, axis=1) if trail else np.zeros((2, 0))
    whole = np.full((2, len(series.values)), np.nan)
    whole[:, len(series.values) - told.shape[1] :] = told
    changes = tuple((c.first, c.since, c.last, c.told, c.until) for c in changes_of(state))
    return (whole[0], whole[1]), changes


def _rate(
    series: Series, about: WatchedMachine
) -> tuple[tuple[Floats, Floats], tuple[tuple[int, int, int, int, int | None], ...]]:
    """A rate is drawn as the share it was taken for; single bales have no limits."""
    begun, limits = rate_terms(series.measure, about)
    state = watch_rate(series, 0, 0, begun, limits)
    before = state.rises[0].before if state.rises else state.kept[0] / state.kept[1]
    expected = np.full(len(series.values), float(before))
    changes = tuple((r.first, r.since, r.last, r.at, r.over) for r in state.rises)
    return (expected, np.full(len(series.values), np.nan)), changes
