"""Which drafts of an import became which records."""

import django.db.models.deletion
import django.db.models.functions.text
import django.db.models.lookups
from django.db import migrations, models


class Migration(migrations.Migration):
    """One table, empty."""

    dependencies = [
        ("exchange", "0002_peers"),
    ]

    operations = [
        migrations.CreateModel(
            name="ImportedRow",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("digest", models.CharField(max_length=64)),
                ("record", models.CharField(max_length=64)),
                (
                    "shop",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="imported_rows",
                        to="registry.shop",
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(
                        fields=("shop", "digest"), name="imported_row_once_a_shop"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            django.db.models.lookups.Exact(
                                django.db.models.functions.text.Length("digest"), 64
                            ),
                            django.db.models.lookups.Exact(
                                django.db.models.functions.text.Length("record"), 64
                            ),
                        ),
                        name="imported_row_lengths",
                    ),
                ],
            },
        ),
    ]
