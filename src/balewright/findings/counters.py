"""The machine's bale numbers: left out, given twice, started anew."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

from balewright.findings.finding import FindingKind, Weight
from balewright.findings.runs import Run, episodes
from balewright.findings.watched import Found, Watched
from balewright.quantities.interval import Interval
from balewright.quantities.reason import because

LEAP: Final = 500
"""Numbers left out in one step beyond which the counter was set, not bales lost: `assumed`."""
BACK: Final = 5
"""Steps back of up to so many numbers are numbers given twice; beyond, the counter was reset."""


@dataclass(frozen=True)
class _Step:
    """One step of the counter that is not to the next number. row: of the bale after it."""

    row: int
    before: int
    after: int
    is_new_epoch: bool

    @property
    def kind(self) -> FindingKind:
        """What the step shows."""
        step = self.after - self.before
        if self.is_new_epoch or step > LEAP or step < -BACK:
            return FindingKind.COUNTER_CHANGED
        return FindingKind.NUMBER_MISSING if step > 1 else FindingKind.NUMBER_REPEATED

    @property
    def numbers(self) -> int:
        """How many numbers are missing or given twice; 1 where the counter changed."""
        if self.kind is FindingKind.COUNTER_CHANGED:
            return 1
        step = self.after - self.before
        return step - 1 if step > 1 else 1 - step


def find_counters(watched: Watched) -> Iterator[Found]:
    """What the sequence of bale numbers shows, with bales in the order of their times.

    A counter that does not count a lifetime may start anew with a job: no finding. Steps of one
    kind that lie near each other are told together.
    """
    steps = _odd_steps(watched)
    judged = watched.bales.mask("bale_no")
    for kind in dict.fromkeys(step.kind for step in steps):
        own = {step.row: step for step in steps if step.kind is kind}
        out = np.zeros(watched.bales.rows, dtype=np.bool_)
        out[list(own)] = True
        for run in episodes(out, judged):
            yield _tell(watched, run, [own[int(row)] for row in run.rows])


def _odd_steps(watched: Watched) -> list[_Step]:
    told = watched.bales.mask("counter_epoch")
    rows = np.flatnonzero(watched.bales.mask("bale_no"))
    numbers = watched.bales.column("bale_no")[rows]
    epochs = np.where(told, watched.bales.column("counter_epoch"), 0)[rows]
    jobs = watched.texts("job")[rows]
    new_epoch = np.diff(epochs) != 0
    fresh = (jobs[1:] != jobs[:-1]) & (not watched.machine.counter.lifetime)
    odd = np.flatnonzero(((np.diff(numbers) != 1) | new_epoch) & ~fresh)
    return [
        _Step(int(rows[at + 1]), int(numbers[at]), int(numbers[at + 1]), bool(new_epoch[at]))
        for at in odd
    ]


def _tell(watched: Watched, run: Run, steps: list[_Step]) -> Found:
    first, total = steps[0], sum(step.numbers for step in steps)
    key = {
        FindingKind.NUMBER_MISSING: "missing",
        FindingKind.NUMBER_REPEATED: "repeated",
        FindingKind.COUNTER_CHANGED: "reset" if first.after < first.before else "leapt",
    }[first.kind]
    if len(steps) > 1:
        key = "changes" if first.kind is FindingKind.COUNTER_CHANGED else f"{key}_often"
    words = because(
        f"findings.counter.{key}",
        before=first.before,
        after=first.after,
        numbers=total,
        **watched.facts(run),
    )
    is_told = any(step.is_new_epoch for step in steps)
    evidence = ("bale_no", *(["counter_epoch"] if is_told else []))
    seen = Interval(float(total), float(total), float(total))
    return Found(first.kind, Weight.NOTE, run, None, seen, "numbers", evidence, words)
