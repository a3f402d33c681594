"""Who wants to be told that the log has grown, and what was told so far."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    """Both tables, empty."""

    initial = True

    dependencies = [
        ("registry", "0005_history_order"),
    ]

    operations = [
        migrations.CreateModel(
            name="Webhook",
            fields=[
                ("id", models.CharField(max_length=40, primary_key=True, serialize=False)),
                ("url", models.CharField(max_length=2000)),
                ("secret", models.CharField(max_length=64)),
                ("told", models.BigIntegerField()),
                ("state", models.CharField(default="active", max_length=8)),
                ("reason", models.CharField(blank=True, default="", max_length=400)),
                ("created_at", models.DateTimeField()),
                (
                    "shop",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="webhooks",
                        to="registry.shop",
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="Delivery",
            fields=[
                ("id", models.CharField(max_length=40, primary_key=True, serialize=False)),
                ("from_index", models.BigIntegerField()),
                ("until_index", models.BigIntegerField()),
                ("outcome", models.CharField(default="waiting", max_length=10)),
                ("tries", models.SmallIntegerField(default=0)),
                ("last_answer", models.CharField(blank=True, default="", max_length=400)),
                ("made_at", models.DateTimeField()),
                ("next_at", models.DateTimeField(null=True)),
                (
                    "webhook",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="deliveries",
                        to="exchange.webhook",
                    ),
                ),
            ],
        ),
        migrations.AddIndex(
            model_name="webhook",
            index=models.Index(fields=["shop", "created_at"], name="webhook_by_shop"),
        ),
        migrations.AddConstraint(
            model_name="webhook",
            constraint=models.CheckConstraint(
                condition=models.Q(("state__in", ("active", "paused"))), name="webhook_state"
            ),
        ),
        migrations.AddConstraint(
            model_name="webhook",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("reason", ""), ("state", "active")),
                    models.Q(("state", "paused"), models.Q(("reason", ""), _negated=True)),
                    _connector="OR",
                ),
                name="webhook_paused_for_a_reason",
            ),
        ),
        migrations.AddConstraint(
            model_name="webhook",
            constraint=models.CheckConstraint(
                condition=models.Q(("told__gte", 0)), name="webhook_told_from_zero"
            ),
        ),
        migrations.AddIndex(
            model_name="delivery",
            index=models.Index(fields=["webhook", "made_at"], name="delivery_by_webhook"),
        ),
        migrations.AddIndex(
            model_name="delivery",
            index=models.Index(
                condition=models.Q(("outcome", "waiting")), fields=["next_at"], name="delivery_due"
            ),
        ),
        migrations.AddConstraint(
            model_name="delivery",
            constraint=models.CheckConstraint(
                condition=models.Q(("outcome__in", ("waiting", "delivered", "dropped"))),
                name="delivery_outcome",
            ),
        ),
        migrations.AddConstraint(
            model_name="delivery",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("from_index__gte", 0), ("until_index__gt", models.F("from_index"))
                ),
                name="delivery_of_a_stretch",
            ),
        ),
        migrations.AddConstraint(
            model_name="delivery",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("next_at__isnull", False), ("outcome", "waiting")),
                    models.Q(
                        models.Q(("outcome", "waiting"), _negated=True), ("next_at__isnull", True)
                    ),
                    _connector="OR",
                ),
                name="delivery_waits_for_a_moment",
            ),
        ),
        migrations.AddConstraint(
            model_name="delivery",
            constraint=models.CheckConstraint(
                condition=models.Q(("tries__gte", 0)), name="delivery_tries_from_zero"
            ),
        ),
        migrations.AddConstraint(
            model_name="delivery",
            constraint=models.UniqueConstraint(
                condition=models.Q(("outcome", "waiting")),
                fields=("webhook",),
                name="delivery_one_waits",
            ),
        ),
    ]
