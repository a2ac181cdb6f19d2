# ruff: noqa: RUF012  the form Django gives its migrations
"""Column maps, corrections, outlines, senders, uploads, house rules, erasures, who looked."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("store", "0002_links"),
    ]

    operations = [
        migrations.CreateModel(
            name="Access",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("at", models.DateTimeField(db_index=True)),
                ("who", models.CharField(max_length=150, null=True)),
                ("deed", models.CharField(max_length=40)),
                ("subject", models.CharField(max_length=200)),
            ],
        ),
        migrations.CreateModel(
            name="ColumnMap",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("key", models.CharField(max_length=64, unique=True)),
                ("name", models.CharField(max_length=120)),
                ("headings_sha256", models.CharField(db_index=True, max_length=64)),
                ("body", models.JSONField()),
                ("made_at", models.DateTimeField(db_index=True)),
                ("made_by", models.CharField(max_length=150, null=True)),
                ("withdrawn_at", models.DateTimeField(null=True)),
            ],
        ),
        migrations.CreateModel(
            name="Compaction",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("bucket", models.PositiveSmallIntegerField(unique=True)),
                ("generation", models.PositiveIntegerField()),
                ("correction", models.BigIntegerField(default=0)),
                ("rows", models.BigIntegerField()),
                ("bales", models.BigIntegerField()),
                ("at", models.DateTimeField()),
            ],
        ),
        migrations.CreateModel(
            name="Correction",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("key", models.CharField(max_length=64, unique=True)),
                ("machine", models.CharField(db_index=True, max_length=100)),
                ("column", models.CharField(max_length=40)),
                ("value", models.JSONField(null=True)),
                ("bales", models.JSONField()),
                ("why", models.CharField(max_length=500)),
                ("made_at", models.DateTimeField()),
                ("made_by", models.CharField(max_length=150, null=True)),
                ("withdraws", models.CharField(max_length=64, null=True)),
            ],
        ),
        migrations.CreateModel(
            name="Erasure",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("kind", models.CharField(max_length=40)),
                ("subject_sha256", models.CharField(max_length=64)),
                ("at", models.DateTimeField()),
                ("by", models.CharField(max_length=150, null=True)),
                ("counts", models.JSONField()),
            ],
        ),
        migrations.CreateModel(
            name="HouseRule",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("key", models.CharField(max_length=64, unique=True)),
                ("body", models.JSONField()),
                ("set_at", models.DateTimeField()),
                ("set_by", models.CharField(max_length=150, null=True)),
            ],
        ),
        migrations.CreateModel(
            name="Sender",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("key", models.CharField(max_length=64, unique=True)),
                ("token_sha256", models.CharField(max_length=64, unique=True)),
                ("machine", models.CharField(db_index=True, max_length=100)),
                ("label", models.CharField(max_length=120)),
                ("made_at", models.DateTimeField()),
                ("made_by", models.CharField(max_length=150, null=True)),
                ("withdrawn_at", models.DateTimeField(null=True)),
                ("seen_at", models.DateTimeField(null=True)),
            ],
        ),
        migrations.CreateModel(
            name="Upload",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("key", models.CharField(max_length=64, unique=True)),
                ("name", models.CharField(max_length=255)),
                ("size_bytes", models.BigIntegerField()),
                ("made_at", models.DateTimeField()),
                ("made_by", models.CharField(max_length=150)),
                ("state", models.CharField(max_length=20)),
                ("ticket", models.CharField(max_length=64, null=True)),
                ("map_key", models.CharField(max_length=64, null=True)),
                ("machine", models.CharField(max_length=100, null=True)),
            ],
        ),
        migrations.AddField(
            model_name="intake",
            name="original_gone_at",
            field=models.DateTimeField(null=True),
        ),
        migrations.AddField(
            model_name="intake",
            name="original_gone_why",
            field=models.CharField(default="", max_length=200),
        ),
        migrations.AddField(
            model_name="intake",
            name="size_bytes",
            field=models.BigIntegerField(null=True),
        ),
        migrations.CreateModel(
            name="Outline",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("field", models.CharField(max_length=200)),
                ("source", models.CharField(default="", max_length=64)),
                ("farm", models.CharField(max_length=200, null=True)),
                ("rings", models.JSONField()),
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
                        fields=("field", "source", "farm"), name="one_outline_a_field"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Delivery",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("key", models.CharField(max_length=100)),
                ("sha256", models.CharField(max_length=64)),
                ("name", models.CharField(max_length=255)),
                ("size_bytes", models.BigIntegerField()),
                ("at", models.DateTimeField(db_index=True)),
                ("state", models.CharField(max_length=20)),
                ("intake_sha256", models.CharField(max_length=64, null=True)),
                (
                    "sender",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="deliveries",
                        to="store.sender",
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(fields=("sender", "key"), name="one_delivery_a_key")
                ],
            },
        ),
    ]
