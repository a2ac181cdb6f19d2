"""The machine's bale numbers: left out, given twice, started anew."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.findings.finding import FindingKind, Weight
from balewright.findings.runs import Run, episodes
from balewright.findings.watched import Bools, Found, Watched
from balewright.quantities.interval import Interval
from balewright.quantities.reason import because

Ints = NDArray[np.int64]

LEAP: Final = 500
"""Numbers left out in one step beyond which the counter was set, not bales lost: `assumed`."""
BACK: Final = 5
"""Steps back of up to so many numbers are numbers given twice; beyond, the counter was reset."""


_KINDS: Final = (
    FindingKind.COUNTER_CHANGED,
    FindingKind.NUMBER_MISSING,
    FindingKind.NUMBER_REPEATED,
)


@dataclass(frozen=True, eq=False)
class _Steps:
    """Steps of the counter that are not to the next number, each array (steps,).

    row: of the bale after it; before, after: numbers; kind: place in _KINDS; numbers: how many
    are missing or given twice, 1 where the counter changed.
    """

    row: Ints
    before: Ints
    after: Ints
    is_new_epoch: Bools

    @property
    def kind(self) -> Ints:
        """What each step shows."""
        step = self.after - self.before
        changed = self.is_new_epoch | (step > LEAP) | (step < -BACK)
        return np.where(changed, 0, np.where(step > 1, 1, 2))

    @property
    def numbers(self) -> Ints:
        """How many numbers each step concerns."""
        step = self.after - self.before
        return np.where(self.kind == 0, 1, np.where(step > 1, step - 1, 1 - step))


def find_counters(watched: Watched) -> Iterator[Found]:
    """What the sequence of bale numbers shows, with bales in the order of their times.

    A counter that does not count a lifetime may start anew with a job: no finding. Steps of one
    kind that lie near each other are told together.
    """
    steps = _odd_steps(watched)
    if not len(steps.row):
        return
    judged = watched.bales.mask("bale_no")
    kinds, numbers = steps.kind, steps.numbers
    _, first = np.unique(kinds, return_index=True)
    for kind in kinds[np.sort(first)]:
        out = np.zeros(watched.bales.rows, dtype=np.bool_)
        out[steps.row[kinds == kind]] = True
        for run in episodes(out, judged):
            at = np.searchsorted(steps.row, run.rows)
            yield _tell(watched, run, steps, at, int(numbers[at].sum()))


def _odd_steps(watched: Watched) -> _Steps:
    told = watched.bales.mask("counter_epoch")
    rows = np.flatnonzero(watched.bales.mask("bale_no"))
    numbers = watched.bales.column("bale_no")[rows]
    epochs = np.where(told, watched.bales.column("counter_epoch"), 0)[rows]
    new_epoch = np.diff(epochs) != 0
    odd = (np.diff(numbers) != 1) | new_epoch
    if not watched.machine.counter.lifetime and odd.any():
        jobs = watched.texts("job")[rows]
        odd &= np.asarray(jobs[1:] == jobs[:-1], dtype=np.bool_)
    at = np.flatnonzero(odd)
    return _Steps(rows[at + 1], numbers[at], numbers[at + 1], new_epoch[at])


def _tell(watched: Watched, run: Run, steps: _Steps, at: Ints, total: int) -> Found:
    kind = _KINDS[int(steps.kind[at[0]])]
    before, after = int(steps.before[at[0]]), int(steps.after[at[0]])
    key = {
        FindingKind.NUMBER_MISSING: "missing",
        FindingKind.NUMBER_REPEATED: "repeated",
        FindingKind.COUNTER_CHANGED: "reset" if after < before else "leapt",
    }[kind]
    if len(at) > 1:
        key = "changes" if kind is FindingKind.COUNTER_CHANGED else f"{key}_often"
    words = because(
        f"findings.counter.{key}", before=before, after=after, numbers=total, **watched.facts(run)
    )
    is_told = bool(steps.is_new_epoch[at].any())
    evidence = ("bale_no", *(["counter_epoch"] if is_told else []))
    seen = Interval(float(total), float(total), float(total))
    return Found(kind, Weight.NOTE, run, None, seen, "numbers", evidence, words)
