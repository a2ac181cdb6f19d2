"""Findings that live on: the same matter seen again is the same episode, told once."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from balewright.findings.finding import Finding, Start


class EpisodeState(StrEnum):
    """open: it lasts; closed: bales show it gone; set aside: somebody said why it may stay."""

    OPEN = "open"
    CLOSED = "closed"
    SET_ASIDE = "set aside"


@dataclass(frozen=True)
class Revision:
    """That later records moved the start: at_us: when that was seen; the start before and after."""

    at_us: int
    since_bale_before: int | None
    since_bale_after: int | None
    start_before: Start | None
    start_after: Start | None


@dataclass(frozen=True)
class SetAside:
    """Who set it aside, when, and why."""

    at_us: int
    by: str
    reason: str


@dataclass(frozen=True)
class Episode:
    """One matter of one machine from its first telling on.

    key: machine, kind, measure, part and number of the episode; it never changes. finding: as
    last seen; told_us, seen_us: when it was first and last found; closed_us: when bales first
    showed it gone, None while it lasts; opened_again: how often it came back within REOPENS;
    admitted: whether it is among those the last daily review told (its false discovery rate held).
    """

    key: str
    finding: Finding
    state: EpisodeState
    told_us: int
    seen_us: int
    closed_us: int | None = None
    opened_again: int = 0
    revisions: tuple[Revision, ...] = ()
    set_aside: SetAside | None = None
    admitted: bool = True
