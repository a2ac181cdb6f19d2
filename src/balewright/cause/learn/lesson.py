"""What a lesson holds: counts from closed cases, and what they would change."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from balewright.cause.evidence_value import Seen
from balewright.quantities.interval import Interval


@dataclass(frozen=True)
class ClosedCase:
    """One case as learning takes it.

    key: of the case; cause: key of what was found to be wrong, None where it is not in the
    network; own_words: what was found, in somebody's words, "" none; proven: whether later bales
    prove the cure; evidence: what was known before the repair, by key of the observation.
    """

    key: str
    cause: str | None
    own_words: str
    proven: bool
    evidence: Mapping[str, Seen]


@dataclass(frozen=True)
class RateCount:
    """cause: which; cases: proven, by key; run_bales: run by all machines that taught, times the
    share of troubles that became a proven case.
    """

    cause: str
    cases: tuple[str, ...]
    run_bales: float


@dataclass(frozen=True)
class LinkCount:
    """cause, on: which link; shown: cases in which it was seen to show, counted by the share that
    the cause itself turned on; cases: in which it was asked and answered, by key; seen: yes to it.
    """

    cause: str
    on: str
    shown_share: float
    seen: int
    cases: tuple[str, ...]


@dataclass(frozen=True)
class LeftOutCases:
    """Closed cases of a cause that taught nothing, as no later bales prove the cure.

    cause: key, "" where it is not in the network; cases: of it in all; unproven: of those.
    """

    cause: str
    cases: int
    unproven: int

    @property
    def left_out_frac(self) -> float:
        """Share left out."""
        return self.unproven / self.cases


@dataclass(frozen=True)
class Lesson:
    """What one review of closed cases teaches, before or after somebody accepted it.

    key: of the lesson; profile: whose machines taught; network: key and version of what was
    taught; rates, links: counts; told_frac: share of all troubles that became a proven case, as
    far as the network's rates tell; cases: keys of all that taught; left_out: by cause. It holds
    counts and no results, so lessons add up in any order and each can be taken back.
    """

    key: str
    profile: str
    network: tuple[str, int]
    rates: tuple[RateCount, ...]
    links: tuple[LinkCount, ...]
    told_frac: float
    cases: tuple[str, ...]
    left_out: tuple[LeftOutCases, ...]


@dataclass(frozen=True)
class RateChange:
    """How often a cause arises in a thousand bales: before and after, nine times in ten inside.

    strength_bales: what the number was worth before; run_bales: what it is held against; cases:
    keys of those it rests on.
    """

    cause: str
    before_per_1000: Interval
    after_per_1000: Interval
    strength_bales: float
    run_bales: float
    cases: tuple[str, ...]


@dataclass(frozen=True)
class LinkChange:
    """How often a cause shows in an observation: before and after, nine times in ten inside.

    strength_n: how many cases it was worth before; seen: of `cases`, how many said yes.
    """

    cause: str
    on: str
    before_frac: Interval
    after_frac: Interval
    strength_n: float
    seen: int
    cases: tuple[str, ...]
