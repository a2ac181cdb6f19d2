"""Bales that lie in another job's field: a job that was left open on the way to the next one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from balewright.quantities.reason import Reason

BORDER_M: Final = 15.0
"""A bale this near a border may lie on either side of it: it lies some metres behind the aerial,
whose own error is a few more."""

MANY: Final = 5
SOME: Final = 3


class HowSure(StrEnum):
    """How sure it is that bales stand under a wrong job."""

    CLEAR = "clear"
    LIKELY = "likely"
    WEAK = "weak"


@dataclass(frozen=True)
class JobPlace:
    """Where a job is meant to be, as orders say it; None where nobody does."""

    field: str | None = None
    farm: str | None = None
    customer: str | None = None


@dataclass(frozen=True)
class Misplaced:
    """Bales of one machine that stand under `job` and lie in another's field.

    rows: of the bale table, by time; lies_in: the field's name, None where only the bales of
    `belongs_to` say where it is; belongs_to: the job they should stand under, None where no job
    is known there; since_us, until_us: times of the first and last of them; on_border: how many
    lie within BORDER_M of a border and were taken by their neighbours in time; by_time: how many
    have no place of their own and were taken likewise; why: what it rests on.
    """

    machine: str
    job: str
    rows: tuple[int, ...]
    lies_in: str | None
    belongs_to: str | None
    since_us: int
    until_us: int
    sure: HowSure
    on_border: int
    by_time: int
    why: tuple[Reason, ...]

    @property
    def bales(self) -> int:
        """How many."""
        return len(self.rows)


def tell_sure(hard: int, home_told: bool, meets: bool, belongs_told: bool) -> HowSure:
    """How sure a group is.

    hard: bales that lie clearly within by a place of their own; home_told: an outline of the
    job's own field is known; meets: the other job's bales come right before or behind them at
    that place; belongs_told: the other job names that field.
    """
    if hard >= MANY and home_told and meets and belongs_told:
        return HowSure.CLEAR
    if hard >= SOME and (meets or (home_told and belongs_told)):
        return HowSure.LIKELY
    return HowSure.WEAK


JobPlaces = Mapping[str, JobPlace]
