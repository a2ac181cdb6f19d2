"""What a machine's records show, as evidence: findings, and silence where they would speak."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Final

from balewright.cause.evidence_value import NO, YES, Seen
from balewright.cause.network import Kind, Match, Network, Observation, Way
from balewright.findings.finding import Finding
from balewright.findings.measures.book import MEASURES

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
    for one in network.observations:
        if one.kind is not Kind.FINDING:
            continue
        if findings_of(one, findings):
            seen[one.key] = YES
        elif (
            bales >= ENOUGH_BALES and set(one.senses) <= set(columns) and not _is_hidden(one, told)
        ):
            seen[one.key] = NO
    return seen


def _is_hidden(one: Observation, told: Collection[str]) -> bool:
    """Whether something else was told of a matter of its own."""
    return any(_MATTER.get(match.measure) in told for match in one.matches)


def findings_of(one: Observation, findings: Sequence[Finding]) -> tuple[Finding, ...]:
    """The findings that an observation stands for."""
    return tuple(
        finding for finding in findings if any(_is_met(match, finding) for match in one.matches)
    )


def _is_met(match: Match, finding: Finding) -> bool:
    if match.kind is not finding.kind or (match.part and match.part != finding.part):
        return False
    if match.measure and match.measure not in (finding.measure, *finding.evidence):
        return False
    if match.way is Way.EITHER or finding.moved is None:
        return True
    return (finding.moved.best > 0.0) == (match.way is Way.UP)
