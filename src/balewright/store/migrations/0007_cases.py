# ruff: noqa: RUF012  the form Django gives its migrations
"""Cases: their entries as they came, photos that arrived, links without an account."""

from typing import Any

from django.db import migrations, models


def _id() -> Any:
    return models.BigAutoField(
        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
    )


class Migration(migrations.Migration):
    dependencies = [
        ("store", "0006_episodes"),
    ]

    operations = [
        migrations.CreateModel(
            name="CaseEntry",
            fields=[
                ("id", _id()),
                ("mark", models.CharField(max_length=64)),
                ("case", models.CharField(db_index=True, max_length=64)),
                ("machine", models.CharField(db_index=True, max_length=100, null=True)),
                ("device", models.CharField(max_length=64)),
                ("sequence", models.BigIntegerField()),
                ("clock", models.BigIntegerField()),
                ("kind", models.CharField(max_length=40)),
                ("payload", models.JSONField()),
                ("schema_version", models.PositiveIntegerField()),
                ("made_us", models.BigIntegerField(null=True)),
                ("said_by", models.CharField(default="", max_length=150)),
                ("content_sha256", models.CharField(max_length=64, unique=True)),
                ("arrived_us", models.BigIntegerField()),
                ("arrived_by", models.CharField(max_length=150, null=True)),
                ("way", models.CharField(max_length=10)),
            ],
            options={
                "indexes": [models.Index(fields=["mark"], name="entry_by_mark")],
            },
        ),
        migrations.CreateModel(
            name="CasePhoto",
            fields=[
                ("id", _id()),
                ("sha256", models.CharField(max_length=64, unique=True)),
                ("case", models.CharField(db_index=True, max_length=64)),
                ("media", models.CharField(max_length=40)),
                ("size_bytes", models.BigIntegerField()),
                ("arrived_us", models.BigIntegerField()),
                ("gone_at", models.DateTimeField(null=True)),
                ("gone_why", models.CharField(default="", max_length=200)),
            ],
        ),
        migrations.CreateModel(
            name="CaseLink",
            fields=[
                ("id", _id()),
                ("token_sha256", models.CharField(max_length=64, unique=True)),
                ("case", models.CharField(db_index=True, max_length=64)),
                ("kind", models.CharField(max_length=10)),
                ("made_at", models.DateTimeField()),
                ("made_by", models.CharField(max_length=150)),
                ("valid_until", models.DateTimeField()),
                ("withdrawn_at", models.DateTimeField(null=True)),
                ("opened", models.PositiveIntegerField(default=0)),
                ("note", models.CharField(default="", max_length=120)),
                ("claim", models.BooleanField(default=False)),
            ],
        ),
    ]
