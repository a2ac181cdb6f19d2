"""One counter's numbers: which were seen, which are missing and when, which came twice."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from balewright.records.order import LEAP

Whole = NDArray[np.int64]
Mask = NDArray[np.bool_]
_LATEST = np.iinfo(np.int64).max
_SHORT_RUN = 3
"""A run of at most so many bales may be junk; a control's own run has at least so many."""


@dataclass(frozen=True)
class Gap:
    """Numbers nobody recorded, first to last. after_us, before_us: they fell between these times
    (of the bales on either side), None where a side has no time."""

    first_no: int
    last_no: int
    after_us: int | None
    before_us: int | None

    @property
    def count(self) -> int:
        """How many numbers."""
        return self.last_no - self.first_no + 1


@dataclass(frozen=True)
class Repeat:
    """A number that stands in several rows that are no passes over the wrapper.

    times_us: of the rows that have one, rising; rows: how many rows; bales: how many bales they
    are by `records.identity` (one where the epoch is told).
    """

    number: int
    times_us: tuple[int, ...]
    rows: int
    bales: int


@dataclass(frozen=True)
class StepBack:
    """A number lower than the one before it in time.

    is_swap: it looks like a swapped or reset control: a longer run before it and one after it
    that starts below that, or where it started more than LEAP bales ago; job_changed: the job
    changed at the same bale, so the numbers may be a job's own count instead.
    """

    from_no: int
    to_no: int
    from_us: int
    at_us: int
    is_swap: bool
    job_changed: bool


@dataclass(frozen=True)
class Junk:
    """Bales whose number leapt away and whose followers go on from before: no count of anything."""

    first_no: int
    last_no: int
    at_us: int
    bales: int


@dataclass(frozen=True)
class Counter:
    """The account of one counter of one machine.

    epoch: as the records tell it, else None; period: how many told swaps came before, None where
    the epoch is told or nobody can say. `last_no - first_no + 1 == numbers + missing + leapt`
    and `bales == numbers - only_passes + further`. numbers: distinct numbers seen; missing: by
    `gaps`; leapt: by `leaps`, more than LEAP at once, which are no lost bales; only_passes:
    numbers seen on passes over the wrapper alone; further: bales beyond the first of a number.
    """

    epoch: int | None
    period: int | None
    first_no: int
    last_no: int
    first_us: int | None
    last_us: int | None
    bales: int
    numbers: int
    missing: int
    leapt: int
    only_passes: int
    further: int
    gaps: tuple[Gap, ...]
    leaps: tuple[Gap, ...]
    repeats: tuple[Repeat, ...]
    steps_back: tuple[StepBack, ...]
    junk: tuple[Junk, ...]

    @property
    def span(self) -> int:
        """How many numbers there are from the first to the last."""
        return self.last_no - self.first_no + 1


@dataclass(frozen=True, eq=False)
class Rows:
    """The numbered rows of one counter, each of shape (rows,).

    group: rows of one bale share it; counts: whether it is a bale of the book; job: text, "" for
    unknown.
    """

    number: Whole
    time_us: Whole
    timed: Mask
    group: Whole
    counts: Mask
    passes: Mask
    job: NDArray[np.object_]


def account_counter(epoch: int | None, period: int | None, rows: Rows) -> Counter:
    """Account for one counter. Row order does not matter; needs at least one row."""
    seen = np.unique(rows.number)
    gaps, leaps = _gaps(seen, _first_times(rows, seen))
    bales = len(np.unique(rows.group[rows.counts]))
    counted = len(np.unique(rows.number[rows.counts]))
    steps_back, junk = _steps(rows)
    times = rows.time_us[rows.timed]
    return Counter(
        epoch=epoch,
        period=period,
        first_no=int(seen[0]),
        last_no=int(seen[-1]),
        first_us=int(times.min()) if len(times) else None,
        last_us=int(times.max()) if len(times) else None,
        bales=bales,
        numbers=len(seen),
        missing=sum(gap.count for gap in gaps),
        leapt=sum(gap.count for gap in leaps),
        only_passes=len(seen) - counted,
        further=bales - counted,
        gaps=gaps,
        leaps=leaps,
        repeats=_repeats(rows),
        steps_back=steps_back,
        junk=junk,
    )


def _first_times(rows: Rows, seen: Whole) -> Whole:
    """When each number was first seen, _LATEST where none of its rows has a time."""
    first = np.full(len(seen), _LATEST)
    place = np.searchsorted(seen, rows.number[rows.timed])
    np.minimum.at(first, place, rows.time_us[rows.timed])
    return first


def _gaps(seen: Whole, first_time: Whole) -> tuple[tuple[Gap, ...], tuple[Gap, ...]]:
    gaps: list[Gap] = []
    leaps: list[Gap] = []
    for place in np.flatnonzero(np.diff(seen) > 1).tolist():
        low, high = (None if at == _LATEST else int(at) for at in first_time[place : place + 2])
        if low is not None and high is not None:
            low, high = min(low, high), max(low, high)  # a clock set back
        gap = Gap(int(seen[place]) + 1, int(seen[place + 1]) - 1, low, high)
        (leaps if gap.count > LEAP else gaps).append(gap)
    return tuple(gaps), tuple(leaps)


def _repeats(rows: Rows) -> tuple[Repeat, ...]:
    own = np.flatnonzero(~rows.passes)
    numbers, counts = np.unique(rows.number[own], return_counts=True)
    found = []
    for number in numbers[counts > 1].tolist():
        same = own[rows.number[own] == number]
        times = tuple(sorted(rows.time_us[same[rows.timed[same]]].tolist()))
        bales = len(np.unique(rows.group[same]))
        found.append(Repeat(int(number), times, len(same), bales))
    return tuple(found)


def _steps(rows: Rows) -> tuple[tuple[StepBack, ...], tuple[Junk, ...]]:
    """Where numbers fall while time rises, and runs that leapt away and came back."""
    own = np.flatnonzero(rows.timed & ~rows.passes)
    codes = np.unique(rows.job[own].astype(str), return_inverse=True)[1]
    order = own[np.lexsort((codes, rows.number[own], rows.time_us[own]))]
    number = rows.number[order]
    change = np.diff(number)
    starts = np.concatenate(([0], np.flatnonzero((change < 0) | (change > LEAP)) + 1))
    ends = np.concatenate((starts[1:], [len(order)]))
    steps: list[StepBack] = []
    junk: list[Junk] = []
    before: tuple[int, int] | None = None  # the last run that is not junk
    for place, (start, end) in enumerate(zip(starts.tolist(), ends.tolist(), strict=True)):
        if start == end:
            continue
        behind = int(starts[place + 1]) if place + 1 < len(starts) else None
        if before is not None and _is_junk(number, before, (start, end), behind):
            run = number[start:end]
            at_us = int(rows.time_us[order[start]])
            junk.append(Junk(int(run.min()), int(run.max()), at_us, end - start))
            continue
        if before is not None and number[start] < number[before[1] - 1]:
            steps.append(_step_back(rows, order, before, (start, end)))
        before = (start, end)
    return tuple(steps), tuple(junk)


def _is_junk(
    number: Whole, before: tuple[int, int], run: tuple[int, int], behind: int | None
) -> bool:
    """Whether a short run leapt off the one before it, which goes on behind it."""
    if behind is None or run[1] - run[0] > _SHORT_RUN:
        return False
    last, start, after = int(number[before[1] - 1]), int(number[run[0]]), int(number[behind])
    return start - last > LEAP and last <= after <= last + LEAP


def _step_back(
    rows: Rows, order: NDArray[np.intp], before: tuple[int, int], run: tuple[int, int]
) -> StepBack:
    last, first = order[before[1] - 1], order[run[0]]
    jobs = (rows.job[last], rows.job[first])
    number = rows.number
    begun = number[order[before[0]]]
    # A job's own count begins at the same number each time, but no job has so many bales.
    anew = number[first] < begun or (number[first] == begun and number[last] - begun >= LEAP)
    long_enough = min(before[1] - before[0], run[1] - run[0]) >= _SHORT_RUN
    return StepBack(
        from_no=int(number[last]),
        to_no=int(number[first]),
        from_us=int(rows.time_us[last]),
        at_us=int(rows.time_us[first]),
        is_swap=bool(anew and long_enough),
        job_changed=bool(jobs[0] and jobs[1] and jobs[0] != jobs[1]),
    )
