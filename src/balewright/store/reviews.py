"""What the register keeps of reviews and of the watch, as plain values."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from balewright.findings.finding import Finding


@dataclass(frozen=True)
class Review:
    """When a machine was last reviewed; it may have found nothing.

    mark: of everything the review was made of, "" where that is not known; charts: how many
    charts were watched on it.
    """

    machine: str
    reviewed_at: datetime
    mark: str = ""
    charts: int = 0


@dataclass(frozen=True)
class WatchState:
    """Where the watch over a machine stood after so many bales.

    bales: in the order made; until_us: time of the last of them; version: of the form of `body`;
    mark: hash of those bales, about: of what else was known; body: what the watch handed out.
    """

    machine: str
    bales: int
    until_us: int | None
    version: int
    mark: str
    about: str
    body: bytes


@dataclass(frozen=True)
class KindState:
    """What machines of one profile have in common. machines: how many it was learnt of."""

    profile_key: str
    version: int
    machines: int
    learnt_at: datetime
    body: bytes


@dataclass(frozen=True)
class ReviewEntry:
    """All that is kept of one review beside the machine's episodes. Fields as in Review."""

    machine: str
    reviewed_at: datetime
    findings: tuple[Finding, ...]
    mark: str = ""
    charts: int = 0
    states: tuple[WatchState, ...] = ()


@dataclass(frozen=True)
class OpenChance:
    """An open episode's key and machine, and `chance_frac` and `measure` of its finding."""

    key: str
    machine: str
    chance_frac: float | None
    measure: str = ""
