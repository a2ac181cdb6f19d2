"""Tables of reviews, findings and the watch. Private to `store`, which takes them from `models`."""

from __future__ import annotations

from typing import ClassVar

from django.db import models


class Review(models.Model):
    """The last review of a machine. Its findings hang on it."""

    machine = models.CharField(max_length=100, unique=True)
    reviewed_at = models.DateTimeField()
    mark = models.CharField(max_length=64, default="")  # of all it was made of; "": not known
    charts = models.PositiveIntegerField(default=0)


class Finding(models.Model):
    """A finding of the last review."""

    review = models.ForeignKey(Review, on_delete=models.CASCADE, related_name="findings")
    place = models.PositiveIntegerField()
    kind = models.CharField(max_length=40)
    weight = models.CharField(max_length=10)
    body = models.JSONField()

    class Meta:
        ordering: ClassVar = ["review__machine", "place"]


class Episode(models.Model):
    """One matter of one machine that lives on from review to review. Never deleted."""

    key = models.TextField(unique=True)
    machine = models.CharField(max_length=100, db_index=True)
    kind = models.CharField(max_length=40)
    weight = models.CharField(max_length=10)
    state = models.CharField(max_length=20, db_index=True)
    number = models.PositiveIntegerField()
    chance_frac = models.FloatField(null=True)
    admitted = models.BooleanField(default=True)
    told_us = models.BigIntegerField()
    seen_us = models.BigIntegerField()
    closed_us = models.BigIntegerField(null=True)
    under = models.TextField(null=True)
    joined = models.TextField(null=True)
    body = models.JSONField()


class SetAside(models.Model):
    """That somebody set an episode aside, why, and how it ended. Never deleted."""

    episode = models.ForeignKey(Episode, on_delete=models.PROTECT, related_name="asides")
    at_us = models.BigIntegerField()
    made_by = models.CharField(max_length=150, null=True)  # null: the command line
    reason = models.CharField(max_length=500)
    until_us = models.BigIntegerField(null=True)
    weight = models.CharField(max_length=10)
    shift = models.FloatField(null=True)
    ended_us = models.BigIntegerField(null=True)
    ended_why = models.CharField(max_length=20, null=True)
    ended_by = models.CharField(max_length=150, null=True)

    class Meta:
        ordering: ClassVar = ["at_us", "id"]


class WatchState(models.Model):
    """Where the watch over a machine stood after so many of its bales."""

    machine = models.CharField(max_length=100, db_index=True)
    bales = models.PositiveIntegerField()
    until_us = models.BigIntegerField(null=True)
    version = models.PositiveIntegerField()
    mark = models.CharField(max_length=64)
    about = models.CharField(max_length=64)
    body = models.BinaryField()

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["machine", "bales"], name="one_state_a_bale")
        ]


class KindState(models.Model):
    """What machines of one profile have in common, as learnt of them."""

    profile_key = models.CharField(max_length=100, unique=True)
    version = models.PositiveIntegerField()
    machines = models.PositiveIntegerField()
    learnt_at = models.DateTimeField()
    body = models.BinaryField()
