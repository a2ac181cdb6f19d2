"""Reviews a season day by day, as the desk would, and notes what was told at which bale."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from bench.findings.facts import Said, Told
from numpy.typing import NDArray

from balewright.findings.finding import Finding, Weight
from balewright.records.bales import BaleTable
from balewright.records.columns import CHAMBER_PHASES, WRAPPER_PHASES

Review = Callable[[BaleTable, Any], tuple[tuple[Finding, ...], Any]]
"""New bales and what was known before (None: nothing) to all findings that stand, and what is
known then. What was known before stays usable."""

SAME_MATTER_BALES = 100
"""A finding of a later review is the one told before where it begins within the bales that one
spoke of, or so many on either side: what is told anew with another start is told once."""


@dataclass(frozen=True)
class Records:
    """A season as it arrives. bales: in the order of arrival; made: which bale of the season each
    row is of, shape (rows,); day: on which day each row arrives, rising; columns_of: what a
    measure rests on; borne_out: whether the truth holds a finding true that begins and ends at
    these bales; exact: whether the very bale of its alarm is worth finding for one first told
    between two reviews (bales made at each), else the review's counts.
    """

    bales: BaleTable
    made: NDArray[np.int64]
    day: NDArray[np.int64]
    columns_of: Callable[[str], tuple[str, ...]]
    borne_out: Callable[[Finding, int, int], bool]
    exact: Callable[[Finding, int, int], bool] = lambda *_: True


class Places:
    """Where in the season a time or a number of the records lies."""

    def __init__(self, records: Records) -> None:
        bales = records.bales
        first_us = np.full(bales.rows, np.iinfo(np.int64).max)
        for name in (*CHAMBER_PHASES, *WRAPPER_PHASES):
            known = bales.mask(name)
            first_us = np.where(known, np.minimum(first_us, bales.column(name)), first_us)
        order = np.argsort(first_us, kind="stable")
        self._times, self._made = first_us[order], records.made[order]
        numbered = np.flatnonzero(bales.mask("bale_no"))
        numbers = bales.column("bale_no")
        self._by_number = {int(numbers[row]): int(records.made[row]) for row in numbered}

    def of(self, at_us: int | None, number: int | None) -> int | None:
        """The bale made at this time, else the last one of that number; None where neither is."""
        if at_us is not None:
            near = int(np.searchsorted(self._times, at_us, side="right")) - 1
            return int(self._made[max(near, 0)])
        return None if number is None else self._by_number.get(number)


@dataclass(eq=False)
class _Open:
    """A matter while its season is reviewed."""

    finding: Finding
    since: int
    until: int
    alarm: int
    borne_out: bool
    said: list[Said]


def review_season(records: Records, review: Review) -> tuple[tuple[Told, ...], tuple[int, ...]]:
    """Everything told in a season, and how many bales were made at each daily review.

    The bale of the alarm is found by halving within the day on which a matter was first told.
    """
    places, known = Places(records), None
    matters: list[_Open] = []
    reviews: list[int] = []
    for today in np.unique(records.day):
        rows = np.flatnonzero(records.day == today)
        findings, after = review(records.bales.take(rows), known)
        made = int(records.made[rows].max()) + 1
        reviews.append(made)
        cut = _Day(records, review, rows, known)
        for matter, finding in _assign(matters, findings, places, made):
            since, until = _span(finding, places, made)
            said = _say(finding, places, since, made)
            if matter is None:
                before = reviews[-2] if len(reviews) > 1 else 0
                wanted = records.exact(finding, before, made)
                alarm = cut.alarm_of(finding, since, places) if wanted else made
                true = records.borne_out(finding, since, until)
                matters.append(_Open(finding, since, until, alarm, true, [said]))
            else:
                matter.finding, matter.until = finding, max(matter.until, until)
                matter.said.append(said)
        known = after
    return tuple(_close(matter, records) for matter in matters), tuple(reviews)


def _span(finding: Finding, places: Places, made: int) -> tuple[int, int]:
    since = places.of(finding.since_us, finding.since_bale)
    until = places.of(finding.until_us, finding.until_bale)
    since = made - 1 if since is None else min(since, made - 1)
    return since, max(since, made - 1 if until is None else min(until, made - 1))


def _say(finding: Finding, places: Places, since: int, made: int) -> Said:
    start = finding.start
    if start is None:
        said = Said(made, since)
    else:
        first = places.of(start.first_us, start.first_bale)
        last = places.of(start.last_us, start.last_bale)
        said = Said(made, since, first, last, start.confidence)
    return replace(said, certain_frac=finding.certain_frac, chance_frac=finding.chance_frac)


def _assign(
    matters: list[_Open], findings: Iterable[Finding], places: Places, made: int
) -> list[tuple[_Open | None, Finding]]:
    """Each finding with the matter it goes on with, None for a new one; none goes on with two."""
    left = [(finding, _span(finding, places, made)[0]) for finding in findings]
    pairs: list[tuple[_Open | None, Finding]] = []
    taken: list[_Open] = []
    for is_same in (_begins_near, _begins_within):
        for finding, since in tuple(left):
            free = [m for m in matters if m not in taken and is_same(m, finding, since)]
            if free:
                nearest = min(free, key=lambda m: abs(m.said[-1].since - since))
                pairs.append((nearest, finding))
                taken.append(nearest)
                left.remove((finding, since))
    return [*pairs, *((None, finding) for finding, _ in left)]


def _is_alike(matter: _Open, finding: Finding) -> bool:
    return (finding.kind, finding.measure, finding.part) == (
        matter.finding.kind, matter.finding.measure, matter.finding.part,
    )  # fmt: skip


def _begins_near(matter: _Open, finding: Finding, since: int) -> bool:
    near = abs(matter.said[-1].since - since) <= SAME_MATTER_BALES
    return near and _is_alike(matter, finding)


def _begins_within(matter: _Open, finding: Finding, since: int) -> bool:
    """Whether the start moved within what was told, or a run that counting settles goes on.

    A change of a level or rate that begins after the last review that told of one is another.
    """
    low, high = matter.since - SAME_MATTER_BALES, matter.until + SAME_MATTER_BALES
    if finding.chance_frac is not None:
        high = min(high, matter.said[-1].made)
    return low <= since <= high and _is_alike(matter, finding)


class _Day:
    """One day's bales, reviewed at any bale of the day."""

    def __init__(
        self, records: Records, review: Review, rows: NDArray[np.int64], known: Any
    ) -> None:
        self._records, self._review, self._rows, self._known = records, review, rows, known
        self._found: dict[int, tuple[Finding, ...]] = {}

    def alarm_of(self, finding: Finding, since: int, places: Places) -> int:
        """How many bales were made when a matter first told today first stood."""
        lost = _Open(finding, since, since, 0, False, [Said(0, since)])
        low, high = 0, len(self._rows)
        while high - low > 1:
            middle = (low + high) // 2
            made = self._made(middle)
            stands = any(
                _begins_near(lost, one, _span(one, places, made)[0]) for one in self._after(middle)
            )
            low, high = (low, middle) if stands else (middle, high)
        return self._made(high)

    def _made(self, count: int) -> int:
        return int(self._records.made[self._rows[:count]].max()) + 1

    def _after(self, count: int) -> tuple[Finding, ...]:
        if count not in self._found:
            bales = self._records.bales.take(self._rows[:count])
            self._found[count] = self._review(bales, self._known)[0]
        return self._found[count]


def _close(matter: _Open, records: Records) -> Told:
    finding = matter.finding
    rests_on: Iterable[str] = (*finding.evidence, *records.columns_of(finding.measure))
    settled = finding.chance_frac is None and finding.certain_frac is None
    return Told(
        str(finding.kind), finding.measure, finding.part, finding.words.key,
        tuple(dict.fromkeys(rests_on)), str(finding.weight),
        settled and finding.weight is Weight.NOTE, matter.borne_out, matter.alarm,
        tuple(matter.said),
    )  # fmt: skip
