"""Setup sheets, kept whole and never changed."""

from __future__ import annotations

from django.db import transaction

from balewright.quantities.errors import BadInput, Fault
from balewright.store import models
from balewright.store.entries import SheetEntry


class SheetShelf:
    """Kept setup sheets."""

    alias: str

    def save_sheet(self, entry: SheetEntry) -> None:
        """Keep a sheet. The same one again changes nothing; another under its id is BadInput."""
        with transaction.atomic(using=self.alias):
            row, made = models.Sheet.objects.using(self.alias).get_or_create(
                key=entry.id,
                defaults={
                    "machine": entry.machine,
                    "profile_key": entry.profile_key,
                    "made_at": entry.made_at,
                    "body": dict(entry.json),
                },
            )
        if not made and row.body != dict(entry.json):
            raise BadInput(
                Fault(
                    place=f"sheet {entry.id}",
                    need="an id that is not yet used",
                    given="the id of another sheet",
                    cure="A kept sheet is never changed: keep the new one under an id of its own.",
                )
            )

    def load_sheet(self, sheet_id: str) -> SheetEntry | None:
        """The sheet, None when there is none of that id."""
        row = models.Sheet.objects.using(self.alias).filter(key=sheet_id).first()
        return None if row is None else _sheet_entry(row)

    def load_sheets(self, machine: str | None = None) -> tuple[SheetEntry, ...]:
        """Every sheet, of one machine or of all, the newest first."""
        rows = models.Sheet.objects.using(self.alias).order_by("-made_at", "key")
        if machine is not None:
            rows = rows.filter(machine=machine)
        return tuple(map(_sheet_entry, rows))


def _sheet_entry(row: models.Sheet) -> SheetEntry:
    return SheetEntry(row.key, row.machine, row.profile_key, row.made_at, row.body)
