"""Whose is a finding: the fault's own, its side effect, borne out by the truth, or false."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from bench.findings.facts import Fault, Season, Told

TOLERANCE = 40
"""A finding that says it began this many bales before the fault may still be the fault's.

More where the start is by nature unknown: a quarter of the growth of a fault that grows, and what
`Fault.slack_bales` says. Where a finding states between which bales it began, the later one counts.
"""


class Whose(StrEnum):
    """own: tells the planted fault; side: another kind that began with the fault or after it;
    true: the truth bears it out although nobody planted it; false: nothing does; note: it keeps the
    book right and alarms nobody.
    """

    OWN = "own"
    SIDE = "side"
    TRUE = "true"
    FALSE = "false"
    NOTE = "note"


@dataclass(frozen=True)
class Tells:
    """One way a fault may be told: kind of finding, and the columns it has to rest on (among
    others; none: on whatever).
    """

    kind: str
    columns: tuple[str, ...] = ()

    def fits(self, told: Told) -> bool:
        """Whether this finding is one of those."""
        return told.kind == self.kind and set(self.columns) <= set(told.columns)


Book = Mapping[str, tuple[Tells, ...]]
"""By kind of fault, which findings may tell it."""


def judge(told: Told, fault: Fault | None, book: Book) -> Whose:
    """Whose a finding is.

    A finding that stood before the fault began is not the fault's, whatever it says; nor is one
    that says it began more than TOLERANCE before. A fault's own finding counts even where it
    is only a note: some faults do nothing but muddle the book.
    """
    if fault is not None and _within(told, fault):
        if any(way.fits(told) for way in book.get(fault.kind, ())):
            return Whose.OWN
        if not told.borne_out and not told.note:
            return Whose.SIDE
    if told.borne_out:
        return Whose.TRUE
    return Whose.NOTE if told.note else Whose.FALSE


def _within(told: Told, fault: Fault) -> bool:
    slack = max(TOLERANCE, fault.slack_bales, fault.growth_bales / 4.0)
    said = told.first_said
    since = said.since if said.last is None else max(said.since, said.last)
    return told.alarm > fault.start and since >= fault.start - slack


def own_findings(season: Season, book: Book) -> list[Told]:
    """The findings that tell the season's fault, the earliest alarm first."""
    own = [told for told in season.told if judge(told, season.fault, book) is Whose.OWN]
    return sorted(own, key=lambda told: (told.alarm, told.first_said.made))


def is_physics(told: Told) -> bool:
    """Whether counting or geometry settles it, so that no chance is stated."""
    return told.first_said.chance_frac is None
