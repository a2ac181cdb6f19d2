"""What an intake notes of a file beside its totals: reasons in groups, and machine by machine."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any


@dataclass(frozen=True)
class Spot:
    """One place in a file, and what stood there."""

    file: str
    place: str
    text: str


@dataclass(frozen=True)
class NotedGroup:
    """Refusals or doubts that are alike.

    reason: of a refusal in plain words as its first line says it, of a doubt its mark; empty for
    all that found no group of their own; column: the column they are about, "" where none is;
    count: how many; first: the first of them.
    """

    reason: str
    column: str
    count: int
    first: tuple[Spot, ...]


@dataclass(frozen=True)
class NumberSpan:
    """Lowest and highest bale number under one epoch (None: nobody tells which)."""

    epoch: int | None
    lowest_no: int
    highest_no: int


@dataclass(frozen=True)
class MachineSeen:
    """What a file holds of one machine.

    bales: rows kept; events: events kept; numbers: spans of its bale numbers; days: days with a
    bale, in the machine's zone; first_us, last_us: span of its bales' times; jobs: the first words
    of orders, jobs_more: how many further ones; new: bales that no earlier file had; known: bales
    that one had already; again: rows of a bale that this file has already given. None for the
    three where it was not told apart.
    """

    serial: str
    bales: int = 0
    events: int = 0
    numbers: tuple[NumberSpan, ...] = ()
    days: int = 0
    first_us: int | None = None
    last_us: int | None = None
    jobs: tuple[str, ...] = ()
    jobs_more: int = 0
    new: int | None = None
    known: int | None = None
    again: int | None = None


@dataclass(frozen=True)
class IntakeNotes:
    """refusals, doubts: in groups, the largest first; machines: by serial; machines_more: how many
    further machines; only_machine: where a sender may speak of this one alone, else None.
    """

    refusals: tuple[NotedGroup, ...] = ()
    doubts: tuple[NotedGroup, ...] = ()
    machines: tuple[MachineSeen, ...] = ()
    machines_more: int = 0
    only_machine: str | None = None


NO_NOTES = IntakeNotes()


def notes_to_json(notes: IntakeNotes) -> dict[str, Any]:
    """The notes as plain JSON values."""
    return asdict(notes)


def notes_from_json(body: Mapping[str, Any]) -> IntakeNotes:
    """The notes of a ledger line; one of an earlier version has none."""
    if not body:
        return NO_NOTES
    return IntakeNotes(
        refusals=tuple(map(_group, body["refusals"])),
        doubts=tuple(map(_group, body["doubts"])),
        machines=tuple(map(_machine, body["machines"])),
        machines_more=body["machines_more"],
        only_machine=body["only_machine"],
    )


def _group(body: Mapping[str, Any]) -> NotedGroup:
    first = tuple(Spot(**spot) for spot in body["first"])
    return NotedGroup(body["reason"], body["column"], body["count"], first)


def _machine(body: Mapping[str, Any]) -> MachineSeen:
    numbers = tuple(NumberSpan(**span) for span in body["numbers"])
    return MachineSeen(**{**body, "numbers": numbers, "jobs": tuple(body["jobs"])})
