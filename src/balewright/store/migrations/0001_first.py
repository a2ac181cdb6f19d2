# ruff: noqa: RUF012  the form Django gives its migrations
"""The register as it was first laid out."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = []

    operations = [
        migrations.CreateModel(
            name="Customer",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=200, unique=True)),
            ],
        ),
        migrations.CreateModel(
            name="Intake",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("sha256", models.CharField(max_length=64, unique=True)),
                ("name", models.CharField(max_length=255)),
                ("form", models.CharField(max_length=40)),
                ("state", models.CharField(max_length=20)),
                ("at", models.DateTimeField(db_index=True)),
                ("kept", models.BigIntegerField()),
                ("events", models.BigIntegerField()),
                ("refused", models.BigIntegerField()),
                ("doubtful", models.BigIntegerField()),
                ("details", models.JSONField()),
                ("first_us", models.BigIntegerField(null=True)),
                ("last_us", models.BigIntegerField(null=True)),
            ],
        ),
        migrations.CreateModel(
            name="Review",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("machine", models.CharField(max_length=100, unique=True)),
                ("reviewed_at", models.DateTimeField()),
            ],
        ),
        migrations.CreateModel(
            name="Sheet",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("key", models.CharField(max_length=64, unique=True)),
                ("machine", models.CharField(db_index=True, max_length=100, null=True)),
                ("profile_key", models.CharField(max_length=100)),
                ("made_at", models.DateTimeField(db_index=True)),
                ("body", models.JSONField()),
            ],
        ),
        migrations.CreateModel(
            name="CounterSpan",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("machine", models.TextField()),
                ("epoch", models.IntegerField()),
                ("lowest_no", models.BigIntegerField()),
                ("highest_no", models.BigIntegerField()),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(fields=("machine", "epoch"), name="one_span_a_control")
                ],
            },
        ),
        migrations.CreateModel(
            name="Job",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("job", models.CharField(max_length=200)),
                ("source", models.CharField(default="", max_length=64)),
                ("farm", models.CharField(max_length=200, null=True)),
                ("field", models.CharField(max_length=200, null=True)),
                ("crop", models.CharField(max_length=100, null=True)),
                (
                    "customer",
                    models.ForeignKey(
                        null=True, on_delete=django.db.models.deletion.PROTECT, to="store.customer"
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(
                        fields=("job", "source"), name="one_order_a_word_and_file"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Machine",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("serial", models.CharField(max_length=100, unique=True)),
                ("name", models.CharField(max_length=200)),
                ("profile_key", models.CharField(max_length=100)),
                ("zone", models.CharField(max_length=64)),
                (
                    "customer",
                    models.ForeignKey(
                        null=True, on_delete=django.db.models.deletion.PROTECT, to="store.customer"
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="Finding",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("place", models.PositiveIntegerField()),
                ("kind", models.CharField(max_length=40)),
                ("weight", models.CharField(max_length=10)),
                ("body", models.JSONField()),
                (
                    "review",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="findings",
                        to="store.review",
                    ),
                ),
            ],
            options={
                "ordering": ["review__machine", "place"],
            },
        ),
        migrations.CreateModel(
            name="Part",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("path", models.CharField(max_length=255, unique=True)),
                ("dataset", models.CharField(max_length=10)),
                ("season", models.IntegerField(null=True)),
                ("bucket", models.PositiveSmallIntegerField()),
                ("rows", models.BigIntegerField()),
                ("sha256", models.CharField(max_length=64)),
                ("size_bytes", models.BigIntegerField()),
                ("schema_version", models.PositiveIntegerField()),
                ("generation", models.PositiveIntegerField()),
                ("first_us", models.BigIntegerField(null=True)),
                ("last_us", models.BigIntegerField(null=True)),
                (
                    "intake",
                    models.ForeignKey(
                        null=True, on_delete=django.db.models.deletion.PROTECT, to="store.intake"
                    ),
                ),
            ],
            options={
                "indexes": [
                    models.Index(fields=["dataset", "bucket"], name="store_part_dataset_c33883_idx")
                ],
            },
        ),
    ]
