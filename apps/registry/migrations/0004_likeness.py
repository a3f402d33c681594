"""What skis are like and what is stated of them, to be pooled: an index that `rebuild` fills."""

import django.db.models.deletion
import django.db.models.functions.text
import django.db.models.lookups
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("registry", "0003_fleet")]

    operations = [
        migrations.CreateModel(
            name="Likeness",
            fields=[
                (
                    "ski",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        primary_key=True,
                        related_name="likeness",
                        serialize=False,
                        to="registry.ski",
                    ),
                ),
                ("text", models.CharField(blank=True, default="", max_length=241)),
                ("year", models.SmallIntegerField(null=True)),
                ("length_mm", models.SmallIntegerField(null=True)),
                ("construction", models.CharField(blank=True, default="", max_length=40)),
                ("use", models.CharField(blank=True, default="", max_length=40)),
                ("waist_width_um", models.IntegerField(null=True)),
                ("variant", models.CharField(max_length=32)),
            ],
            options={
                "indexes": [models.Index(fields=["text", "length_mm"], name="likeness_by_text")],
                "constraints": [
                    models.CheckConstraint(
                        condition=django.db.models.lookups.Exact(
                            django.db.models.functions.text.Length("variant"), 32
                        ),
                        name="likeness_variant_length",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("year__isnull", True),
                            models.Q(("year__gte", 1930), ("year__lte", 2100)),
                            _connector="OR",
                        ),
                        name="likeness_year",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="ModelKey",
            fields=[
                (
                    "pk",
                    models.CompositePrimaryKey(
                        "key",
                        "text",
                        blank=True,
                        editable=False,
                        primary_key=True,
                        serialize=False,
                    ),
                ),
                ("key", models.CharField(max_length=120)),
                ("text", models.CharField(max_length=241)),
            ],
            options={
                "indexes": [models.Index(fields=["text"], name="model_key_by_text")],
            },
        ),
        migrations.CreateModel(
            name="LikeValue",
            fields=[
                (
                    "pk",
                    models.CompositePrimaryKey(
                        "ski_id",
                        "author",
                        "what",
                        "source",
                        "operation",
                        "place",
                        blank=True,
                        editable=False,
                        primary_key=True,
                        serialize=False,
                    ),
                ),
                (
                    "ski",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="like_values",
                        to="registry.ski",
                    ),
                ),
                ("author", models.CharField(max_length=120)),
                ("what", models.CharField(max_length=40)),
                ("source", models.CharField(max_length=40)),
                ("operation", models.CharField(blank=True, default="", max_length=40)),
                ("place", models.CharField(blank=True, default="", max_length=40)),
                ("value_thousandths", models.IntegerField()),
                ("variant", models.CharField(max_length=32)),
            ],
            options={
                "indexes": [
                    models.Index(fields=["variant", "what", "source"], name="like_value_by_variant")
                ],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            (
                                "source__in",
                                (
                                    "set",
                                    "measured",
                                    "specified",
                                    "described",
                                    "first_seen",
                                    "stated",
                                    "readings",
                                ),
                            )
                        ),
                        name="like_value_source",
                    )
                ],
            },
        ),
    ]
