"""Sensors that repeat themselves: the same reading so often that no crop can have made it.

Coarse columns repeat honestly, so each machine's own share of equal neighbours is learnt before a
run of them is judged, and a run counts only where it is also far longer than any before.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import betaln

from balewright.findings.finding import Finding, FindingKind, Start, Weight
from balewright.findings.measures.book import sensors_of
from balewright.findings.measures.inputs import inputs_of
from balewright.findings.measures.telling import unit_end
from balewright.findings.runs import Run
from balewright.findings.watched import Bools, Floats, Found, Watched, tell
from balewright.quantities.interval import Interval
from balewright.quantities.reason import because

CHANCE: Final = 1e-9
"""A run is told where the learnt chance of its length is below this: `assumed`."""
LONGER: Final = 3
"""And where it is so many times as long as the longest run before it: readings that are alike
for hours at night are alike again the next night: `assumed`."""
CHANGES: Final = 30
"""So many honest changes must have been seen: weather in whole degrees, or what is entered by the
job, stands for hours before it shows how long it stands: `assumed`."""
EQUAL_FIRST: Final = 1.0
OTHER_FIRST: Final = 2.0
"""Neighbours taken as seen before any were: a third of them equal. A column that never changed
since the first bale is a setting, and is believed to be one for tens of thousands of bales."""
_BELIEVED: Final = ("diameter_m", "mass_kg", "moisture_frac")


@dataclass(frozen=True)
class Repeats:
    """What one column did so far.

    equal, other: neighbours that were equal and that were not, of runs that ended; longest: most
    equal steps in one of those runs; steps: equal steps up to the last reading; value: that
    reading, None before the first; since_bale, since_us: the first bale of the run that lasts.
    """

    equal: int = 0
    other: int = 0
    longest: int = 0
    steps: int = 0
    value: float | None = None
    since_bale: int | None = None
    since_us: int | None = None

    def chance_frac(self, steps: int) -> float:
        """Chance of so many equal steps in a row, by what runs that ended have taught."""
        equal, other = EQUAL_FIRST + self.equal, OTHER_FIRST + self.other
        return float(np.exp(betaln(equal + steps, other) - betaln(equal, other)))

    def is_frozen(self, steps: int) -> bool:
        """Whether a run of so many equal steps is too long to be honest."""
        if self.other < CHANGES or steps <= LONGER * max(self.longest, 1):
            return False
        return self.chance_frac(steps) < CHANCE


def find_frozen(
    watched: Watched, past: Mapping[str, Repeats] | None = None
) -> tuple[tuple[Finding, ...], dict[str, Repeats]]:
    """Columns that froze, and what is to be known for the bales that come next.

    watched: new bales in order; past: of the bales before, by column, as this function gave it.
    A run that began before the first new bale is told from its own first bale on. All bales at
    once give the state that pieces give.
    """
    findings: list[Finding] = []
    state: dict[str, Repeats] = {}
    for column in sensors_of(watched.machine):
        known = (past or {}).get(column, Repeats())
        values = readings(watched, column)
        rows = np.flatnonzero(np.isfinite(values))
        if not len(rows):
            if column in (past or {}):
                state[column] = known
            continue
        found, state[column] = _judge(watched, column, values[rows], rows, known)
        findings += found
    return tuple(findings), state


def readings(watched: Watched, column: str) -> Floats:
    """A sensor's readings, NaN where unknown or where nobody sensed them."""
    seen = inputs_of(watched)
    return seen.believed(column) if column in _BELIEVED else seen.floats(column)


def _judge(
    watched: Watched, column: str, values: Floats, rows: NDArray[np.intp], known: Repeats
) -> tuple[list[Finding], Repeats]:
    """Walk over the runs of equal readings, of which a living sensor's are short and many: only
    their lengths are looped over, and of those only what may be long enough."""
    changed = np.concatenate([[known.value is None or values[0] != known.value],
                              values[1:] != values[:-1]])  # fmt: skip
    firsts = np.flatnonzero(changed)
    findings: list[Finding] = []
    opening = int(firsts[0]) if len(firsts) else len(values)
    if opening:  # the run of the past goes on
        known = replace(known, steps=known.steps + opening)
        findings += _told(watched, column, rows[:opening], known)
        if opening == len(values):
            return findings, known
    bounds = np.append(firsts, len(values))
    steps = np.diff(bounds) - 1
    taught = _ended(known) if known.value is not None else known
    honest = np.ones(len(steps), dtype=np.bool_)
    while True:  # once more for each frozen run, which are few
        before = _Taught(taught, steps, honest)
        frozen = next((at for at in before.long() if before.at(at).is_frozen(int(steps[at]))), None)
        if frozen is None:
            break
        honest[frozen] = False
        run = _run(watched, before.at(frozen), rows[bounds[frozen]], int(steps[frozen]))
        findings += _told(watched, column, rows[bounds[frozen] : bounds[frozen + 1]], run)
    last = len(steps) - 1
    state = _run(watched, before.at(last), rows[bounds[last]], int(steps[last]))
    return findings, replace(state, value=float(values[-1]))


class _Taught:
    """What was known before each run, frozen ones left out: they say nothing of honest repeats."""

    def __init__(self, taught: Repeats, steps: NDArray[np.intp], honest: Bools) -> None:
        ended = np.where(honest, steps, 0)[:-1]
        self._taught, self._steps, self._honest = taught, steps, honest
        self._equal = np.concatenate([[0], np.cumsum(ended)])
        self._other = np.concatenate([[0], np.cumsum(honest[:-1])])
        self._longest = np.maximum.accumulate(np.concatenate([[taught.longest], ended]))

    def long(self) -> list[int]:
        """Runs that are long enough to be looked at and not yet known to be frozen."""
        is_long = self._steps > LONGER * np.maximum(self._longest, 1)
        return [int(at) for at in np.flatnonzero(is_long & self._honest)]

    def at(self, run: int) -> Repeats:
        """What was known when a run began."""
        return replace(
            self._taught,
            equal=self._taught.equal + int(self._equal[run]),
            other=self._taught.other + int(self._other[run]),
            longest=int(self._longest[run]),
        )


def _ended(known: Repeats) -> Repeats:
    """The run that lasted has ended; unless it was frozen, it teaches like any other."""
    if known.is_frozen(known.steps):
        return replace(known, steps=0)
    return replace(
        known,
        equal=known.equal + known.steps,
        other=known.other + 1,
        longest=max(known.longest, known.steps),
        steps=0,
    )


def _run(watched: Watched, known: Repeats, row: int, steps: int) -> Repeats:
    number = watched.bales.cell(row, "bale_no")
    at_us = int(watched.made_us[row]) if watched.timed[row] else None
    return replace(known, steps=steps, since_bale=number, since_us=at_us)


def _told(watched: Watched, column: str, rows: NDArray[np.intp], known: Repeats) -> list[Finding]:
    if not known.is_frozen(known.steps):
        return []
    value = float(readings(watched, column)[rows[0]])
    bales = known.steps + 1
    number = "(no number)" if known.since_bale is None else known.since_bale
    unit = unit_end(column)
    words = because(
        f"findings.frozen.{unit}",
        columns=column,
        since_bale=number,
        bales=bales,
        **{f"reading_{unit}": value},
    )
    run = Run(rows.astype(np.int64), len(rows))
    seen = Interval(value, value, value)
    found = Found(
        FindingKind.SENSOR_FROZEN, Weight.COST, run, None, seen, "", (column,), words
    )  # fmt: skip
    since, at = known.since_bale, known.since_us
    return [
        replace(
            tell(watched, found),
            since_bale=since,
            since_us=at,
            bales=bales,
            looked_at=bales,
            measure=f"frozen {column}",
            part=column,
            start=Start(since, since, at, at, 1.0),
            chance_frac=known.chance_frac(known.steps),
        )
    ]
