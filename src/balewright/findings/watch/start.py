"""When a change began: every bale weighed as the first, for a step and for a creeping change.

The model is the charts' own: a level, what job or roll adds (the same for all its bales), chance,
and from one bale on a step, or a change that grows by the same from bale to bale until it was
told. Level and size are not known: both are fitted for every start, so the chance of a start is
that of the best fit, less what the fit costs.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.findings.watch.series import Series
from balewright.findings.watched import Floats
from balewright.quantities.interval import Interval

WINDOW_BALES: Final = 1000
"""How far back from the bale that told a start is looked for."""
_AFTER: Final = 3
_BEFORE: Final = 8
_GRID: Final = 4
_HELD: Final = 4.0
CONFIDENCE: Final = 0.95
_TAIL: Final = (1.0 - CONFIDENCE) / 2


@dataclass(frozen=True)
class Began:
    """first, best, last: places in what was handed in; grows: whether a creeping change fits
    better than a step; before: the level that was left; moved: by how much at the last bale, on
    the watched scale, 95 %; fits: log-likelihood gained by the change; within: of it, by bales of
    the same job and roll held against each other alone, whatever jobs and rolls add; own: where it
    began in the last of them, its bales before that and after, each with how far they lie from
    `before`; no bales where it began earlier.
    """

    first: int
    best: int
    last: int
    grows: bool
    before: float
    moved: Interval
    fits: float
    within: float
    own: tuple[int, float, int, float]


@dataclass(frozen=True, eq=False)
class Stretch:
    """values: (n,), known ones only, freed of what explains them; groups: (n,) whole numbers that
    rise where a job or roll begins; spread2, group2: squares of the spread from bale to bale and
    between groups.
    """

    values: Floats
    groups: NDArray[np.int64]
    spread2: float
    group2: float


def groups_of(new_group: NDArray[np.int8]) -> NDArray[np.int64]:
    """Number the groups of a stretch."""
    return np.cumsum(new_group > 0).astype(np.int64)


def look_back(
    series: Series,
    rows: tuple[int, int],
    slopes: Floats,
    spreads2: tuple[float, float],
    side: int,
) -> Began | None:
    """When a change that was told began, its places as rows of the series.

    rows: the first and the last that are looked at; slopes: of what explains; spreads2: squares of
    the spread from bale to bale, alike ones counted in, and between groups.
    """
    low, place = rows
    part = slice(low, place + 1)
    known = np.isfinite(series.values[part])
    free = series.values[part] - series.explaining[part] @ slopes
    stretch = Stretch(free[known], groups_of(series.new_group[part])[known], *spreads2)
    began = find_start(stretch, side)
    if began is None:
        return None
    at = low + np.flatnonzero(known)
    first, best, last = (int(at[one]) for one in (began.first, began.best, began.last))
    return replace(began, first=first, best=best, last=last)


def find_start(stretch: Stretch, side: int) -> Began | None:
    """When it began, for a change up (side 1) or down (-1); None where no start fits that way."""
    count = len(stretch.values)
    starts = np.arange(_BEFORE, count - _AFTER + 1)
    if not len(starts):
        return None
    middle = float(np.median(stretch.values))
    far = _HELD * np.sqrt(stretch.spread2 + stretch.group2) + abs(_size_guess(stretch))
    values = np.clip(stretch.values - middle, -far, far)
    steps = _fit(stretch, values, _steps(starts, count))
    every = starts[:: _GRID if count > 4 * _GRID else 1]
    ramps = _fit(stretch, values, _ramps(every, count))
    step, ramp = _best(steps, side), _best(ramps, side)
    if max(step, ramp) <= 0:
        return None
    grows = ramp > step + 1.0
    fit, at = (ramps, every) if grows else (steps, starts)
    told = _tell(fit, at, side, middle)
    wide = every[1] - every[0] if len(every) > 1 else 1
    first, last = _between(
        np.concatenate([starts, every]),
        np.concatenate([_chance(steps, side), _chance(ramps, side) + np.log(wide)]),
    )
    told = replace(told, first=min(first, told.best), last=max(last, told.best))
    near = at[(at >= told.first) & (at <= told.last)]
    shapes = (_ramps if grows else _steps)(near, count)
    own = _own_group(stretch.groups, values - (told.before - middle), told.best)
    return replace(
        told, grows=grows, own=own, within=min(_within(stretch, values, shapes, side), told.fits)
    )


def _size_guess(stretch: Stretch) -> float:
    """How far the last readings lie from the first, so that a true change is not cut off."""
    some = max(len(stretch.values) // 8, _AFTER)
    ends = stretch.values[-some:], stretch.values[:-some]
    return float(np.median(ends[0]) - np.median(ends[1])) if len(ends[1]) else 0.0


@dataclass(frozen=True, eq=False)
class _Fit:
    """Of each start: size of the change, its information, and the gain in log-likelihood."""

    size: Floats
    information: Floats
    level: Floats
    last_of_shape: Floats

    @property
    def gain(self) -> Floats:
        return 0.5 * self.size**2 * self.information


def _best(fit: _Fit, side: int) -> float:
    right = fit.size * side > 0
    return float(fit.gain[right].max()) if right.any() else 0.0


def _steps(starts: NDArray[np.int64], count: int) -> Floats:
    return (np.arange(count)[:, None] >= starts[None, :]).astype(np.float64)


def _ramps(starts: NDArray[np.int64], count: int) -> Floats:
    run = np.maximum(np.arange(count)[:, None] - starts[None, :] + 1.0, 0.0)
    return np.asarray(run / (count - starts)[None, :])


def _fit(stretch: Stretch, values: Floats, shapes: Floats) -> _Fit:
    """Generalised least squares of level and change for every start at once, a column each."""
    group = np.unique(stretch.groups, return_inverse=True)[1]
    size = np.bincount(group).astype(np.float64)
    rho = stretch.group2 / stretch.spread2
    shrink = rho / (1.0 + size * rho)

    begins = np.flatnonzero(np.diff(group, prepend=-1))

    def weigh(columns: Floats) -> Floats:
        sums = np.add.reduceat(columns, begins, axis=0)
        return np.asarray((columns - (shrink[:, None] * sums)[group]) / stretch.spread2)

    ones = np.ones((len(values), 1))
    plain = weigh(ones)[:, 0]
    own = float(plain.sum())
    level = float(plain @ values) / own
    weighed = weigh(values[:, None])[:, 0]
    across = shapes.T @ plain
    seen = shapes.T @ (weighed - plain * level)
    information = np.einsum("ij,ij->j", shapes, weigh(shapes)) - across**2 / own
    information = np.maximum(information, 1e-12)
    moved = seen / information
    return _Fit(moved, information, level - moved * across / own, shapes[-1])


def _chance(fit: _Fit, side: int) -> Floats:
    """Logarithm of how likely each start is, but for a constant of all shapes."""
    chance = fit.gain - 0.5 * np.log(fit.information)
    return np.where((fit.size * side > 0) & np.isfinite(chance), chance, -1e300)


def _between(starts: NDArray[np.int64], chance: Floats) -> tuple[int, int]:
    """Between which starts the wanted weight lies, step and creeping change being as likely."""
    order = np.argsort(starts, kind="stable")
    weight = np.exp(np.maximum(chance[order] - chance.max(), -700.0))
    share = np.cumsum(weight) / weight.sum()
    ends = (min(int(np.searchsorted(share, edge)), len(order) - 1) for edge in (_TAIL, 1.0 - _TAIL))
    first, last = (int(starts[order[end]]) for end in ends)
    return first, last


def _own_group(
    groups: NDArray[np.int64], values: Floats, best: int
) -> tuple[int, float, int, float]:
    """The last group before and after a change that began in it."""
    first = int(np.searchsorted(groups, groups[-1]))
    if best <= first:
        return 0, 0.0, 0, 0.0
    return (
        best - first, float(values[first:best].mean()),
        len(values) - best, float(values[best:].mean()),
    )  # fmt: skip


def _within(stretch: Stretch, values: Floats, shapes: Floats, side: int) -> float:
    """The gain of the best of these shapes where each group may add what it likes."""
    group = np.unique(stretch.groups, return_inverse=True)[1]
    size, begins = np.bincount(group), np.flatnonzero(np.diff(group, prepend=-1))

    def inside(columns: Floats) -> Floats:
        means = np.add.reduceat(columns, begins, axis=0) / size[:, None]
        return np.asarray(columns - means[group])

    own = inside(shapes)
    seen = np.maximum(side * (own.T @ inside(values[:, None])[:, 0]), 0.0)
    shown = np.einsum("ij,ij->j", own, own)
    gain = 0.5 * seen**2 / np.maximum(shown, 1e-9) / stretch.spread2
    return float(gain.max(initial=0.0))


def _tell(fit: _Fit, starts: NDArray[np.int64], side: int, middle: float) -> Began:
    best = int(np.argmax(_chance(fit, side)))
    size = float(fit.size[best] * fit.last_of_shape[best])
    half = 1.96 * float(fit.last_of_shape[best] / np.sqrt(fit.information[best]))
    return Began(
        first=int(starts[best]),
        best=int(starts[best]),
        last=int(starts[best]),
        grows=False,
        before=middle + float(fit.level[best]),
        moved=Interval(size - half, size, size + half, CONFIDENCE),
        fits=float(fit.gain[best]),
        within=0.0,
        own=(0, 0.0, 0, 0.0),
    )
