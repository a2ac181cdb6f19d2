# ruff: noqa: RUF012  the form Django gives its migrations
"""Findings live on as episodes; what was set aside of them; where the watch stands."""

from datetime import UTC, datetime, timedelta
from typing import Any

import django.db.models.deletion
from django.db import migrations, models

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def _id() -> Any:
    return models.BigAutoField(
        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
    )


def _escaped(word: str) -> str:
    return word.replace("%", "%25").replace(":", "%3A").replace("/", "%2F")


def _carry_over(apps: Any, schema_editor: Any) -> None:
    """Each finding of the last reviews is an episode of its own; the next review joins what is
    one matter and closes what has ended."""
    alias = schema_editor.connection.alias
    finding = apps.get_model("store", "Finding")
    episode = apps.get_model("store", "Episode")
    numbers: dict[tuple[str, str], int] = {}
    rows = finding.objects.using(alias).select_related("review").order_by("review_id", "place")
    began = {row.pk: row.body.get("since_us") or 0 for row in rows}
    by_start = sorted(rows, key=lambda row: (row.review_id, began[row.pk], row.place))
    for row in by_start:
        machine = row.review.machine
        number = numbers[machine, row.kind] = numbers.get((machine, row.kind), 0) + 1
        told_us = (row.review.reviewed_at - _EPOCH) // timedelta(microseconds=1)
        episode.objects.using(alias).create(
            key=f"{_escaped(machine)}:{_escaped(row.kind)}:::{number}",
            machine=machine,
            kind=row.kind,
            weight=row.weight,
            state="open",
            number=number,
            told_us=told_us,
            seen_us=told_us,
            body={"finding": {**row.body, "kind": row.kind, "weight": row.weight}},
        )


class Migration(migrations.Migration):
    dependencies = [
        ("store", "0005_upload_begins"),
    ]

    operations = [
        migrations.AddField("review", "mark", models.CharField(default="", max_length=64)),
        migrations.AddField("review", "charts", models.PositiveIntegerField(default=0)),
        migrations.CreateModel(
            name="Episode",
            fields=[
                ("id", _id()),
                ("key", models.TextField(unique=True)),
                ("machine", models.CharField(db_index=True, max_length=100)),
                ("kind", models.CharField(max_length=40)),
                ("weight", models.CharField(max_length=10)),
                ("state", models.CharField(db_index=True, max_length=20)),
                ("number", models.PositiveIntegerField()),
                ("chance_frac", models.FloatField(null=True)),
                ("admitted", models.BooleanField(default=True)),
                ("told_us", models.BigIntegerField()),
                ("seen_us", models.BigIntegerField()),
                ("closed_us", models.BigIntegerField(null=True)),
                ("under", models.TextField(null=True)),
                ("joined", models.TextField(null=True)),
                ("body", models.JSONField()),
            ],
        ),
        migrations.CreateModel(
            name="SetAside",
            fields=[
                ("id", _id()),
                ("at_us", models.BigIntegerField()),
                ("made_by", models.CharField(max_length=150, null=True)),
                ("reason", models.CharField(max_length=500)),
                ("until_us", models.BigIntegerField(null=True)),
                ("weight", models.CharField(max_length=10)),
                ("shift", models.FloatField(null=True)),
                ("ended_us", models.BigIntegerField(null=True)),
                ("ended_why", models.CharField(max_length=20, null=True)),
                ("ended_by", models.CharField(max_length=150, null=True)),
                (
                    "episode",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="asides",
                        to="store.episode",
                    ),
                ),
            ],
            options={"ordering": ["at_us", "id"]},
        ),
        migrations.CreateModel(
            name="WatchState",
            fields=[
                ("id", _id()),
                ("machine", models.CharField(db_index=True, max_length=100)),
                ("bales", models.PositiveIntegerField()),
                ("until_us", models.BigIntegerField(null=True)),
                ("version", models.PositiveIntegerField()),
                ("mark", models.CharField(max_length=64)),
                ("about", models.CharField(max_length=64)),
                ("body", models.BinaryField()),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(fields=("machine", "bales"), name="one_state_a_bale")
                ],
            },
        ),
        migrations.CreateModel(
            name="KindState",
            fields=[
                ("id", _id()),
                ("profile_key", models.CharField(max_length=100, unique=True)),
                ("version", models.PositiveIntegerField()),
                ("machines", models.PositiveIntegerField()),
                ("learnt_at", models.DateTimeField()),
                ("body", models.BinaryField()),
            ],
        ),
        migrations.RunPython(_carry_over, migrations.RunPython.noop),
    ]
