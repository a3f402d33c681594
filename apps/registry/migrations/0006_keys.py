"""Keys are records of the log, and what the node signs with is kept beside them."""

import json
from importlib import import_module

import django.db.models.deletion
from django.db import migrations, models
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations.state import StateApps
from django.db.models.functions import Length
from django.db.models.lookups import Exact

from apps.records.signing import PrivateKey, PublicKey
from apps.registry.errors import WrongState

append_only = import_module("apps.registry.migrations.0002_append_only")

TABLE = "registry_record"
OLD_SCOPES = ("read", "read write", "write")
NEW_KINDS = ("same-ski", "distinct-ski", "dispute", "erasure")
WITHOUT_KEYS = (
    "This database holds records from before keys were records of the log, so nobody can check "
    "who signed them. Begin a new database, and write the records anew through the node."
)
NOT_BACK = (
    "The log holds records of kinds or formats that the version before can't read, and no record "
    "is ever dropped. Stay with this version."
)


def records_have_keys(apps: StateApps, _schema_editor: BaseDatabaseSchemaEditor) -> None:
    records = apps.get_model("registry", "Record").objects.all()
    if records.exists() and not records.filter(kind="key").exists():
        raise WrongState(WITHOUT_KEYS)


def records_are_of_old_kinds(apps: StateApps, _schema_editor: BaseDatabaseSchemaEditor) -> None:
    newer = models.Q(kind__in=NEW_KINDS) | models.Q(format__gt=1)
    if apps.get_model("registry", "Record").objects.filter(newer).exists():
        raise WrongState(NOT_BACK)


def keep_private_keys(apps: StateApps, _schema_editor: BaseDatabaseSchemaEditor) -> None:
    """Keep the live keys; `prepare` writes the records that bring them into the log."""
    kept = apps.get_model("registry", "KeptKey").objects
    live = apps.get_model("registry", "SigningKey").objects.filter(
        private__isnull=False, ends_at__isnull=True
    )
    for key in live:
        kept.create(key_id=key.key_id, shop_id=key.shop_id, private=bytes(key.private))


def give_private_keys_back(apps: StateApps, _schema_editor: BaseDatabaseSchemaEditor) -> None:
    """Make the keys of this node's shops as the version before kept them, from the records."""
    keys = apps.get_model("registry", "SigningKey").objects
    shops = set(apps.get_model("registry", "Shop").objects.values_list("handle", flat=True))
    ends = {body["key"]: index for index, body in bodies(apps, "key-end")}
    private = dict(apps.get_model("registry", "KeptKey").objects.values_list("key_id", "private"))
    introduced = [(index, body) for index, body in bodies(apps, "key") if body["shop"] in shops]
    for index, body in introduced:
        public = PublicKey.from_text(body["public"])
        keys.create(
            key_id=public.key_id,
            shop_id=body["shop"],
            public=public.raw,
            private=private.pop(public.key_id, None),
            valid_from=index,
            ends_at=ends.get(public.key_id),
        )
    owners = dict(apps.get_model("registry", "KeptKey").objects.values_list("key_id", "shop_id"))
    for key_id, seed in private.items():
        public = PrivateKey.from_seed(bytes(seed)).public
        keys.create(key_id=key_id, shop_id=owners[key_id], public=public.raw, private=bytes(seed))


def bodies(apps: StateApps, kind: str) -> list[tuple[int, dict[str, str]]]:
    """Give place and body of each record of a kind, in the order of the log."""
    records = apps.get_model("registry", "Record").objects.filter(kind=kind).order_by("log_index")
    rows = records.values_list("log_index", "document")
    return [(index, json.loads(bytes(document))["body"]) for index, document in rows]


def unguard(_apps: StateApps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    append_only.drop(_apps, schema_editor)


def guard(_apps: StateApps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    append_only.make(_apps, schema_editor)


def fill_columns(apps: StateApps, _schema_editor: BaseDatabaseSchemaEditor) -> None:
    """Say of each record what is kept beside it: who held its key, and that it is of no ski."""
    records = apps.get_model("registry", "Record").objects
    records.filter(subject="").update(subject=None)
    for _, body in bodies(apps, "key"):
        if body["held_by"] == "shop":
            key_id = PublicKey.from_text(body["public"]).key_id
            records.filter(key_id=key_id).update(rank="shop-signed")
    records.filter(author__startswith="node@").update(rank="node-signed")


def empty_columns(apps: StateApps, _schema_editor: BaseDatabaseSchemaEditor) -> None:
    apps.get_model("registry", "Record").objects.filter(subject=None).update(subject="")


def drop_newer_api_keys(apps: StateApps, _schema_editor: BaseDatabaseSchemaEditor) -> None:
    """An API key with a scope that the version before doesn't know lets nobody in there."""
    apps.get_model("registry", "ApiKey").objects.exclude(scopes__in=OLD_SCOPES).delete()


class Migration(migrations.Migration):
    dependencies = [("registry", "0005_history_order")]

    operations = [
        migrations.RunPython(records_have_keys, migrations.RunPython.noop),
        migrations.CreateModel(
            name="KeptKey",
            fields=[
                (
                    "key_id",
                    models.CharField(max_length=43, primary_key=True, serialize=False),
                ),
                ("private", models.BinaryField(max_length=32)),
                (
                    "shop",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="kept_key",
                        to="registry.shop",
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=Exact(Length("private"), 32), name="kept_key_private_length"
                    ),
                ],
            },
        ),
        migrations.RunPython(keep_private_keys, give_private_keys_back),
        migrations.DeleteModel(name="SigningKey"),
        migrations.RunPython(unguard, guard),
        migrations.RemoveConstraint(model_name="record", name="record_amendment_has_target"),
        migrations.AlterField(
            model_name="record",
            name="subject",
            field=models.ForeignKey(
                db_column="tag_key",
                db_constraint=False,
                db_index=False,
                null=True,
                on_delete=django.db.models.deletion.DO_NOTHING,
                related_name="records",
                to="registry.tag",
            ),
        ),
        migrations.AddField(
            model_name="record", name="format", field=models.BigIntegerField(default=1)
        ),
        migrations.AddField(
            model_name="record",
            name="rank",
            field=models.CharField(default="node-attested", max_length=13),
            preserve_default=False,
        ),
        migrations.RunPython(fill_columns, empty_columns),
        migrations.AddConstraint(
            model_name="record",
            constraint=models.CheckConstraint(
                condition=models.Q(("rank__in", ("shop-signed", "node-attested", "node-signed"))),
                name="record_rank",
            ),
        ),
        migrations.AddConstraint(
            model_name="record",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("format__gt", 1), ("target", "")),
                    models.Q(
                        ("format", 1),
                        ("kind__in", ("correction", "retraction", "dispute", "erasure")),
                        ("target__gt", ""),
                    ),
                    models.Q(
                        ("format", 1),
                        ("target", ""),
                        models.Q(
                            ("kind__in", ("correction", "retraction", "dispute", "erasure")),
                            _negated=True,
                        ),
                    ),
                    _connector="OR",
                ),
                name="record_amendment_has_target",
            ),
        ),
        migrations.AddConstraint(
            model_name="record",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("format__gt", 1),
                    models.Q(
                        ("format", 1),
                        ("kind__in", ("key", "key-end")),
                        ("subject__isnull", True),
                    ),
                    models.Q(
                        ("format", 1),
                        ("subject__isnull", False),
                        models.Q(("kind__in", ("key", "key-end")), _negated=True),
                    ),
                    _connector="OR",
                ),
                name="record_of_a_ski_or_of_the_node",
            ),
        ),
        migrations.RunPython(guard, unguard),
        migrations.CreateModel(
            name="SigningKey",
            fields=[
                (
                    "key_id",
                    models.CharField(max_length=43, primary_key=True, serialize=False),
                ),
                ("author", models.CharField(max_length=120)),
                ("public", models.BinaryField(max_length=32)),
                ("held_by", models.CharField(max_length=4)),
                ("valid_from", models.BigIntegerField()),
                ("ended_by", models.CharField(blank=True, default="", max_length=64)),
                ("ends_at", models.BigIntegerField(null=True)),
                (
                    "record",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="registry.record",
                    ),
                ),
            ],
            options={
                "indexes": [
                    models.Index(fields=["author", "valid_from"], name="signing_key_by_author"),
                ],
                "constraints": [
                    models.CheckConstraint(
                        condition=Exact(Length("public"), 32), name="signing_key_public_length"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("held_by__in", ("node", "shop"))),
                        name="signing_key_held_by",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("valid_from__gte", 0),
                            models.Q(
                                ("ends_at__isnull", True),
                                ("ends_at__gt", models.F("valid_from")),
                                _connector="OR",
                            ),
                        ),
                        name="signing_key_ends_after_it_begins",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("ended_by", ""), ("ends_at__isnull", True)),
                            models.Q(("ended_by__gt", ""), ("ends_at__isnull", False)),
                            _connector="OR",
                        ),
                        name="signing_key_ended_by_a_record",
                    ),
                ],
            },
        ),
        migrations.RemoveConstraint(model_name="apikey", name="api_key_scopes"),
        migrations.RunPython(migrations.RunPython.noop, drop_newer_api_keys),
        migrations.AlterField(
            model_name="apikey", name="scopes", field=models.CharField(max_length=20)
        ),
        migrations.AddConstraint(
            model_name="apikey",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    (
                        "scopes__in",
                        (
                            "feed",
                            "keys",
                            "read",
                            "write",
                            "keys read",
                            "keys write",
                            "read write",
                            "keys read write",
                        ),
                    )
                ),
                name="api_key_scopes",
            ),
        ),
        migrations.RunPython(migrations.RunPython.noop, records_are_of_old_kinds),
    ]
