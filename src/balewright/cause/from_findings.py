"""What a machine's records show, as evidence: findings, and silence where they would speak."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Final

from balewright.cause.evidence_value import NO, YES, Seen
from balewright.cause.network import Kind, Match, Network, Observation, Way
from balewright.findings.finding import Finding, FindingKind
from balewright.findings.measures.book import MEASURES
from balewright.findings.same_matter import TELLS

ENOUGH_BALES: Final = 300
"""Watched for fewer bales, that nothing was found says nothing: levels are still being learnt."""
_MATTER: Final = {one.key: one.matter for one in MEASURES if one.matter}


def observe_findings(
    network: Network, findings: Sequence[Finding], columns: Collection[str], bales: int
) -> Mapping[str, Seen]:
    """Evidence from the records of one machine.

    network: as `for_machine` gives it; findings: those that stand; columns: of the bale table that
    the records fill; bales: how many were watched. What a finding stands for is yes. What the
    records would have shown is no, where enough bales were watched; it stays open where another
    finding of the same matter was told, since of those that move together only one is.
    """
    seen: dict[str, Seen] = {}
    told = {_MATTER[one.measure] for one in findings if one.measure in _MATTER}
    spared = [TELLS[one.kind] for one in findings if one.kind in TELLS]
    for one in network.observations:
        if one.kind is not Kind.FINDING:
            continue
        could = bales >= ENOUGH_BALES and set(one.senses) <= set(columns)
        if findings_of(one, findings):
            seen[one.key] = YES
        elif could and not _is_hidden(one, told, spared):
            seen[one.key] = NO
    return seen


def _is_hidden(
    one: Observation, told: Collection[str], spared: Sequence[Mapping[FindingKind, frozenset[str]]]
) -> bool:
    """Whether something else was told of a matter of its own, which keeps its chart quiet."""
    columns = frozenset(one.senses)
    for match in one.matches:
        if _MATTER.get(match.measure) in told:
            return True
        for kinds in spared:
            if match.kind in kinds and (not kinds[match.kind] or kinds[match.kind] & columns):
                return True
    return False


def findings_of(one: Observation, findings: Sequence[Finding]) -> tuple[Finding, ...]:
    """The findings that an observation stands for."""
    return tuple(
        finding for finding in findings if any(_is_met(match, finding) for match in one.matches)
    )


def _is_met(match: Match, finding: Finding) -> bool:
    if match.kind is not finding.kind or (match.part and match.part != finding.part):
        return False
    if match.measure and match.measure != _watched(finding):
        return False
    moved = _moved(finding)
    return match.way is Way.EITHER or moved is None or (moved > 0.0) == (match.way is Way.UP)


def _watched(finding: Finding) -> str:
    """What it was watched by; the first column it rests on where geometry or the sheet told it.

    Not any column: metres over turns fall where metres rise, and rest on both.
    """
    return finding.measure or next(iter(finding.evidence), "")


def _moved(finding: Finding) -> float | None:
    """By how much it moved, or is off what was planned; None where it says neither."""
    if finding.moved is not None:
        return finding.moved.best
    if finding.seen is None or finding.planned is None:
        return None
    return finding.seen.best - finding.planned
