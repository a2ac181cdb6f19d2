# ruff: noqa: RUF012  the form Django gives its migrations
"""Two customers may each have a farm and a field of one name: their outlines are two."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("store", "0003_records"),
    ]

    operations = [
        migrations.RemoveConstraint(model_name="outline", name="one_outline_a_field"),
        migrations.AddConstraint(
            model_name="outline",
            constraint=models.UniqueConstraint(
                fields=("field", "source", "farm", "customer"), name="one_outline_a_field"
            ),
        ),
    ]
