"""A level watched: the filter, its two charts, and what they told."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from balewright.findings.charts.cusum_kernel import new_cusum
from balewright.findings.charts.windows_kernel import new_windows
from balewright.findings.measures.measure import Measure
from balewright.findings.watch import level_kernel as slot
from balewright.findings.watch.charts_kernel import LASTING, walk_until_told
from balewright.findings.watch.level_kernel import filter_bales
from balewright.findings.watch.series import Series
from balewright.findings.watch.start import WINDOW_BALES, Began, Stretch, find_start, groups_of
from balewright.findings.watched import Floats

_UNKNOWN_LEVEL: Final = 100.0
"""Square of how little is known of a level at first, in bale spreads."""
LEAST_SHARE: Final = 0.3
"""Of the smallest change worth telling: a spread below that is as good as none."""
_USUAL_GROUPS: Final = 4.0
_LEARNT_GROUPS: Final = 20.0
_USUAL_LIKE_BALES: Final = 60.0
_ANEW_BALES: Final = 6.0
"""Bales from which a level that is learnt anew is taken before the next is judged."""


@dataclass(frozen=True)
class Usual:
    """What is usual before anything was learnt of this machine, on the watched scale.

    level, level_spread: None where nothing is known; spread: bale to bale; group_spread: between
    jobs or rolls; slopes, slope_spreads: of what explains it, one each; is_learnt: from machines of
    its kind, not from the book.
    """

    level: float | None
    level_spread: float | None
    spread: float
    group_spread: float
    slopes: tuple[float, ...]
    slope_spreads: tuple[float, ...]
    least_spread: float = 0.0
    is_learnt: bool = False


@dataclass(frozen=True)
class Alarm:
    """What a chart told. Places are ordinals of the machine's bales from 0.

    at: the bale that told; first, since, last: when it began, with its interval; side: 1 up, -1
    down; chart: which; statistic: of the chart; before, moved: the level that was left and by how
    much, on the watched scale; before_spread, moved_spread: how well they are known; grows:
    creeping; judged: bales judged until then; anew: the bale from which the level was last learnt
    anew on purpose, -1 never.
    """

    at: int
    first: int
    since: int
    last: int
    side: int
    chart: int
    statistic: float
    before: float
    before_spread: float
    moved: float
    moved_spread: float
    grows: bool
    judged: int
    anew: int


@dataclass(frozen=True, eq=False)
class LevelState:
    """mean, covariance, kept: of the filter; sudden, lasting: of the charts; charts_since: ordinal
    of the bale at which the charts began to count, -1 not yet; anew: ordinal of the bale from
    which the level was last learnt anew on purpose, -1 never; alarms: all told, in order.
    """

    mean: Floats
    covariance: Floats
    kept: Floats
    sudden: Floats
    lasting: Floats
    charts_since: int
    anew: int
    alarms: tuple[Alarm, ...]


def usual_of(measure: Measure) -> Usual:
    """What the book says before any machine of the kind was seen."""
    count, spread = len(measure.explained_by), measure.usual_spread
    return Usual(
        None, None, spread, measure.usual_group * spread, (0.0,) * count, (spread,) * count
    )


def begin_level(usual: Usual) -> LevelState:
    """A state that has seen no bale."""
    spread2 = usual.spread**2
    group2 = max(usual.group_spread**2, 0.0025 * spread2)
    known = usual.level is not None and usual.level_spread is not None
    level2 = (usual.level_spread or 0.0) ** 2 if known else _UNKNOWN_LEVEL * spread2
    mean = np.array([usual.level if known else np.nan, *usual.slopes, 0.0])
    covariance = np.diag([level2, *(one**2 for one in usual.slope_spreads), group2])
    kept = np.zeros(slot.SLOTS)
    kept[slot.SPREAD2], kept[slot.GROUP2], kept[slot.GROUP_RAW] = spread2, group2, group2
    kept[slot.GROUPS], kept[slot.LIKE_BALES] = _USUAL_GROUPS, _USUAL_LIKE_BALES
    kept[slot.LAST], kept[slot.LEAST2] = np.nan, usual.least_spread**2
    if usual.is_learnt:
        kept[slot.JUDGED] = kept[slot.SPREAD_BALES] = slot.EARLY_BALES
        kept[slot.GROUPS] = _LEARNT_GROUPS
    return LevelState(mean, covariance, kept, new_cusum(), new_windows(), -1, -1, ())


def watch_level(
    series: Series,
    places: tuple[int, int],
    state: LevelState,
    limits: tuple[tuple[float, float], int],
    trail: list[Floats] | None = None,
) -> LevelState:
    """Go on with new bales; earlier ones in the series are only looked back at.

    places: of the first new bale in the series, and the ordinal of the series' first bale in the
    machine's life; limits: of the sudden and the lasting chart, and the bales from which a level is
    learnt before the first is judged. A change that is told makes the level be learnt anew, so that
    the next one is seen too. trail: where given, what was expected of each bale is added to it,
    stretch by stretch, with a row of the spread at its end.
    """
    state = _copy(state)
    first, ordinal = places
    at = first
    if state.charts_since < 0:  # the charts begin with the first bale that says anything
        known = np.flatnonzero(np.isfinite(series.values[first:]))
        if not len(known):
            return state
        at = first + int(known[0])
        if np.isnan(state.mean[0]):
            state.mean[0] = series.values[at]
        state = replace(state, charts_since=ordinal + at)
    while at < len(series.values):
        (told, *rest), expected = _walk(series, at, state, limits)
        if trail is not None:
            spread = np.full(len(expected), np.sqrt(state.kept[slot.SPREAD2]))
            trail.append(np.stack([expected, spread]))
        if told < 0:
            break
        state = _with_anew(series, ordinal, (at, at + told + 1), state)
        state = _after_alarm(series, ordinal, told + at, state, rest)
        at += told + 1
    return _with_anew(series, ordinal, (at, len(series.values)), state)


def _with_anew(
    series: Series, ordinal: int, span: tuple[int, int], state: LevelState
) -> LevelState:
    """Note where a setting last moved the level on purpose."""
    rows = np.flatnonzero(series.anew[span[0] : span[1]])
    return replace(state, anew=ordinal + span[0] + int(rows[-1])) if len(rows) else state


def _copy(state: LevelState) -> LevelState:
    return replace(
        state,
        mean=state.mean.copy(),
        covariance=state.covariance.copy(),
        kept=state.kept.copy(),
        sudden=state.sudden.copy(),
        lasting=state.lasting.copy(),
    )


def _walk(
    series: Series, at: int, state: LevelState, limits: tuple[tuple[float, float], int]
) -> tuple[tuple[int, int, int, int, float], Floats]:
    """Filter and chart from `at` on; state is that of the bale that told, or of the last."""
    begun = _copy(state)
    odd, share, expected = _filter(series, at, len(series.values), state, limits[1])
    told = walk_until_told(odd, share, state.sudden, state.lasting, limits[0])
    if told[0] >= 0:  # go back: bales after it are to be judged by a level learnt anew
        for name in ("mean", "covariance", "kept"):
            getattr(state, name)[:] = getattr(begun, name)
        _, _, expected = _filter(series, at, at + told[0] + 1, state, limits[1])
    return told, expected


def _filter(
    series: Series, at: int, end: int, state: LevelState, learning: int
) -> tuple[Floats, Floats, Floats]:
    part = slice(at, end)
    given = (series.values[part], series.explaining[part], series.new_group[part],
             series.anew[part])  # fmt: skip
    return filter_bales(given, state.mean, state.covariance, state.kept, float(learning))


def _after_alarm(
    series: Series, ordinal: int, place: int, state: LevelState, rest: list[float]
) -> LevelState:
    chart, side, since, statistic = int(rest[0]), int(rest[1]), int(rest[2]), float(rest[3])
    told = _alarm(series, ordinal, place, state, (chart, side, state.charts_since + since))
    kept = state.kept.copy()
    covariance = state.covariance.copy()
    covariance[0, 0] += _UNKNOWN_LEVEL * kept[slot.SPREAD2]
    kept[slot.SINCE] = max(kept[slot.SINCE] - _ANEW_BALES, 0.0)
    kept[slot.LAST] = np.nan
    alarm = replace(told, statistic=statistic)
    return LevelState(
        state.mean, covariance, kept, new_cusum(), new_windows(), ordinal + place + 1, state.anew,
        (*state.alarms, alarm),
    )  # fmt: skip


def _alarm(
    series: Series, ordinal: int, place: int, state: LevelState, told: tuple[int, int, int]
) -> Alarm:
    """Look back over what was handed in for the start, never beyond the last alarm."""
    chart, side, since = told
    told_before = state.alarms[-1].at + 1 - ordinal if state.alarms else 0
    low = max(place + 1 - WINDOW_BALES, told_before, state.anew - ordinal, 0)
    began = _look_back(series, low, place, state, side)
    spread = float(np.sqrt(state.covariance[0, 0]))
    alarm = Alarm(
        at=ordinal + place, first=since, since=since, last=since, side=side, chart=chart,
        statistic=0.0, before=float(state.mean[0]), before_spread=spread,
        moved=side * float(np.sqrt(state.kept[slot.SPREAD2])), moved_spread=spread,
        grows=chart == LASTING, judged=int(state.kept[slot.JUDGED]), anew=state.anew,
    )  # fmt: skip
    if began is None:
        return alarm
    rows = low + np.flatnonzero(np.isfinite(series.values[low : place + 1]))
    first, best, last = (ordinal + int(rows[at]) for at in (began.first, began.best, began.last))
    return replace(
        alarm, first=first, since=best, last=last, before=began.before, moved=began.moved.best,
        moved_spread=(began.moved.high - began.moved.low) / 3.92, grows=began.grows,
    )  # fmt: skip


def _look_back(series: Series, low: int, place: int, state: LevelState, side: int) -> Began | None:
    part = slice(low, place + 1)
    known = np.isfinite(series.values[part])
    free = series.values[part] - series.explaining[part] @ state.mean[1:-1]
    like = state.kept[slot.LIKE]
    stretch = Stretch(
        free[known],
        groups_of(series.new_group[part])[known],
        float(state.kept[slot.SPREAD2] * (1.0 + like) / (1.0 - like)),
        float(state.kept[slot.GROUP2]),
    )
    return find_start(stretch, side)
