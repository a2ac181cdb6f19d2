"""Machines' settings as they stood at one time, kept whole and never changed."""

from __future__ import annotations

from django.db import transaction

from balewright.store import models
from balewright.store.entries import SnapshotEntry


class SnapshotShelf:
    """Kept settings."""

    alias: str

    def save_snapshot(self, entry: SnapshotEntry) -> None:
        """Keep settings under their id; the same ones again change nothing."""
        with transaction.atomic(using=self.alias):
            models.Snapshot.objects.using(self.alias).get_or_create(
                key=entry.id,
                defaults={
                    "machine": entry.machine,
                    "kept_at": entry.kept_at,
                    "kept_by": entry.kept_by,
                    "note": entry.note,
                    "origin": entry.origin,
                    "settings": [list(pair) for pair in entry.settings],
                },
            )

    def load_snapshot(self, snapshot_id: str) -> SnapshotEntry | None:
        """The settings of that id, None when there are none."""
        row = models.Snapshot.objects.using(self.alias).filter(key=snapshot_id).first()
        return None if row is None else _snapshot_entry(row)

    def load_snapshots(self, machine: str) -> tuple[SnapshotEntry, ...]:
        """Every snapshot of a machine, the newest first."""
        rows = models.Snapshot.objects.using(self.alias).filter(machine=machine)
        return tuple(map(_snapshot_entry, rows.order_by("-kept_at", "-id")))


def _snapshot_entry(row: models.Snapshot) -> SnapshotEntry:
    return SnapshotEntry(
        id=row.key,
        machine=row.machine,
        kept_at=row.kept_at,
        settings=tuple((name, value) for name, value in row.settings),
        origin=row.origin,
        note=row.note,
        kept_by=row.kept_by,
    )
