"""Outlines of fields: as files draw them, and as people add them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from django.db import transaction
from django.db.models import Q

from balewright.records.outlines import Outline
from balewright.store import models
from balewright.store.entries import IntakeState

_NAME_LENGTH = 200


class OutlineShelf:
    """One outline a field, farm and customer for each file, and one that somebody added."""

    alias: str

    def save_outlines(self, outlines: Iterable[Outline], source: str | None = None) -> int:
        """Keep outlines of one file, or (source None) such as somebody added; how many fields.

        Rings of one field, farm and customer are one outline. What was kept of the same field and
        source before gives way. Outlines of a file count only once the file is taken in.
        """
        joined: dict[tuple[str, str | None, str | None], Outline] = {}
        for one in outlines:
            key = (one.field[:_NAME_LENGTH], one.farm and one.farm[:_NAME_LENGTH], one.customer)
            before = joined[key].rings if key in joined else ()
            joined[key] = replace(one, rings=(*before, *one.rings))
        with transaction.atomic(using=self.alias):
            for (field, farm, customer), one in joined.items():
                owner = self._customer(customer)
                kept = models.Outline.objects.using(self.alias)
                same = kept.filter(field=field, source=source or "", farm=farm, customer=owner)
                same.delete()
                rings = [[list(corner) for corner in ring] for ring in one.rings]
                kept.create(
                    field=field, source=source or "", farm=farm, customer=owner, rings=rings
                )
        return len(joined)

    def load_outlines(self) -> tuple[Outline, ...]:
        """Every outline that counts, by field and source; what somebody added first."""
        taken = models.Intake.objects.using(self.alias).filter(state=IntakeState.TAKEN.value)
        rows = (
            models.Outline.objects.using(self.alias)
            .select_related("customer")
            .filter(Q(source="") | Q(source__in=taken.values("sha256")))
            .order_by("field", "source", "farm", "id")
        )
        return tuple(map(_outline, rows))

    def remove_outline(self, outline: Outline) -> bool:
        """Take away an outline that somebody added; False where there is none."""
        same = models.Outline.objects.using(self.alias).filter(
            field=outline.field, source="", farm=outline.farm, customer__name=outline.customer
        )
        if outline.customer is None:
            same = models.Outline.objects.using(self.alias).filter(
                field=outline.field, source="", farm=outline.farm, customer=None
            )
        return same.delete()[0] > 0

    def _customer(self, name: str | None) -> models.Customer | None:
        raise NotImplementedError  # the machines' shelf does it


def _outline(row: models.Outline) -> Outline:
    rings = tuple(tuple((lat, lon) for lat, lon in ring) for ring in row.rings)
    customer = None if row.customer is None else row.customer.name
    return Outline(row.field, rings, row.farm, customer, row.source or None)
