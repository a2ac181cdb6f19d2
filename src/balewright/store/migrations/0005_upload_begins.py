# ruff: noqa: RUF012  the form Django gives its migrations
"""An upload may say when its recording began."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("store", "0004_outlines_by_customer"),
    ]

    operations = [
        migrations.AddField(
            model_name="upload",
            name="begins_us",
            field=models.BigIntegerField(null=True),
        ),
    ]
