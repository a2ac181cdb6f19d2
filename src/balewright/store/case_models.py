"""Tables of cases. Private to `store`, which takes them from `models`."""

from __future__ import annotations

from typing import ClassVar

from django.db import models


class CaseEntry(models.Model):
    """An entry of a case, as it came. Never deleted; erasing takes words out, no more."""

    mark = models.CharField(max_length=64)  # the entry's own id: two contents may have one
    case = models.CharField(max_length=64, db_index=True)
    machine = models.CharField(max_length=100, null=True, db_index=True)  # of an opening
    device = models.CharField(max_length=64)
    sequence = models.BigIntegerField()
    clock = models.BigIntegerField()
    kind = models.CharField(max_length=40)
    payload = models.JSONField()
    schema_version = models.PositiveIntegerField()
    made_us = models.BigIntegerField(null=True)
    said_by = models.CharField(max_length=150, default="")
    content_sha256 = models.CharField(max_length=64, unique=True)  # as it came, whatever is erased
    arrived_us = models.BigIntegerField()
    arrived_by = models.CharField(max_length=150, null=True)  # null: a link, or the command line
    way = models.CharField(max_length=10)

    class Meta:
        indexes: ClassVar = [models.Index(fields=["mark"], name="entry_by_mark")]


class CasePhoto(models.Model):
    """A photo whose file arrived. The file lies under its hash."""

    sha256 = models.CharField(max_length=64, unique=True)
    case = models.CharField(max_length=64, db_index=True)  # that it came with first
    media = models.CharField(max_length=40)
    size_bytes = models.BigIntegerField()
    arrived_us = models.BigIntegerField()
    gone_at = models.DateTimeField(null=True)
    gone_why = models.CharField(max_length=200, default="")


class CaseLink(models.Model):
    """A link that opens one case without an account. The token itself is kept nowhere."""

    token_sha256 = models.CharField(max_length=64, unique=True)
    case = models.CharField(max_length=64, db_index=True)
    kind = models.CharField(max_length=10)
    made_at = models.DateTimeField()
    made_by = models.CharField(max_length=150)
    valid_until = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True)
    opened = models.PositiveIntegerField(default=0)
    note = models.CharField(max_length=120, default="")
    claim = models.BooleanField(default=False)
