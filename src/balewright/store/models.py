"""The register's tables. Private to `store`: everybody else sees `entries`."""

from __future__ import annotations

from typing import ClassVar

from django.db import models

from balewright.store.case_models import CaseEntry, CaseLink, CasePhoto
from balewright.store.review_models import (
    Episode,
    Finding,
    KindState,
    Review,
    SetAside,
    WatchState,
)

__all__ = [
    "CaseEntry",
    "CaseLink",
    "CasePhoto",
    "Episode",
    "Finding",
    "KindState",
    "Review",
    "SetAside",
    "WatchState",
]

# A null text is an unknown one; an empty text is a known one without letters.


class Customer(models.Model):
    """Who owns machines or gives orders."""

    name = models.CharField(max_length=200, unique=True)


class Machine(models.Model):
    """A machine somebody entered. Bales of others are kept too, and the intake tells so."""

    serial = models.CharField(max_length=100, unique=True)
    name = models.CharField(max_length=200)
    profile_key = models.CharField(max_length=100)
    zone = models.CharField(max_length=64)
    customer = models.ForeignKey(Customer, null=True, on_delete=models.PROTECT)


class Job(models.Model):
    """An order, as one file names it or (`source` empty) as somebody entered it."""

    job = models.CharField(max_length=200)
    source = models.CharField(max_length=64, default="")
    customer = models.ForeignKey(Customer, null=True, on_delete=models.PROTECT)
    farm = models.CharField(max_length=200, null=True)
    field = models.CharField(max_length=200, null=True)
    crop = models.CharField(max_length=100, null=True)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["job", "source"], name="one_order_a_word_and_file")
        ]


class Sheet(models.Model):
    """A setup sheet, whole, as JSON. Never changed."""

    key = models.CharField(max_length=64, unique=True)
    machine = models.CharField(max_length=100, null=True, db_index=True)
    profile_key = models.CharField(max_length=100)
    made_at = models.DateTimeField(db_index=True)
    body = models.JSONField()


class Intake(models.Model):
    """The intake ledger: one row a content."""

    sha256 = models.CharField(max_length=64, unique=True)
    name = models.CharField(max_length=255)
    form = models.CharField(max_length=40)
    state = models.CharField(max_length=20)
    at = models.DateTimeField(db_index=True)
    kept = models.BigIntegerField()
    events = models.BigIntegerField()
    refused = models.BigIntegerField()
    doubtful = models.BigIntegerField()
    details = models.JSONField()
    first_us = models.BigIntegerField(null=True)
    last_us = models.BigIntegerField(null=True)
    size_bytes = models.BigIntegerField(null=True)  # of the original; null: nobody noted it
    original_gone_at = models.DateTimeField(null=True)
    original_gone_why = models.CharField(max_length=200, default="")


class Part(models.Model):
    """The manifest: a column file counts only when it stands here."""

    path = models.CharField(max_length=255, unique=True)
    dataset = models.CharField(max_length=10)
    season = models.IntegerField(null=True)
    bucket = models.PositiveSmallIntegerField()
    rows = models.BigIntegerField()
    sha256 = models.CharField(max_length=64)
    size_bytes = models.BigIntegerField()
    schema_version = models.PositiveIntegerField()
    generation = models.PositiveIntegerField()
    first_us = models.BigIntegerField(null=True)
    last_us = models.BigIntegerField(null=True)
    intake = models.ForeignKey(Intake, null=True, on_delete=models.PROTECT)

    class Meta:
        indexes: ClassVar = [models.Index(fields=["dataset", "bucket"])]


class CounterSpan(models.Model):
    """High-water mark of one control of one machine. Widened, but for numbers put right."""

    machine = models.TextField()
    epoch = models.IntegerField()  # -1: the epoch is unknown
    lowest_no = models.BigIntegerField()
    highest_no = models.BigIntegerField()

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["machine", "epoch"], name="one_span_a_control")
        ]


class Link(models.Model):
    """A link that opens one sheet without an account. The token itself is kept nowhere."""

    token_sha256 = models.CharField(max_length=64, unique=True)
    sheet = models.ForeignKey(Sheet, on_delete=models.PROTECT, related_name="links")
    made_at = models.DateTimeField()
    made_by = models.CharField(max_length=150)
    valid_until = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True)
    opened = models.PositiveIntegerField(default=0)
    names_machine = models.BooleanField(default=False)
    note = models.CharField(max_length=120, default="")


class Feedback(models.Model):
    """What somebody who worked by a sheet says of it. Never changed."""

    sheet = models.ForeignKey(Sheet, on_delete=models.PROTECT, related_name="feedback")
    mark = models.CharField(max_length=64)  # made where it was given: the same one twice is one
    outcome = models.CharField(max_length=10)
    changes = models.JSONField()
    text = models.CharField(max_length=500, default="")
    at = models.DateTimeField()
    given_by = models.CharField(max_length=150, null=True)  # null: by a link, nobody knows who
    link = models.ForeignKey(Link, null=True, on_delete=models.PROTECT, related_name="feedback")

    class Meta:
        ordering: ClassVar = ["-at", "-id"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["sheet", "mark"], name="one_feedback_a_mark")
        ]


class Snapshot(models.Model):
    """A machine's settings as they were read or entered at one time. Never changed."""

    key = models.CharField(max_length=64, unique=True)
    machine = models.CharField(max_length=100, db_index=True)
    kept_at = models.DateTimeField(db_index=True)
    kept_by = models.CharField(max_length=150, null=True)
    note = models.CharField(max_length=120, default="")
    origin = models.CharField(max_length=120)
    settings = models.JSONField()


class ColumnMap(models.Model):
    """How a table of another program is read. A new version is a new row; nothing is changed."""

    key = models.CharField(max_length=64, unique=True)
    name = models.CharField(max_length=120)
    headings_sha256 = models.CharField(max_length=64, db_index=True)
    body = models.JSONField()
    made_at = models.DateTimeField(db_index=True)
    made_by = models.CharField(max_length=150, null=True)  # null: the command line
    withdrawn_at = models.DateTimeField(null=True)


class Correction(models.Model):
    """What a person says of bales afterwards. Never changed: a withdrawal is a further one."""

    key = models.CharField(max_length=64, unique=True)
    machine = models.CharField(max_length=100, db_index=True)
    column = models.CharField(max_length=40)
    value = models.JSONField(null=True)
    bales = models.JSONField()
    why = models.CharField(max_length=500)
    made_at = models.DateTimeField()
    made_by = models.CharField(max_length=150, null=True)
    withdraws = models.CharField(max_length=64, null=True)


class Compaction(models.Model):
    """What a bucket's newest generation covers: its files, and corrections up to `correction`."""

    bucket = models.PositiveSmallIntegerField(unique=True)
    generation = models.PositiveIntegerField()
    correction = models.BigIntegerField(default=0)  # highest row number of corrections in it
    rows = models.BigIntegerField()
    bales = models.BigIntegerField()
    at = models.DateTimeField()


class Outline(models.Model):
    """A field's boundary, as one file draws it or (`source` empty) as somebody entered it."""

    field = models.CharField(max_length=200)
    source = models.CharField(max_length=64, default="")
    farm = models.CharField(max_length=200, null=True)
    customer = models.ForeignKey(Customer, null=True, on_delete=models.PROTECT)
    rings = models.JSONField()

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["field", "source", "farm", "customer"], name="one_outline_a_field"
            )
        ]


class Sender(models.Model):
    """A device that sends a machine's records by itself. Its token is kept nowhere."""

    key = models.CharField(max_length=64, unique=True)
    token_sha256 = models.CharField(max_length=64, unique=True)
    machine = models.CharField(max_length=100, db_index=True)
    label = models.CharField(max_length=120)
    made_at = models.DateTimeField()
    made_by = models.CharField(max_length=150, null=True)
    withdrawn_at = models.DateTimeField(null=True)
    seen_at = models.DateTimeField(null=True)


class Delivery(models.Model):
    """One batch a sender handed over, by the key it gave it: sent again it is the same one."""

    sender = models.ForeignKey(Sender, on_delete=models.PROTECT, related_name="deliveries")
    key = models.CharField(max_length=100)
    sha256 = models.CharField(max_length=64)  # of what was sent
    name = models.CharField(max_length=255)
    size_bytes = models.BigIntegerField()
    at = models.DateTimeField(db_index=True)
    state = models.CharField(max_length=20)
    intake_sha256 = models.CharField(max_length=64, null=True)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["sender", "key"], name="one_delivery_a_key")
        ]


class Upload(models.Model):
    """A file on its way in piece by piece, so that it can go on after a break."""

    key = models.CharField(max_length=64, unique=True)
    name = models.CharField(max_length=255)
    size_bytes = models.BigIntegerField()
    made_at = models.DateTimeField()
    made_by = models.CharField(max_length=150)
    state = models.CharField(max_length=20)
    ticket = models.CharField(max_length=64, null=True)
    map_key = models.CharField(max_length=64, null=True)
    machine = models.CharField(max_length=100, null=True)
    begins_us = models.BigIntegerField(null=True)


class HouseRule(models.Model):
    """A rule of the house that somebody set, such as how long originals are kept."""

    key = models.CharField(max_length=64, unique=True)
    body = models.JSONField()
    set_at = models.DateTimeField()
    set_by = models.CharField(max_length=150, null=True)


class Erasure(models.Model):
    """That something personal was erased: what kind, when, by whom; not what it was."""

    kind = models.CharField(max_length=40)
    subject_sha256 = models.CharField(max_length=64)
    at = models.DateTimeField()
    by = models.CharField(max_length=150, null=True)
    counts = models.JSONField()


class Access(models.Model):
    """Who looked at or took out personal data, and which."""

    at = models.DateTimeField(db_index=True)
    who = models.CharField(max_length=150, null=True)
    deed = models.CharField(max_length=40)
    subject = models.CharField(max_length=200)
