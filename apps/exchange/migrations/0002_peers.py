"""The nodes whose logs this one follows, and what was seen of them."""

import django.db.models.deletion
import django.db.models.functions.text
import django.db.models.lookups
from django.db import migrations, models


class Migration(migrations.Migration):
    """All five tables, empty."""

    dependencies = [
        ("exchange", "0001_webhooks"),
    ]

    operations = [
        migrations.CreateModel(
            name="Cosignature",
            fields=[
                ("witness", models.CharField(max_length=120, primary_key=True, serialize=False)),
                ("size", models.BigIntegerField()),
                ("root", models.CharField(max_length=64)),
                ("line", models.TextField()),
                ("noted_at", models.DateTimeField()),
            ],
            options={
                "indexes": [models.Index(fields=["size"], name="cosignature_by_size")],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("size__gte", 0)), name="cosignature_size_from_zero"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Evidence",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("host", models.CharField(max_length=120)),
                ("kind", models.CharField(max_length=40)),
                ("index", models.BigIntegerField(null=True)),
                ("sentence", models.TextField()),
                ("before", models.TextField(blank=True, default="")),
                ("after", models.TextField(blank=True, default="")),
                ("answer", models.TextField(blank=True, default="")),
                ("found_at", models.DateTimeField()),
            ],
            options={
                "indexes": [models.Index(fields=["host", "found_at"], name="evidence_by_host")],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("kind__in", ("shrunk", "forked", "rewritten", "not-signed-for"))
                        ),
                        name="evidence_kind",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Peer",
            fields=[
                ("host", models.CharField(max_length=120, primary_key=True, serialize=False)),
                ("url", models.CharField(max_length=400)),
                ("vkey", models.CharField(max_length=240, unique=True)),
                ("token", models.CharField(blank=True, default="", max_length=200)),
                ("state", models.CharField(default="following", max_length=10)),
                ("reason", models.TextField(blank=True, default="")),
                ("trouble", models.TextField(blank=True, default="")),
                ("size", models.BigIntegerField(default=0)),
                ("peaks", models.BinaryField(default=bytes)),
                ("checkpoint", models.TextField(blank=True, default="")),
                ("checkpoint_size", models.BigIntegerField(default=0)),
                ("checkpoint_root", models.CharField(blank=True, default="", max_length=64)),
                ("reread", models.BigIntegerField(default=0)),
                ("added_at", models.DateTimeField()),
                ("pulled_at", models.DateTimeField(null=True)),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("state__in", ("following", "stopped"))),
                        name="peer_state",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("reason", ""), ("state", "following")),
                            models.Q(("state", "stopped"), models.Q(("reason", ""), _negated=True)),
                            _connector="OR",
                        ),
                        name="peer_stopped_for_a_reason",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("size__gte", 0), ("size__lte", models.F("checkpoint_size"))
                        ),
                        name="peer_rows_within_checkpoint",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("reread__gte", 0), ("reread__lte", models.F("size"))),
                        name="peer_rereads_old_rows",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="PeerEntry",
            fields=[
                (
                    "pk",
                    models.CompositePrimaryKey(
                        "peer_id",
                        "index",
                        blank=True,
                        editable=False,
                        primary_key=True,
                        serialize=False,
                    ),
                ),
                ("index", models.BigIntegerField()),
                ("record_id", models.CharField(max_length=64)),
                (
                    "peer",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="entries",
                        to="exchange.peer",
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("index__gte", 0)), name="peer_entry_from_zero"
                    ),
                    models.CheckConstraint(
                        condition=django.db.models.lookups.Exact(
                            django.db.models.functions.text.Length("record_id"), 64
                        ),
                        name="peer_entry_id_length",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="PeerRefusal",
            fields=[
                (
                    "pk",
                    models.CompositePrimaryKey(
                        "peer_id",
                        "index",
                        blank=True,
                        editable=False,
                        primary_key=True,
                        serialize=False,
                    ),
                ),
                ("index", models.BigIntegerField()),
                ("record_id", models.CharField(max_length=64)),
                ("code", models.CharField(max_length=40)),
                ("sentence", models.TextField()),
                ("noted_at", models.DateTimeField()),
                ("tried_at", models.DateTimeField()),
                (
                    "peer",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="refusals",
                        to="exchange.peer",
                    ),
                ),
            ],
            options={
                "indexes": [models.Index(fields=["peer", "tried_at"], name="peer_refusal_to_try")],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("code", ""), _negated=True),
                        name="peer_refusal_for_a_reason",
                    )
                ],
            },
        ),
    ]
