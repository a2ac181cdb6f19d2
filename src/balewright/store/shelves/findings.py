"""Findings of each machine's last review."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction
from django.db.models import Sum

from balewright.findings.finding import Finding
from balewright.store import models
from balewright.store.finding_body import body_of, finding_of
from balewright.store.reviews import Review, ReviewEntry


class FindingShelf:
    """What the last review of each machine found."""

    alias: str

    def save_findings(
        self, machine: str, findings: Sequence[Finding], reviewed_at: datetime
    ) -> None:
        """Put a review's findings in the place of the last review's, all or none. What it was made
        of is not told: the next review looks at everything.
        """
        with transaction.atomic(using=self.alias):
            self._save_review(ReviewEntry(machine, reviewed_at, tuple(findings)))

    def _save_review(self, entry: ReviewEntry) -> None:
        review, _ = models.Review.objects.using(self.alias).update_or_create(
            machine=entry.machine,
            defaults={
                "reviewed_at": entry.reviewed_at,
                "mark": entry.mark,
                "charts": entry.charts,
            },
        )
        kept = models.Finding.objects.using(self.alias)
        kept.filter(review=review).delete()
        kept.bulk_create(
            models.Finding(
                review=review,
                place=place,
                kind=finding.kind.value,
                weight=finding.weight.value,
                body=body_of(finding),
            )
            for place, finding in enumerate(entry.findings)
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
        return tuple(map(_review, rows))

    def load_review(self, machine: str) -> Review | None:
        """A machine's last review, None where it had none."""
        row = models.Review.objects.using(self.alias).filter(machine=machine).first()
        return None if row is None else _review(row)

    def note_mark(self, machine: str, mark: str) -> None:
        """Note that a machine's last review holds for what has this mark too."""
        models.Review.objects.using(self.alias).filter(machine=machine).update(mark=mark)

    def count_charts(self) -> int:
        """How many charts the last reviews watched over the whole fleet."""
        rows = models.Review.objects.using(self.alias).aggregate(charts=Sum("charts"))
        return int(rows["charts"] or 0)


def _review(row: models.Review) -> Review:
    return Review(row.machine, row.reviewed_at, row.mark, row.charts)


def _finding(row: models.Finding) -> Finding:
    told = {"kind": row.kind, "weight": row.weight}  # older bodies leave them out
    return finding_of(row.review.machine, row.body | told)
