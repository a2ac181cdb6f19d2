"""Links that open one sheet without an account, and what people say of sheets."""

from __future__ import annotations

from datetime import datetime

from django.db import IntegrityError, transaction
from django.db.models import F, QuerySet

from balewright.quantities.errors import BadInput, Fault
from balewright.store import models
from balewright.store.entries import Change, FeedbackEntry, LinkEntry, Outcome


class LinkShelf:
    """Links by the hash of their token, and answers by sheet. No token is ever kept."""

    alias: str

    def save_link(self, token_sha256: str, entry: LinkEntry) -> LinkEntry:
        """Keep a new link; it comes back with its id. BadInput for a sheet that is not kept."""
        with transaction.atomic(using=self.alias):
            row = models.Link.objects.using(self.alias).create(
                token_sha256=token_sha256,
                sheet=self._sheet_row(entry.sheet_id),
                made_at=entry.made_at,
                made_by=entry.made_by,
                valid_until=entry.valid_until,
                names_machine=entry.names_machine,
                note=entry.note,
            )
        return _link_entry(row)

    def load_link(self, token_sha256: str) -> LinkEntry | None:
        """The link of that hash, good or not; None when there is none."""
        row = self._links().filter(token_sha256=token_sha256).first()
        return None if row is None else _link_entry(row)

    def load_links(self, sheet_id: str) -> tuple[LinkEntry, ...]:
        """Every link of a sheet, the newest first."""
        rows = self._links().filter(sheet__key=sheet_id).order_by("-made_at", "-id")
        return tuple(map(_link_entry, rows))

    def count_opening(self, link_id: int) -> None:
        """One more: a number, and nothing of who it was."""
        links = models.Link.objects.using(self.alias)
        links.filter(pk=link_id).update(opened=F("opened") + 1)

    def withdraw_link(self, sheet_id: str, link_id: int, at: datetime) -> bool:
        """End a link of that sheet for good; False where it has none such or it is ended."""
        links = models.Link.objects.using(self.alias)
        own = links.filter(pk=link_id, sheet__key=sheet_id, withdrawn_at=None)
        return own.update(withdrawn_at=at) == 1

    def add_feedback(self, entry: FeedbackEntry, link_id: int | None = None) -> bool:
        """Keep an answer; False, and nothing kept, where the sheet has one of that mark.

        Raises BadInput for a sheet that is not kept.
        """
        sheet = self._sheet_row(entry.sheet_id)
        try:
            with transaction.atomic(using=self.alias):
                models.Feedback.objects.using(self.alias).create(
                    sheet=sheet,
                    mark=entry.mark,
                    outcome=entry.outcome.value,
                    changes=[[change.line, change.value] for change in entry.changes],
                    text=entry.text,
                    at=entry.at,
                    given_by=entry.given_by,
                    link_id=link_id,
                )
        except IntegrityError:  # the same answer once more, maybe at this very moment
            if self._feedback().filter(sheet=sheet, mark=entry.mark).exists():
                return False
            raise
        return True

    def load_feedback(self, sheet_id: str) -> tuple[FeedbackEntry, ...]:
        """Every answer to a sheet, the newest first."""
        return tuple(map(_feedback_entry, self._feedback().filter(sheet__key=sheet_id)))

    def load_feedback_of(self, machine: str) -> tuple[FeedbackEntry, ...]:
        """Every answer to the sheets of a machine, the newest first."""
        return tuple(map(_feedback_entry, self._feedback().filter(sheet__machine=machine)))

    def count_feedback(self, link_id: int) -> int:
        """How many answers came by a link."""
        return self._feedback().filter(link_id=link_id).count()

    def _sheet_row(self, sheet_id: str) -> models.Sheet:
        row = models.Sheet.objects.using(self.alias).filter(key=sheet_id).first()
        if row is None:
            cure = "Keep the sheet first."
            raise BadInput(Fault("sheet", "the id of a kept sheet", repr(sheet_id), cure))
        return row

    def _links(self) -> QuerySet[models.Link]:
        return models.Link.objects.using(self.alias).select_related("sheet")

    def _feedback(self) -> QuerySet[models.Feedback]:
        return models.Feedback.objects.using(self.alias).select_related("sheet")


def _link_entry(row: models.Link) -> LinkEntry:
    return LinkEntry(
        id=row.pk,
        sheet_id=row.sheet.key,
        made_at=row.made_at,
        made_by=row.made_by,
        valid_until=row.valid_until,
        withdrawn_at=row.withdrawn_at,
        opened=row.opened,
        names_machine=row.names_machine,
        note=row.note,
    )


def _feedback_entry(row: models.Feedback) -> FeedbackEntry:
    return FeedbackEntry(
        sheet_id=row.sheet.key,
        mark=row.mark,
        outcome=Outcome(row.outcome),
        at=row.at,
        changes=tuple(Change(line, value) for line, value in row.changes),
        text=row.text,
        given_by=row.given_by,
    )
