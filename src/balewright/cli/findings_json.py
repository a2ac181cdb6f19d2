"""Findings as JSON: of a file what was found, of the register also what became of it."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from balewright.findings.episode import Episode, Outbreak, Revision, SetAside
from balewright.findings.finding import Finding, Start
from balewright.quantities.interval import Interval

if TYPE_CHECKING:
    from balewright.flows.open_finding import OpenedFinding


def finding_json(finding: Finding) -> dict[str, Any]:
    """What was found."""
    from balewright.words.say import say

    worth = finding.worth
    return {
        "machine": finding.machine,
        "kind": finding.kind.value,
        "weight": finding.weight.value,
        "since_bale": finding.since_bale,
        "until_bale": finding.until_bale,
        "since": iso_time(finding.since_us),
        "until": iso_time(finding.until_us),
        "bales": finding.bales,
        "looked_at": finding.looked_at,
        "planned": finding.planned,
        "seen": _interval(finding.seen),
        "moved": _interval(finding.moved),
        "unit": finding.unit,
        "measure": finding.measure,
        "part": finding.part,
        "start": _start(finding.start),
        "certain_frac": finding.certain_frac,
        "chance_frac": finding.chance_frac,
        "worth": None if worth is None else {
            "money_bale": _interval(worth.money_bale),
            "risk": None if worth.risk is None else say(worth.risk),
        },
        "adjusted_for": list(finding.adjusted_for),
        "evidence": list(finding.evidence),
        "sheet": finding.sheet,
        "sentence": say(finding.words),
    }  # fmt: skip


def episode_json(episode: Episode) -> dict[str, Any]:
    """What was found, and what became of it."""
    asides = [*episode.aside_before, *([episode.set_aside] if episode.set_aside else [])]
    return {
        "key": episode.key,
        "state": episode.state.value,
        "told": episode.is_told,
        "admitted": episode.admitted,
        "withdrawn": episode.withdrawn,
        "under": episode.under,
        "joined": episode.joined,
        "first_told": iso_time(episode.told_us),
        "last_found": iso_time(episode.seen_us),
        "closed": iso_time(episode.closed_us),
        "opened_again": episode.opened_again,
        "outbreaks": [_outbreak(one) for one in episode.outbreaks],
        "revisions": [_revision(one) for one in episode.revisions],
        "set_aside": [_aside(one) for one in asides],
        **finding_json(episode.finding),
    }


def opened_json(opened: OpenedFinding) -> dict[str, Any]:
    """One finding with the bales around it and the files they came in."""
    evidence = opened.evidence
    rows = [
        {
            "bale": key,
            "bale_no": evidence.bales.cell(place, "bale_no"),
            "ordinal": ordinal,
            "files": list(evidence.sources[place]),
            **{name: evidence.bales.cell(place, name) for name in evidence.columns},
            **_reading(opened, ordinal),
        }
        for place, (key, ordinal) in enumerate(
            zip(evidence.keys, evidence.ordinals, strict=True)
        )
    ]  # fmt: skip
    return {
        **episode_json(opened.episode),
        "read": None if opened.readings is None else opened.readings.name,
        "files": dict(evidence.files),
        "first_ordinal": evidence.first,
        "last_ordinal": evidence.last,
        "tells": [one.key for one in opened.under],
        "rows": rows,
    }


def _reading(opened: OpenedFinding, ordinal: int) -> dict[str, float | None]:
    """What is drawn of one bale; null where it is not known."""
    readings = opened.readings
    if readings is None:
        return {}
    told = {
        "reading": readings.values,
        "expected": readings.expected,
        "limit_low": readings.low,
        "limit_high": readings.high,
    }
    values = {name: float(array[ordinal]) for name, array in told.items()}
    return {name: value if value == value else None for name, value in values.items()}  # noqa: PLR0124  NaN


def iso_time(value_us: int | None) -> str | None:
    """UTC to the second."""
    if value_us is None:
        return None
    moment = datetime.fromtimestamp(value_us // 1_000_000, UTC)
    return moment.strftime("%Y-%m-%dT%H:%M:%SZ")


def _interval(told: Interval | None) -> dict[str, float | None] | None:
    if told is None:
        return None
    return {
        "low": told.low, "best": told.best, "high": told.high, "confidence": told.confidence,
    }  # fmt: skip


def _start(start: Start | None) -> dict[str, Any] | None:
    if start is None:
        return None
    return {
        "first_bale": start.first_bale,
        "last_bale": start.last_bale,
        "first": iso_time(start.first_us),
        "last": iso_time(start.last_us),
        "confidence": start.confidence,
    }


def _outbreak(out: Outbreak) -> dict[str, Any]:
    return {
        "since_bale": out.since_bale,
        "since": iso_time(out.since_us),
        "until_bale": out.until_bale,
        "until": iso_time(out.until_us),
    }


def _revision(one: Revision) -> dict[str, Any]:
    return {
        "at": iso_time(one.at_us),
        "since_bale_before": one.since_bale_before,
        "since_bale_after": one.since_bale_after,
    }


def _aside(one: SetAside) -> dict[str, Any]:
    return {
        "at": iso_time(one.at_us),
        "by": one.by,
        "reason": one.reason,
        "until": iso_time(one.until_us),
        "ended": iso_time(one.ended_us),
        "ended_why": None if one.ended_why is None else one.ended_why.value,
        "ended_by": one.ended_by,
    }
