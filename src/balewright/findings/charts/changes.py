"""Every lasting change of one finished series: where levels begin, with their intervals.

Looking back, no level is known: not before a change and not after. The test of all windows then
is a comparison of both sides of every place (k readings before, m after, spread s),

    T = k m / (k + m) * (mean after - mean before)^2 / (2 s^2),

the largest over all places. A series in order has T > b^2 / 2 somewhere about

    1 - exp(-sum over places of 2 b c nu(b sqrt(2 c)) phi(b)),   c = (k + m) / (2 k m)

of the time (the local rate of Siegmund's approximations). While that is below a chance that is
chosen, the series is cut there, and both parts are looked at in the same way. Where it is not, the
test of all windows (`windows_kernel`) looks for a level that was only visited, against the part's
median, at a tenth of that chance. Then every cut is looked for anew between its neighbours, and
dropped if it is no longer told.

Robust: the spread is from the steps between neighbours; in every part readings count as no further
from its median than `HELD` spreads. Start: with both levels as they were told, a place weighs what
its readings speak for one level against the other, again with far readings held; its interval
leaves 2.5 % at each side. Readings that lean on the one before
(`lean`: correlation of neighbours): the spread of their mean is wider, and T is judged by that.

A series that creeps is no staircase: `course`.

What this cannot see: changes of the spread, and slopes that change.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.stats import norm

from balewright.findings.charts.many_windows_kernel import (
    DOWN_NOW,
    DOWN_START,
    MOST,
    MOST_AT,
    UP_NOW,
    UP_START,
    new_found,
    windows_kernel,
)
from balewright.findings.charts.window_runs import windows_chance
from balewright.findings.charts.windows_kernel import new_windows
from balewright.findings.sure import bale_noise

Floats = NDArray[np.float64]

HELD: Final = 2.5
"""No reading counts as further off than so many spreads."""
_FEWEST: Final = 3
ROUNDS: Final = 4
"""How often cuts are looked for anew."""
_FAR: Final = 3.5
_TAIL: Final = 0.025
_VISIT_SHARE: Final = 0.1  # of the chance that may be spent on levels that were only visited


@dataclass(frozen=True)
class Change:
    """start: place of the first reading of the new level, in what was handed in; first, last:
    between which places it lies with 95 %; before, after: the two levels, in the readings' unit;
    statistic: T; chance_frac: how often a series in order of this length shows as much.
    """

    start: int
    first: int
    last: int
    before: float
    after: float
    statistic: float
    chance_frac: float


@dataclass(frozen=True, eq=False)
class _Readings:
    """values: known ones only; places: where they stood; spread: of one; wide_ratio: by what factor
    the variance of a mean is larger than that of independent readings.
    """

    values: Floats
    places: NDArray[np.int64]
    spread: float
    wide_ratio: float

    def held(self, first: int, last: int) -> Floats:
        """A part less its median, with far readings held."""
        off = self.values[first:last] - np.median(self.values[first:last])
        far = HELD * self.spread
        return np.asarray(np.clip(off, -far, far))

    def statistic(self, first: int, last: int) -> Floats:
        """T of every place first + 1 .. last - 1 as the first of a new level."""
        held = self.held(first, last)
        count = len(held)
        before = np.arange(1, count)
        sums = np.cumsum(held)[:-1]
        apart = (held.sum() - sums) / (count - before) - sums / before
        share = before * (count - before) / count
        return np.asarray(share * apart**2 / (2.0 * self.spread**2 * self.wide_ratio))

    def level(self, first: int, last: int) -> float:
        """Mean of a part, with far readings held."""
        middle = float(np.median(self.values[first:last]))
        return middle + float(self.held(first, last).mean())


def split_chance(statistic: float, count: int) -> float:
    """How often the largest T of a series in order of so many readings is above `statistic`."""
    if statistic <= 0.5 or count < 2:
        return 1.0
    b = math.sqrt(2.0 * statistic)
    before = np.arange(1.0, count)
    c = count / (2.0 * before * (count - before))
    half = 0.5 * b * np.sqrt(2.0 * c)
    over = (norm.cdf(half) - 0.5) / half / (half * norm.cdf(half) + norm.pdf(half))
    return float(-np.expm1(-2.0 * b * norm.pdf(b) * np.sum(c * over)))


def find_changes(
    values: Floats, chance_frac: float = 0.001, lean: float = 0.0, spread: float | None = None
) -> tuple[Change, ...]:
    """The lasting changes of level of a series, in order.

    values: in order, NaN unknown; chance_frac: chance at which a part in order is cut all the
    same, 0..1; lean: correlation of neighbours around their level, 0 <= it < 1; spread: of one
    reading around its level, where it is known. A series without spread, or with fewer than six
    readings, has no changes.
    """
    if not 0.0 <= lean < 1.0 or not 0.0 < chance_frac < 1.0:
        raise ValueError(f"no search: chance {chance_frac}, lean {lean}")
    places = np.flatnonzero(np.isfinite(values))
    known = np.asarray(values, np.float64)[places]
    if spread is None:
        spread = spread_of(known) / math.sqrt(1.0 - lean)
    if spread <= 0.0 or len(known) < 2 * _FEWEST:
        return ()
    readings = _Readings(known, places, spread, (1.0 + lean) / (1.0 - lean))
    cuts = _cut(readings, chance_frac)
    for _ in range(ROUNDS):
        again = _settle(readings, cuts, chance_frac)
        if again == cuts:
            break
        cuts = again
    ends = [0, *cuts, len(known)]
    return tuple(_told(readings, *ends[one : one + 3]) for one in range(len(cuts)))


def spread_of(values: Floats) -> float:
    """Spread of one reading, from steps; where most steps are nil, from their mean square."""
    robust = bale_noise(values)
    if robust > 0.0 or len(values) < 2:
        return robust
    return float(np.sqrt(np.mean(np.diff(values) ** 2) / 2.0))


def _best(readings: _Readings, first: int, last: int) -> tuple[int, float, float]:
    """The likeliest place of a change within a part, its T, and the chance of such a T."""
    if last - first < 2 * _FEWEST:
        return first, 0.0, 1.0
    statistic = readings.statistic(first, last)[_FEWEST - 1 : last - first - _FEWEST]
    at = int(np.argmax(statistic))
    most = float(statistic[at])
    return first + at + _FEWEST, most, split_chance(most, last - first)


def _visit(readings: _Readings, first: int, last: int) -> tuple[int, int, float]:
    """The window that lies furthest from the part's median: first, end, chance of such a one."""
    held = readings.held(first, last) / (readings.spread * math.sqrt(readings.wide_ratio))
    states, found = new_windows(1, len(held) + 1), new_found(1)
    even = np.ones(len(held))
    windows_kernel(held, even, np.array([0, len(held)]), math.inf, states, found)
    end = int(found[0, MOST_AT]) + 1
    if end == 0:
        return first, last, 1.0
    again = new_windows(1, len(held) + 1)
    windows_kernel(held[:end], even[:end], np.array([0, end]), math.inf, again, found)
    is_up = found[0, UP_NOW] >= found[0, DOWN_NOW]
    start = int(found[0, UP_START if is_up else DOWN_START])
    chance = windows_chance(float(found[0, MOST]), len(held))
    return first + start, first + end, chance


def _cut(readings: _Readings, chance_frac: float) -> list[int]:
    """Cut until every part is in order: at a change, or at both ends of a level only visited."""
    cuts: set[int] = set()
    left = [(0, len(readings.values))]
    while left:
        first, last = left.pop()
        if last - first < 2 * _FEWEST:
            continue
        at, _, chance = _best(readings, first, last)
        within = [at]
        if chance >= chance_frac:
            start, end, chance = _visit(readings, first, last)
            within = [one for one in (start, end) if first + _FEWEST <= one <= last - _FEWEST]
            chance /= _VISIT_SHARE
        if chance < chance_frac and within:
            cuts.update(within)
            ends = [first, *within, last]
            left += pairwise(ends)
    return sorted(cuts)


def _placed(readings: _Readings, first: int, at: int, last: int) -> tuple[int, Floats]:
    """The likeliest first reading of the new level, and the weight of every place for it."""
    far = _FAR * readings.spread
    weight = np.zeros(0)
    for _ in range(ROUNDS):
        old, new = readings.level(first, at), readings.level(at, last)
        part = readings.values[first:last]
        off_old = np.minimum(np.abs(part - old), far)
        off_new = np.minimum(np.abs(part - new), far)
        speaks = (off_new**2 - off_old**2) / (2.0 * readings.spread**2 * readings.wide_ratio)
        weight = np.cumsum(speaks)[:-1]
        inner = weight[_FEWEST - 1 : last - first - _FEWEST]
        then = first + _FEWEST + int(np.argmax(inner))
        if then == at:
            break
        at = then
    return at, weight


def _settle(readings: _Readings, cuts: list[int], chance_frac: float) -> list[int]:
    """Look for every cut anew between its neighbours, and drop what is no longer told."""
    kept: list[int] = []
    for one in range(len(cuts)):
        first = kept[-1] if kept else 0
        last = cuts[one + 1] if one + 1 < len(cuts) else len(readings.values)
        at, _, chance = _best(readings, first, last)
        if chance < chance_frac:
            kept.append(_placed(readings, first, at, last)[0])
    return kept


def _told(readings: _Readings, first: int, at: int, last: int) -> Change:
    at, weight = _placed(readings, first, at, last)
    share = np.cumsum(np.exp(weight - weight.max()))
    share /= share[-1]
    low, high = (int(np.searchsorted(share, edge)) for edge in (_TAIL, 1.0 - _TAIL))
    most = float(readings.statistic(first, last)[at - first - 1])
    places = readings.places
    return Change(
        start=int(places[at]),
        first=int(places[min(first + 1 + low, at)]),
        last=int(places[max(min(first + 1 + high, last - 1), at)]),
        before=readings.level(first, at),
        after=readings.level(at, last),
        statistic=most,
        chance_frac=split_chance(most, last - first),
    )
