"""A rate watched: what was told of it, and when it was over."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from balewright.findings.measures.measure import Measure
from balewright.findings.watch import rate_kernel as slot
from balewright.findings.watch.rate_kernel import walk_rate
from balewright.findings.watch.series import Series
from balewright.findings.watch.start import WINDOW_BALES
from balewright.findings.watched import Floats

_LEARNT_EVENTS = 1.0
_SLOPE_PRECISION = 4.0
_RETURN = 3


@dataclass(frozen=True)
class UsualRate:
    """A rate a bale before anything was learnt of this machine, worth so many events."""

    rate: float
    events: float
    slopes: tuple[float, ...]
    is_learnt: bool = False


@dataclass(frozen=True)
class Rise:
    """A rate that rose. Ordinals of bales from 0.

    at: the bale that told; first, since, last: the likeliest bale of the start with its interval;
    chart: 1 or 2, by
    which sum; statistic: of it; before: the rate a bale; events, bales: seen since; expected:
    events at the old rate; judged: bales judged until then; over: the bale at which it had come
    back, None while it lasts.
    """

    at: int
    first: int
    since: int
    last: int
    chart: int
    statistic: float
    before: float
    events: float
    bales: float
    expected: float
    judged: int
    over: int | None = None


@dataclass(frozen=True, eq=False)
class RateState:
    """kept, slopes, precision: of the walk; rises: all told, in order."""

    kept: Floats
    slopes: Floats
    precision: Floats
    rises: tuple[Rise, ...]

    @property
    def seen(self) -> float:
        """Events since the last rise was told, those that told it included."""
        return float(self.kept[slot.SEEN])

    @property
    def expected(self) -> float:
        """Events that the old rate would have given since then."""
        return float(self.kept[slot.EXPECTED])


def usual_rate_of(measure: Measure) -> UsualRate:
    """What the book says before any machine of the kind was seen."""
    return UsualRate(measure.usual_rate, _LEARNT_EVENTS, (0.0,) * len(measure.explained_by))


def begin_rate(usual: UsualRate) -> RateState:
    """A state that has seen no bale."""
    kept = np.zeros(slot.SLOTS)
    kept[slot.EVENTS], kept[slot.BALES] = usual.events, usual.events / usual.rate
    slopes = np.array(usual.slopes, dtype=np.float64)
    return RateState(kept, slopes, np.full(len(slopes), _SLOPE_PRECISION), ())


def watch_rate(
    series: Series,
    first: int,
    ordinal: int,
    state: RateState,
    limits: tuple[tuple[float, float], int],
) -> RateState:
    """Go on with the bales from place `first`; ordinal: of the series' first bale.

    limits: of each sum less the log of the rate, and the bales before the first is judged.
    """
    kept, slopes, precision = state.kept.copy(), state.slopes.copy(), state.precision.copy()
    rises, at = state.rises, first
    while at < len(series.values):
        given = series.values[at:], series.explaining[at:], series.new_group[at:]
        told, what = walk_rate(given, kept, (slopes, precision), limits[0], float(limits[1]))
        if told < 0:
            break
        place = at + told
        if what == _RETURN:
            rises = (*rises[:-1], replace(rises[-1], over=_ordinal(series, ordinal, place, kept,
                                                                   slot.BACK_SINCE)))  # fmt: skip
            kept[slot.TOLD] = kept[slot.BACK] = 0.0
        else:
            rises = (*rises, _rise(series, ordinal, place, kept, what))
            kept[slot.TOLD] = slot.TIMES[what - 1]
            kept[slot.SEEN], kept[slot.EXPECTED] = rises[-1].events, rises[-1].expected
        kept[slot.SUMS : slot.SUMS + 2] = 0.0
        kept[slot.WAITING_EVENTS] = kept[slot.WAITING_BALES] = 0.0
        kept[slot.RECENT_EVENTS] = kept[slot.RECENT_BALES] = 0.0
        at = place + 1
    return RateState(kept, slopes, precision, rises)


def _ordinal(series: Series, ordinal: int, place: int, kept: Floats, since: int) -> int:
    """The bale at which a sum began, from the count of judged bales; at most what was handed in."""
    back = int(kept[slot.JUDGED] - 1 - kept[since])
    judged = np.flatnonzero(np.isfinite(series.values[: place + 1]))
    return ordinal + int(judged[max(len(judged) - 1 - back, 0)])


def _rise(series: Series, ordinal: int, place: int, kept: Floats, what: int) -> Rise:
    before = float(kept[slot.EVENTS] / kept[slot.BALES])
    first, since, last = _start(series, place, before, slot.TIMES[what - 1])
    seen = series.values[since : place + 1]
    bales = float(np.isfinite(seen).sum())
    return Rise(
        at=ordinal + place,
        first=ordinal + first,
        since=ordinal + since,
        last=ordinal + last,
        chart=what,
        statistic=float(kept[slot.SUMS + what - 1]),
        before=before,
        events=float(np.nansum(seen)),
        bales=bales,
        expected=before * bales,
        judged=int(kept[slot.JUDGED]),
    )


def _start(series: Series, place: int, before: float, times: float) -> tuple[int, int, int]:
    """The likeliest first bale of a rise that was told at `place`, with its 95 % interval.

    Every bale is weighed as the first, for a rate `times` as high: a rise is as likely to begin at
    one bale as at another.
    """
    low = max(place + 1 - WINDOW_BALES, 0)
    counts = series.values[low : place + 1]
    known = np.isfinite(counts)
    gain = np.where(known, np.nan_to_num(counts) * np.log(times) - before * (times - 1.0), 0.0)
    fits = np.cumsum(gain[::-1])[::-1]  # of the bales from each one on
    fits = np.where(known, fits, -np.inf)
    weight = np.exp(fits - fits.max())
    share = np.cumsum(weight) / weight.sum()
    best = int(np.argmax(fits))
    first, last = (int(np.searchsorted(share, edge)) for edge in (0.025, 0.975))
    return low + min(first, best), low + best, low + max(min(last, len(counts) - 1), best)
