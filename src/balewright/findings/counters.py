"""The machine's bale numbers: left out, given twice, started anew."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.findings.finding import FindingKind, Weight
from balewright.findings.runs import Run
from balewright.findings.watched import Found, Watched
from balewright.quantities.interval import Interval
from balewright.quantities.reason import Reason, because

LEAP: Final = 500
"""Numbers left out in one step beyond which the counter was set, not bales lost: `assumed`."""
BACK: Final = 5
"""Steps back of up to so many numbers are numbers given twice; beyond, the counter was reset."""


def find_counters(watched: Watched) -> Iterator[Found]:
    """What the sequence of bale numbers shows, with bales in the order of their times.

    A counter that does not count a lifetime may start anew with a job: no finding.
    """
    mask = watched.bales.mask("bale_no")
    rows = np.flatnonzero(mask)
    if len(rows) < 2:
        return
    numbers = watched.bales.column("bale_no")[rows]
    epochs = np.where(watched.bales.mask("counter_epoch"), watched.bales.column("counter_epoch"), 0)
    jobs = watched.texts("job")[rows]
    new_epoch = np.diff(epochs[rows]) != 0
    steps = np.diff(numbers)
    fresh = (jobs[1:] != jobs[:-1]) & (not watched.machine.counter.lifetime)
    for place in np.flatnonzero(((steps != 1) | new_epoch) & ~fresh):
        yield _tell_step(
            rows, int(place), (int(numbers[place]), int(numbers[place + 1])), bool(new_epoch[place])
        )


def _tell_step(
    rows: NDArray[np.int64], place: int, numbers: tuple[int, int], new_epoch: bool
) -> Found:
    before, after = numbers
    step = after - before
    run = Run(rows[place + 1 : place + 2], 1)

    def found(kind: FindingKind, count: int, words: Reason) -> Found:
        seen = Interval(float(count), float(count), float(count))
        evidence = ("bale_no", *(["counter_epoch"] if new_epoch else []))
        return Found(kind, Weight.NOTE, run, None, seen, "numbers", evidence, words)

    if new_epoch or step > LEAP or step < -BACK:
        key = "reset" if step < 0 else "leapt"
        return found(
            FindingKind.COUNTER_CHANGED,
            abs(step),
            because(f"findings.counter.{key}", before=before, after=after),
        )
    if step > 1:
        words = because("findings.counter.missing", before=before, after=after, missing=step - 1)
        return found(FindingKind.NUMBER_MISSING, step - 1, words)
    words = because("findings.counter.repeated", before=before, after=after, repeated=1 - step)
    return found(FindingKind.NUMBER_REPEATED, 1 - step, words)
