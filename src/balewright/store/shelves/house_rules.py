"""Rules of the house that somebody set, each under its key; the latest word counts."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.db import transaction

from balewright.store import models
from balewright.store.entries import HouseRuleEntry


class HouseRuleShelf:
    """How long originals are kept, when the last backup was made, and the like."""

    alias: str

    def save_rule(
        self, key: str, body: Mapping[str, Any], at: datetime, by: str | None = None
    ) -> None:
        """Set a rule in place of the one before."""
        with transaction.atomic(using=self.alias):
            models.HouseRule.objects.using(self.alias).update_or_create(
                key=key, defaults={"body": dict(body), "set_at": at, "set_by": by}
            )

    def load_rule(self, key: str) -> HouseRuleEntry | None:
        """The rule of that key, None where nobody set one."""
        row = models.HouseRule.objects.using(self.alias).filter(key=key).first()
        if row is None:
            return None
        return HouseRuleEntry(row.key, dict(row.body), row.set_at, row.set_by)
