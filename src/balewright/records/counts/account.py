"""A machine's account of counts: every bale recorded, every number missing, and the sum of both."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from balewright.records.bales import BaleTable
from balewright.records.counters import CounterSpan, lifetime_bales
from balewright.records.counts.counter import Counter, Rows, StepBack, account_counter
from balewright.records.counts.swaps import (
    UNKNOWN_PERIOD,
    Swap,
    Swaps,
    periods_of,
    place_swaps,
)
from balewright.records.events import Event
from balewright.records.identity import REWRAPPED, Sources, bale_times, tell_bales_apart

_UNTOLD = -1


@dataclass(frozen=True)
class OddBale:
    """A row that is no ordinary good bale: status `burst`, `test` or `re-wrapped`."""

    status: str
    bale_no: int | None
    epoch: int | None
    at_us: int | None
    job: str | None


@dataclass(frozen=True)
class LifetimeCount:
    """Bales of the machine's whole life.

    bales: None where it gives no numbers and none was recorded; at_least: whether there may have
    been more; why: keys of what makes it only a least, empty where it is not.
    """

    bales: int | None
    at_least: bool
    why: tuple[str, ...] = ()


@dataclass(frozen=True)
class CountAccount:
    """What became of one machine's count.

    `recorded` (distinct bales) is the sum of `bales` of the counters and of `unnumbered` (bales
    of unknown number). suggested: falls that look like a swapped control and that nobody told.
    """

    machine: str
    recorded: int
    unnumbered: int
    untimed: int
    counters: tuple[Counter, ...]
    swaps: Swaps
    suggested: tuple[StepBack, ...]
    odd: tuple[OddBale, ...]
    lifetime: LifetimeCount

    @property
    def missing(self) -> int:
        """Numbers nobody recorded, all counters together."""
        return sum(counter.missing for counter in self.counters)

    def odd_count(self, status: str) -> int:
        """How many rows have that status."""
        return sum(1 for one in self.odd if one.status == status)


def account_for(machine: str, bales: BaleTable, events: Iterable[Event] = ()) -> CountAccount:
    """Account for one machine's numbers.

    bales: of that machine, one row a bale or with doubles, in any order; events: its own.
    Gives the same account in whatever order rows and events stand.
    """
    swaps = place_swaps(events, bales)
    told = tell_bales_apart(bales, _alone(bales))
    times, timed = bale_times(bales)
    counts = told.counts[told.group]
    job = np.where(bales.mask("job"), bales.column("job"), "").astype(object)
    rows = Rows(
        number=bales.column("bale_no"),
        time_us=times,
        timed=timed,
        group=told.group,
        counts=counts,
        passes=told.passes[told.group],
        job=job,
    )
    numbered = bales.mask("bale_no") & bales.mask("machine")
    counters = _counters(bales, rows, numbered, swaps.placed)
    recorded = int(np.count_nonzero(told.counts))
    suggested = tuple(
        sorted(
            (step for one in counters for step in one.steps_back if step.is_swap),
            key=lambda step: (step.at_us, step.to_no),
        )
    )
    return CountAccount(
        machine=machine,
        recorded=recorded,
        unnumbered=len(np.unique(told.group[counts & ~numbered])),
        untimed=len(np.unique(told.group[counts & ~timed])),
        counters=counters,
        swaps=swaps,
        suggested=suggested,
        odd=_odd(bales, times, timed),
        lifetime=count_lifetime(
            counters,
            _period_spans(bales, numbered, swaps.placed),
            recorded,
            bool(swaps.placed),
        ),
    )


def _alone(bales: BaleTable) -> Sources:
    """Sources of a table taken as one file."""
    zeros = np.zeros(bales.rows, dtype=np.int64)
    return Sources(zeros, np.arange(bales.rows), zeros)


def _counters(
    bales: BaleTable, rows: Rows, numbered: NDArray[np.bool_], swaps: tuple[Swap, ...]
) -> tuple[Counter, ...]:
    epoch = _epochs(bales, rows.group)
    period = np.where(epoch != _UNTOLD, UNKNOWN_PERIOD, periods_of(bales, swaps))
    places = np.flatnonzero(numbered)
    keys = np.stack((epoch[places], period[places]), axis=1)
    found, which = np.unique(keys, axis=0, return_inverse=True)
    counters = []
    for at, (of_epoch, of_period) in enumerate(found.tolist()):
        picked = places[which.reshape(-1) == at]
        counters.append(
            account_counter(
                None if of_epoch == _UNTOLD else of_epoch,
                None if of_period == UNKNOWN_PERIOD else of_period,
                _take(rows, picked),
            )
        )
    return tuple(counters)


def _epochs(bales: BaleTable, group: NDArray[np.int64]) -> NDArray[np.int64]:
    """The epoch that some row of the same bale tells, else _UNTOLD."""
    told = bales.mask("counter_epoch")
    nobody = np.iinfo(np.int64).max
    lowest = np.full(int(group.max(initial=-1)) + 1, nobody)
    np.minimum.at(lowest, group[told], bales.column("counter_epoch")[told])
    return np.where(lowest[group] == nobody, _UNTOLD, lowest[group])


def _take(rows: Rows, places: NDArray[np.intp]) -> Rows:
    return Rows(**{name: array[places] for name, array in vars(rows).items()})


def _period_spans(
    bales: BaleTable, numbered: NDArray[np.bool_], swaps: tuple[Swap, ...]
) -> tuple[CounterSpan, ...]:
    """Numbers seen between told swaps, epochs told or not; all in one where none was told."""
    period = periods_of(bales, swaps)
    spans = []
    for at in np.unique(period[numbered]).tolist():
        numbers = bales.column("bale_no")[numbered & (period == at)]
        is_known = bool(swaps) and at != UNKNOWN_PERIOD
        spans.append(CounterSpan(at if is_known else None, int(numbers.min()), int(numbers.max())))
    return tuple(spans)


def count_lifetime(
    counters: tuple[Counter, ...],
    periods: tuple[CounterSpan, ...],
    recorded: int,
    swaps_told: bool = False,
) -> LifetimeCount:
    """Lifetime bales from the counters' accounts.

    Told epochs add up, and so do `periods`, the numbers seen between told swaps
    (`records.counters` says how): the higher of both counts. What knows no epoch and no swap says
    `at least`. Never fewer than the bales recorded, and more bales never give less, as long as
    the same swaps are told.
    """
    epochs = [
        CounterSpan(one.epoch, one.first_no, one.last_no)
        for one in counters
        if one.epoch is not None
    ]
    by_numbers = max(
        (found for found in (lifetime_bales(epochs), lifetime_bales(periods)) if found is not None),
        default=None,
    )
    if by_numbers is None and recorded == 0:
        return LifetimeCount(None, False)
    why = tuple(_why_least(counters, by_numbers, recorded, swaps_told))
    return LifetimeCount(max(by_numbers or 0, recorded), bool(why), why)


def lifetime_by_marks(
    spans: Iterable[CounterSpan], counted: int, fell: bool = False
) -> LifetimeCount:
    """Lifetime bales where only the counters' marks are at hand and no swap was told.

    spans: lowest and highest number by epoch; counted: distinct bales recorded; fell: whether the
    numbers were seen to fall. Of a machine that gives no numbers None, though bales are counted.
    """
    marks = tuple(spans)
    bales = lifetime_bales(marks)
    if bales is None:
        return LifetimeCount(None, False)
    epochs = [one.epoch for one in marks if one.epoch is not None]
    why = []
    if counted > bales:
        why.append("more_recorded")
    if _is_unseen(epochs):
        why.append("epoch_unseen")
    if len(epochs) < len(marks):
        why.append("epoch_untold")
    if fell:
        why.append("fell")
    return LifetimeCount(max(bales, counted), bool(why), tuple(why))


def _is_unseen(epochs: list[int]) -> bool:
    """Whether a control was there before or between of which no number was seen."""
    seen = sorted(set(epochs))
    return bool(seen) and (seen[0] > 1 or seen[-1] - seen[0] + 1 > len(seen))


def _why_least(
    counters: tuple[Counter, ...], by_numbers: int | None, recorded: int, swaps_told: bool
) -> Iterable[str]:
    epochs = [one.epoch for one in counters if one.epoch is not None]
    untold = [one for one in counters if one.epoch is None]
    if by_numbers is None:
        yield "unnumbered"
    elif recorded > by_numbers:
        yield "more_recorded"
    if _is_unseen(epochs):
        yield "epoch_unseen"
    if untold and not swaps_told:
        yield "epoch_untold"
    if any(one.period is None for one in untold):
        yield "untimed"
    if any(step.is_swap for one in counters for step in one.steps_back):
        yield "fell"


def _odd(
    bales: BaleTable, times: NDArray[np.int64], timed: NDArray[np.bool_]
) -> tuple[OddBale, ...]:
    known = bales.mask("status")
    status = bales.column("status")
    found = [
        OddBale(
            status=status[row],
            bale_no=bales.cell(row, "bale_no"),
            epoch=bales.cell(row, "counter_epoch"),
            at_us=int(times[row]) if timed[row] else None,
            job=bales.cell(row, "job"),
        )
        for row in np.flatnonzero(known).tolist()
        if status[row] in ("burst", "test", REWRAPPED)
    ]
    return tuple(sorted(found, key=_odd_order))


def _odd_order(one: OddBale) -> tuple[int, int, int, str, str]:
    at_us, bale_no, epoch = (-1 if x is None else x for x in (one.at_us, one.bale_no, one.epoch))
    return (at_us, bale_no, epoch, one.status, one.job or "")
