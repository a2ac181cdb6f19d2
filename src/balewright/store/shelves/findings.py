"""Findings of each machine's last review."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from django.db import transaction

from balewright.findings.finding import Finding, FindingKind, Weight
from balewright.quantities.interval import Interval
from balewright.quantities.reason import Reason
from balewright.store import models
from balewright.store.entries import Review


class FindingShelf:
    """What the last review of each machine found."""

    alias: str

    def save_findings(
        self, machine: str, findings: Sequence[Finding], reviewed_at: datetime
    ) -> None:
        """Put a review's findings in the place of the last review's, all or none."""
        with transaction.atomic(using=self.alias):
            review, _ = models.Review.objects.using(self.alias).update_or_create(
                machine=machine, defaults={"reviewed_at": reviewed_at}
            )
            kept = models.Finding.objects.using(self.alias)
            kept.filter(review=review).delete()
            kept.bulk_create(
                models.Finding(
                    review=review,
                    place=place,
                    kind=finding.kind.value,
                    weight=finding.weight.value,
                    body=_finding_body(finding),
                )
                for place, finding in enumerate(findings)
            )

    def load_findings(self, machine: str | None = None) -> tuple[Finding, ...]:
        """Findings of one machine or of all, by machine, in the order they were saved."""
        rows = models.Finding.objects.using(self.alias).select_related("review")
        if machine is not None:
            rows = rows.filter(review__machine=machine)
        return tuple(_finding(row) for row in rows)

    def load_reviews(self) -> tuple[Review, ...]:
        """When each machine was last reviewed, by machine."""
        rows = models.Review.objects.using(self.alias).order_by("machine")
        return tuple(Review(row.machine, row.reviewed_at) for row in rows)


def _finding_body(finding: Finding) -> dict[str, Any]:
    seen = finding.seen
    return {
        "since_bale": finding.since_bale,
        "until_bale": finding.until_bale,
        "since_us": finding.since_us,
        "bales": finding.bales,
        "looked_at": finding.looked_at,
        "planned": finding.planned,
        "seen": None if seen is None else [seen.low, seen.best, seen.high, seen.confidence],
        "unit": finding.unit,
        "evidence": list(finding.evidence),
        "sheet": finding.sheet,
        "words": [finding.words.key, [list(pair) for pair in finding.words.values]],
    }


def _finding(row: models.Finding) -> Finding:
    body = dict(row.body)
    seen, (key, values) = body.pop("seen"), body.pop("words")
    return Finding(
        machine=row.review.machine,
        kind=FindingKind(row.kind),
        weight=Weight(row.weight),
        seen=None if seen is None else Interval(*seen),
        evidence=tuple(body.pop("evidence")),
        words=Reason(key, tuple((name, value) for name, value in values)),
        **body,
    )
