# ruff: noqa: RUF012  the form Django gives its migrations
"""Links to sheets, what people say of sheets, and settings kept of a machine."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("store", "0001_first"),
    ]

    operations = [
        migrations.CreateModel(
            name="Snapshot",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("key", models.CharField(max_length=64, unique=True)),
                ("machine", models.CharField(db_index=True, max_length=100)),
                ("kept_at", models.DateTimeField(db_index=True)),
                ("kept_by", models.CharField(max_length=150, null=True)),
                ("note", models.CharField(default="", max_length=120)),
                ("origin", models.CharField(max_length=120)),
                ("settings", models.JSONField()),
            ],
        ),
        migrations.CreateModel(
            name="Link",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("token_sha256", models.CharField(max_length=64, unique=True)),
                ("made_at", models.DateTimeField()),
                ("made_by", models.CharField(max_length=150)),
                ("valid_until", models.DateTimeField()),
                ("withdrawn_at", models.DateTimeField(null=True)),
                ("opened", models.PositiveIntegerField(default=0)),
                ("names_machine", models.BooleanField(default=False)),
                ("note", models.CharField(default="", max_length=120)),
                (
                    "sheet",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="links",
                        to="store.sheet",
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="Feedback",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("mark", models.CharField(max_length=64)),
                ("outcome", models.CharField(max_length=10)),
                ("changes", models.JSONField()),
                ("text", models.CharField(default="", max_length=500)),
                ("at", models.DateTimeField()),
                ("given_by", models.CharField(max_length=150, null=True)),
                (
                    "sheet",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="feedback",
                        to="store.sheet",
                    ),
                ),
                (
                    "link",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="feedback",
                        to="store.link",
                    ),
                ),
            ],
            options={
                "ordering": ["-at", "-id"],
                "constraints": [
                    models.UniqueConstraint(fields=("sheet", "mark"), name="one_feedback_a_mark")
                ],
            },
        ),
    ]
