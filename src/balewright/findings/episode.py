"""An episode: one matter of one machine from its first telling on, with all that became of it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from balewright.findings.finding import Finding, Start, Weight


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


class AsideEnd(StrEnum):
    """Why something is no longer set aside."""

    TAKEN_BACK = "taken back"
    WORSE = "worse"
    TIME = "time"


@dataclass(frozen=True)
class SetAside:
    """Who set it aside, when, and why.

    by: None for the command line; until_us: when it is told again though nothing changed, None
    for never; weight, off: how bad it was then, `shift` as `how_far_off` gives it; ended_us,
    ended_why, ended_by: when, why and by whom that ended, None while it is in force.
    """

    at_us: int
    by: str | None
    reason: str
    until_us: int | None = None
    weight: Weight = Weight.HARM
    shift: float | None = None
    ended_us: int | None = None
    ended_why: AsideEnd | None = None
    ended_by: str | None = None


@dataclass(frozen=True)
class Outbreak:
    """One stretch of bales on which it was seen; fields as in Finding."""

    since_bale: int | None
    since_us: int | None
    until_bale: int | None
    until_us: int | None
    start: Start | None
    evidence: tuple[str, ...]


@dataclass(frozen=True)
class Episode:
    """One matter of one machine from its first telling on.

    key: machine, kind, measure, part and number of the episode; it never changes. finding: as
    last seen; told_us, seen_us: when it was first and last found; closed_us: when bales first
    showed it gone, None while it lasts; opened_again: how often it came back within REOPENS;
    admitted: whether it is among those the last daily review told (its false discovery rate held).
    number: of the episode, from 1; outbreaks: where it was seen, by place; beside: what else of
    its kind was found on the same bales; under: key of the episode that tells the same matter;
    joined: key of the older episode it turned out to be part of; withdrawn: closed because no
    review finds it any more, not because bales show it cured; set_aside: the one in force;
    aside_before: those that ended.
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
    number: int = 1
    outbreaks: tuple[Outbreak, ...] = ()
    beside: tuple[Finding, ...] = ()
    under: str | None = None
    joined: str | None = None
    aside_before: tuple[SetAside, ...] = ()
    withdrawn: bool = False

    @property
    def is_told(self) -> bool:
        """Whether a person should hear of it now: open, admitted, and nobody else tells it."""
        return self.state is EpisodeState.OPEN and self.may_be_shown

    @property
    def may_be_shown(self) -> bool:
        """Whether it, lasting or over, is for people to see without their asking for it."""
        is_own = self.under is None and self.joined is None and self.set_aside is None
        return is_own and self.admitted and not self.withdrawn


Identity = tuple[str, str, str, str]
"""Machine, kind, measure and part: what all episodes of one matter share."""


def identity_of(finding: Finding) -> Identity:
    """What makes two findings one matter when their bales are near."""
    return (finding.machine, finding.kind.value, finding.measure, finding.part)


def key_of(identity: Identity, number: int) -> str:
    """The key of an identity's episode of that number; no two share one."""
    return ":".join([*(_escaped(word) for word in identity), str(number)])


def _escaped(word: str) -> str:
    return word.replace("%", "%25").replace(":", "%3A").replace("/", "%2F")


def outbreak_of(finding: Finding) -> Outbreak:
    """Where a finding was seen."""
    return Outbreak(
        finding.since_bale,
        finding.since_us,
        finding.until_bale,
        finding.until_us,
        finding.start,
        finding.evidence,
    )
