"""Findings and episodes as JSON and back. Fields that an older version did not have are unknown."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from balewright.findings.episode import Outbreak, Revision
from balewright.findings.finding import Finding, FindingKind, Start, Weight, Worth
from balewright.quantities.interval import Interval
from balewright.quantities.reason import Reason

Body = dict[str, Any]
_PLAIN = (
    *("since_bale", "until_bale", "since_us", "bales", "looked_at", "planned", "unit", "sheet"),
    *("measure", "part", "certain_frac", "chance_frac", "until_us"),
)


def body_of(finding: Finding) -> Body:
    """A finding without its machine."""
    worth = finding.worth
    return {
        **{name: getattr(finding, name) for name in _PLAIN},
        "kind": finding.kind.value,
        "weight": finding.weight.value,
        "seen": _interval_body(finding.seen),
        "moved": _interval_body(finding.moved),
        "evidence": list(finding.evidence),
        "words": _reason_body(finding.words),
        "start": start_body(finding.start),
        "worth": None
        if worth is None
        else [_interval_body(worth.money_bale), worth.risk and _reason_body(worth.risk)],
        "adjusted_for": list(finding.adjusted_for),
    }


def finding_of(machine: str, body: Mapping[str, Any]) -> Finding:
    """The finding that `body_of` wrote, or an earlier version."""
    worth = body.get("worth")
    return Finding(
        machine=machine,
        kind=FindingKind(body["kind"]),
        weight=Weight(body["weight"]),
        seen=_interval(body.get("seen")),
        moved=_interval(body.get("moved")),
        evidence=tuple(body.get("evidence", ())),
        words=_reason(body["words"]),
        start=start_of(body.get("start")),
        worth=None
        if worth is None
        else Worth(_interval(worth[0]), None if worth[1] is None else _reason(worth[1])),
        adjusted_for=tuple(body.get("adjusted_for", ())),
        **{name: body[name] for name in _PLAIN if name in body},
    )


def start_body(start: Start | None) -> list[Any] | None:
    """Between which bales something began."""
    if start is None:
        return None
    return [start.first_bale, start.last_bale, start.first_us, start.last_us, start.confidence]


def start_of(body: list[Any] | None) -> Start | None:
    """The start that `start_body` wrote."""
    return None if body is None else Start(*body)


def outbreak_body(out: Outbreak) -> list[Any]:
    """Where something was seen."""
    return [
        *(out.since_bale, out.since_us, out.until_bale, out.until_us),
        *(start_body(out.start), list(out.evidence)),
    ]


def outbreak_from(body: list[Any]) -> Outbreak:
    """The outbreak that `outbreak_body` wrote."""
    since_bale, since_us, until_bale, until_us, start, evidence = body
    return Outbreak(since_bale, since_us, until_bale, until_us, start_of(start), tuple(evidence))


def revision_body(revision: Revision) -> list[Any]:
    """A start that moved."""
    return [
        *(revision.at_us, revision.since_bale_before, revision.since_bale_after),
        *(start_body(revision.start_before), start_body(revision.start_after)),
    ]


def revision_from(body: list[Any]) -> Revision:
    """The revision that `revision_body` wrote."""
    at_us, bale_before, bale_after, before, after = body
    return Revision(at_us, bale_before, bale_after, start_of(before), start_of(after))


def _interval_body(interval: Interval | None) -> list[Any] | None:
    if interval is None:
        return None
    return [interval.low, interval.best, interval.high, interval.confidence]


def _interval(body: list[Any] | None) -> Interval | None:
    return None if body is None else Interval(*body)


def _reason_body(reason: Reason) -> list[Any]:
    return [reason.key, [list(pair) for pair in reason.values]]


def _reason(body: list[Any]) -> Reason:
    key, values = body
    return Reason(key, tuple((name, value) for name, value in values))
