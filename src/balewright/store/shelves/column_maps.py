"""Column maps by key. A new version is a new row; nothing of a map is ever changed."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.db import transaction
from django.db.models import QuerySet

from balewright.records.column_map import ColumnMap, MappedColumn, Twice
from balewright.store import models
from balewright.store.entries import ColumnMapEntry


class ColumnMapShelf:
    """Saved column maps. Of one name the newest version counts."""

    alias: str

    def save_map(self, entry: ColumnMapEntry) -> bool:
        """Keep a map under its key; False, and nothing changed, where it is the one in use.

        The same map after another version or a withdrawal is in use again.
        """
        with transaction.atomic(using=self.alias):
            in_use = {one.map.key for one in self.load_maps()}
            if entry.map.key in in_use:
                return False
            models.ColumnMap.objects.using(self.alias).update_or_create(
                key=entry.map.key,
                defaults={
                    "name": entry.map.name,
                    "headings_sha256": entry.headings_sha256,
                    "body": _body(entry.map),
                    "made_at": entry.made_at,
                    "made_by": entry.made_by,
                    "withdrawn_at": None,
                },
            )
        return True

    def load_maps(self) -> tuple[ColumnMapEntry, ...]:
        """The newest version of each name that is not withdrawn, the newest first."""
        newest: dict[str, ColumnMapEntry] = {}
        for row in self._rows().filter(withdrawn_at=None):
            newest.setdefault(row.name, _entry(row))
        return tuple(newest.values())

    def load_map(self, key: str) -> ColumnMapEntry | None:
        """The map of that key, whatever became of it; None when there is none."""
        row = self._rows().filter(key=key).first()
        return None if row is None else _entry(row)

    def load_map_versions(self, name: str) -> tuple[ColumnMapEntry, ...]:
        """Every version of a name, the newest first."""
        return tuple(map(_entry, self._rows().filter(name=name)))

    def withdraw_map(self, key: str, at: datetime) -> bool:
        """No more use a map, nor the versions before it; False where none of its name is in use."""
        row = self._rows().filter(key=key).first()
        if row is None:
            return False
        live = models.ColumnMap.objects.using(self.alias).filter(name=row.name, withdrawn_at=None)
        return live.update(withdrawn_at=at) > 0

    def _rows(self) -> QuerySet[models.ColumnMap]:
        return models.ColumnMap.objects.using(self.alias).order_by("-made_at", "-id")


def _body(column_map: ColumnMap) -> dict[str, Any]:
    body = {name: getattr(column_map, name) for name in _FIELDS}
    body["twice"] = column_map.twice.value
    body["unknown"] = list(column_map.unknown)
    body["columns"] = [
        [one.heading, one.place, one.target, one.unit, [list(pair) for pair in one.words]]
        for one in column_map.columns
    ]
    return body


_FIELDS = (
    *("sheet", "head_row", "head_rows", "separator", "decimal", "thousands", "encoding"),
    *("day_order", "zone", "machine"),
)


def _entry(row: models.ColumnMap) -> ColumnMapEntry:
    body = row.body
    columns = tuple(
        MappedColumn(heading, place, target, unit, tuple((one, two) for one, two in words))
        for heading, place, target, unit, words in body["columns"]
    )
    column_map = ColumnMap(
        key=row.key,
        name=row.name,
        columns=columns,
        **{name: body[name] for name in _FIELDS},
        twice=Twice(body["twice"]),
        unknown=tuple(body["unknown"]),
    )
    return ColumnMapEntry(
        column_map, row.headings_sha256, row.made_at, row.made_by, row.withdrawn_at
    )
