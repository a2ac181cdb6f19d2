"""Uploads on their way in, and those that ended of late."""

from __future__ import annotations

from datetime import datetime

from balewright.store import models
from balewright.store.arriving import UploadEntry, UploadState


class UploadShelf:
    """Uploads by their key."""

    alias: str

    def save_upload(self, entry: UploadEntry) -> UploadEntry:
        """Keep a new upload; one of that key that is there already comes back as it is."""
        row, _made = models.Upload.objects.using(self.alias).get_or_create(
            key=entry.key,
            defaults={
                "name": entry.name[:255],
                "size_bytes": entry.size_bytes,
                "made_at": entry.made_at,
                "made_by": entry.made_by,
                "state": entry.state.value,
                "ticket": entry.ticket,
                "map_key": entry.map_key,
                "machine": entry.machine,
                "begins_us": entry.begins_us,
            },
        )
        return _upload_entry(row)

    def load_upload(self, key: str) -> UploadEntry | None:
        """The upload of that key, None when there is none."""
        row = models.Upload.objects.using(self.alias).filter(key=key).first()
        return None if row is None else _upload_entry(row)

    def load_uploads(self, made_by: str | None = None) -> tuple[UploadEntry, ...]:
        """Uploads that are still coming, the newest first; of one person or of all."""
        rows = models.Upload.objects.using(self.alias).filter(state=UploadState.COMING.value)
        if made_by is not None:
            rows = rows.filter(made_by=made_by)
        return tuple(map(_upload_entry, rows.order_by("-made_at", "key")))

    def load_uploads_at_work(self) -> tuple[UploadEntry, ...]:
        """Uploads that came whole and whose work has not ended."""
        states = (UploadState.QUEUED.value, UploadState.STOPPING.value)
        rows = models.Upload.objects.using(self.alias).filter(state__in=states).order_by("key")
        return tuple(map(_upload_entry, rows))

    def load_upload_keys(self) -> frozenset[str]:
        """The keys of all uploads, in whatever state."""
        return frozenset(models.Upload.objects.using(self.alias).values_list("key", flat=True))

    def queue_upload(self, key: str, ticket: str) -> None:
        """Note the work that takes a whole upload in."""
        rows = models.Upload.objects.using(self.alias).filter(key=key)
        rows.update(state=UploadState.QUEUED.value, ticket=ticket)

    def stop_upload(self, key: str) -> bool:
        """Ask the work of an upload to stop; False where there is none."""
        rows = models.Upload.objects.using(self.alias).filter(key=key)
        queued = rows.filter(state=UploadState.QUEUED.value)
        return queued.update(state=UploadState.STOPPING.value) == 1

    def end_upload(self, key: str) -> None:
        """Note that the work of an upload has ended, however it did."""
        rows = models.Upload.objects.using(self.alias).filter(key=key)
        rows.update(state=UploadState.ENDED.value)

    def load_uploads_before(self, at: datetime) -> tuple[UploadEntry, ...]:
        """Uploads that are coming or have ended, of which nothing was heard since."""
        states = (UploadState.COMING.value, UploadState.ENDED.value)
        rows = models.Upload.objects.using(self.alias).filter(state__in=states, made_at__lt=at)
        return tuple(map(_upload_entry, rows))

    def touch_upload(self, key: str, at: datetime) -> None:
        """Note that a piece has come: it is not abandoned."""
        models.Upload.objects.using(self.alias).filter(key=key).update(made_at=at)

    def drop_upload(self, key: str) -> None:
        """Forget an upload."""
        models.Upload.objects.using(self.alias).filter(key=key).delete()


def _upload_entry(row: models.Upload) -> UploadEntry:
    return UploadEntry(
        key=row.key,
        name=row.name,
        size_bytes=row.size_bytes,
        made_at=row.made_at,
        made_by=row.made_by,
        state=UploadState(row.state),
        ticket=row.ticket,
        map_key=row.map_key,
        machine=row.machine,
        begins_us=row.begins_us,
    )
