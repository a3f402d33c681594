"""People of a shop, links to one ski for those without a log-in, and the tags on labels."""

import django.db.models.deletion
import django.db.models.expressions
import django.db.models.functions.text
import django.db.models.lookups
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("registry", "0009_links"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="LabelRange",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("prefix", models.CharField(max_length=40)),
                ("first", models.IntegerField()),
                ("last", models.IntegerField()),
                ("digits", models.SmallIntegerField()),
                ("created_at", models.DateTimeField()),
                (
                    "shop",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="label_ranges",
                        to="registry.shop",
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(
                        fields=("shop", "prefix", "first"), name="label_range_once"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("first__gte", 1),
                            ("last__gte", models.F("first")),
                            (
                                "last__lt",
                                django.db.models.expressions.CombinedExpression(
                                    models.F("first"), "+", models.Value(1000)
                                ),
                            ),
                        ),
                        name="label_range_in_order",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("digits", 3), ("last__lt", 1000)),
                            models.Q(("digits", 4), ("last__lt", 10000)),
                            models.Q(("digits", 5), ("last__lt", 100000)),
                            models.Q(("digits", 6), ("last__lt", 1000000)),
                            models.Q(("digits", 7), ("last__lt", 10000000)),
                            models.Q(("digits", 8), ("last__lt", 100000000)),
                            _connector="OR",
                        ),
                        name="label_range_fits_digits",
                    ),
                    models.CheckConstraint(
                        condition=django.db.models.lookups.LessThanOrEqual(
                            django.db.models.expressions.CombinedExpression(
                                django.db.models.expressions.CombinedExpression(
                                    django.db.models.functions.text.Length("prefix"),
                                    "+",
                                    models.F("digits"),
                                ),
                                "+",
                                models.Value(1),
                            ),
                            40,
                        ),
                        name="label_range_tag_length",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("prefix__gt", ""),
                            models.Q(
                                ("prefix__endswith", "0"),
                                ("prefix__endswith", "1"),
                                ("prefix__endswith", "2"),
                                ("prefix__endswith", "3"),
                                ("prefix__endswith", "4"),
                                ("prefix__endswith", "5"),
                                ("prefix__endswith", "6"),
                                ("prefix__endswith", "7"),
                                ("prefix__endswith", "8"),
                                ("prefix__endswith", "9"),
                                _connector="OR",
                                _negated=True,
                            ),
                        ),
                        name="label_range_prefix_ends_without_digit",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Member",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("role", models.CharField(max_length=10)),
                ("alias", models.CharField(blank=True, default="", max_length=32)),
                ("unit", models.CharField(default="mm", max_length=2)),
                ("language", models.CharField(blank=True, default="", max_length=2)),
                (
                    "shop",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="members",
                        to="registry.shop",
                    ),
                ),
                (
                    "user",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="member",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("role__in", ("owner", "technician", "reader"))),
                        name="member_role",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("unit__in", ("mm", "um"))), name="member_unit"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("language__in", ("", "en", "de", "fr"))),
                        name="member_language",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("alias", ""), _negated=True),
                        fields=("shop", "alias"),
                        name="member_alias_once_a_shop",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="ShareLink",
            fields=[
                ("prefix", models.CharField(max_length=8, primary_key=True, serialize=False)),
                ("tag", models.CharField(max_length=40)),
                ("digest", models.CharField(max_length=64)),
                ("created_at", models.DateTimeField()),
                ("expires_at", models.DateTimeField()),
                ("revoked_at", models.DateTimeField(null=True)),
                ("opened_count", models.IntegerField(default=0)),
                ("last_opened_at", models.DateTimeField(null=True)),
                (
                    "shop",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="share_links",
                        to="registry.shop",
                    ),
                ),
            ],
            options={
                "indexes": [
                    models.Index(fields=["shop", "created_at", "prefix"], name="share_link_by_shop")
                ],
                "constraints": [
                    models.CheckConstraint(
                        condition=django.db.models.lookups.Exact(
                            django.db.models.functions.text.Length("digest"), 64
                        ),
                        name="share_link_digest_length",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("expires_at__gt", models.F("created_at"))),
                        name="share_link_expires_later",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("revoked_at__isnull", True),
                            ("revoked_at__gte", models.F("created_at")),
                            _connector="OR",
                        ),
                        name="share_link_revoked_later",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("last_opened_at__isnull", True), ("opened_count", 0)),
                            models.Q(("last_opened_at__isnull", False), ("opened_count__gt", 0)),
                            _connector="OR",
                        ),
                        name="share_link_opened_at_a_time",
                    ),
                ],
            },
        ),
    ]
