"""Devices that send by themselves, and what they handed over. No token is ever kept."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.db import IntegrityError, transaction

from balewright.store import models
from balewright.store.arriving import DeliveryEntry, DeliveryState, SenderEntry


class SenderShelf:
    """Senders by the hash of their token, deliveries by their sender's own key."""

    alias: str

    def save_sender(self, token_sha256: str, entry: SenderEntry) -> None:
        """Keep a new sender."""
        models.Sender.objects.using(self.alias).create(
            key=entry.key,
            token_sha256=token_sha256,
            machine=entry.machine,
            label=entry.label,
            made_at=entry.made_at,
            made_by=entry.made_by,
        )

    def load_sender_of(self, token_sha256: str) -> SenderEntry | None:
        """The sender of that token, good or not; None when there is none."""
        row = models.Sender.objects.using(self.alias).filter(token_sha256=token_sha256).first()
        return None if row is None else _sender_entry(row)

    def load_sender(self, key: str) -> SenderEntry | None:
        """The sender of that key, None when there is none."""
        row = models.Sender.objects.using(self.alias).filter(key=key).first()
        return None if row is None else _sender_entry(row)

    def load_senders(self) -> tuple[SenderEntry, ...]:
        """Every sender, by machine, the newest first."""
        rows = models.Sender.objects.using(self.alias).order_by("machine", "-made_at", "-id")
        return tuple(map(_sender_entry, rows))

    def withdraw_sender(self, key: str, at: datetime) -> bool:
        """End a sender for good; False where there is none such or it is ended."""
        rows = models.Sender.objects.using(self.alias).filter(key=key, withdrawn_at=None)
        return rows.update(withdrawn_at=at) == 1

    def see_sender(self, key: str, at: datetime) -> None:
        """Note when it last came."""
        models.Sender.objects.using(self.alias).filter(key=key).update(seen_at=at)

    def add_delivery(self, entry: DeliveryEntry) -> tuple[DeliveryEntry, bool]:
        """Keep a delivery, or find the one its sender gave that key before; whether it is new."""
        try:
            with transaction.atomic(using=self.alias):
                row = models.Delivery.objects.using(self.alias).create(
                    sender=models.Sender.objects.using(self.alias).get(key=entry.sender),
                    key=entry.key,
                    sha256=entry.sha256,
                    name=entry.name,
                    size_bytes=entry.size_bytes,
                    at=entry.at,
                    state=entry.state.value,
                )
        except IntegrityError:  # the same key once more, maybe at this very moment
            earlier = self._deliveries().filter(sender__key=entry.sender, key=entry.key).first()
            if earlier is None:
                raise
            return _delivery_entry(earlier), False
        return _delivery_entry(row), True

    def load_delivery(self, delivery: int) -> DeliveryEntry | None:
        """The delivery of that id, None when there is none."""
        row = self._deliveries().filter(pk=delivery).first()
        return None if row is None else _delivery_entry(row)

    def load_deliveries(self, sender: str, last: int) -> tuple[DeliveryEntry, ...]:
        """The last so many deliveries of a sender, the newest first."""
        rows = self._deliveries().filter(sender__key=sender).order_by("-at", "-id")
        return tuple(map(_delivery_entry, rows[:last]))

    def load_waiting(self) -> tuple[DeliveryEntry, ...]:
        """Deliveries that wait to be taken in, the oldest first."""
        rows = self._deliveries().filter(state=DeliveryState.WAITING.value).order_by("at", "id")
        return tuple(map(_delivery_entry, rows))

    def count_waiting(self, sender: str | None = None) -> int:
        """Deliveries that wait to be taken in, of one sender or of all."""
        rows = self._deliveries().filter(state=DeliveryState.WAITING.value)
        return int(rows.count() if sender is None else rows.filter(sender__key=sender).count())

    def end_delivery(
        self, delivery: int, state: DeliveryState, intake_sha256: str | None = None
    ) -> None:
        """Note what became of a delivery."""
        rows = models.Delivery.objects.using(self.alias).filter(pk=delivery)
        rows.update(state=state.value, intake_sha256=intake_sha256)

    def forget_deliveries(self, before: datetime) -> int:
        """Drop the deliveries that came before then and no longer wait; how many."""
        rows = models.Delivery.objects.using(self.alias).filter(at__lt=before)
        return int(rows.exclude(state=DeliveryState.WAITING.value).delete()[0])

    def _deliveries(self) -> Any:
        return models.Delivery.objects.using(self.alias).select_related("sender")


def _sender_entry(row: models.Sender) -> SenderEntry:
    return SenderEntry(
        key=row.key,
        machine=row.machine,
        label=row.label,
        made_at=row.made_at,
        made_by=row.made_by,
        withdrawn_at=row.withdrawn_at,
        seen_at=row.seen_at,
    )


def _delivery_entry(row: models.Delivery) -> DeliveryEntry:
    return DeliveryEntry(
        id=row.pk,
        sender=row.sender.key,
        key=row.key,
        sha256=row.sha256,
        name=row.name,
        size_bytes=row.size_bytes,
        at=row.at,
        state=DeliveryState(row.state),
        intake_sha256=row.intake_sha256,
    )
