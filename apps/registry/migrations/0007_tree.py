"""The hash tree over the log becomes stored nodes, made here from the records that are there."""

from collections.abc import Iterator
from itertools import islice

import django.db.models.functions.text
import django.db.models.lookups
from django.apps.registry import Apps
from django.db import migrations, models
from django.db.backends.base.schema import BaseDatabaseSchemaEditor

from apps.records.tree import CompactRange, record_leaf

ROWS_AT_ONCE = 500


def fill(apps: Apps, _schema_editor: BaseDatabaseSchemaEditor) -> None:
    """Grow the tree by every record, in the order of the log."""
    record, node = (apps.get_model("registry", name) for name in ("Record", "TreeNode"))
    ids = record.objects.order_by("log_index").values_list("id", flat=True).iterator()
    nodes = _nodes(ids)
    while batch := list(islice(nodes, ROWS_AT_ONCE)):
        rows = [node(level=level, position=position, hash=data) for level, position, data in batch]
        node.objects.bulk_create(rows)


def _nodes(ids: Iterator[str]) -> Iterator[tuple[int, int, bytes]]:
    tree = CompactRange()
    for record_id in ids:
        leaf = record_leaf(record_id)
        for (level, position), data in tree.completed(leaf):
            yield level, position, data
        tree = tree.append(leaf)


class Migration(migrations.Migration):
    dependencies = [("registry", "0006_keys")]

    operations = [
        migrations.CreateModel(
            name="TreeNode",
            fields=[
                (
                    "pk",
                    models.CompositePrimaryKey(
                        "level",
                        "position",
                        blank=True,
                        editable=False,
                        primary_key=True,
                        serialize=False,
                    ),
                ),
                ("level", models.SmallIntegerField()),
                ("position", models.BigIntegerField()),
                ("hash", models.BinaryField(max_length=32)),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=django.db.models.lookups.Exact(
                            django.db.models.functions.text.Length("hash"), 32
                        ),
                        name="tree_node_hash_length",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("level__gte", 0), ("position__gte", 0)),
                        name="tree_node_in_a_tree",
                    ),
                ],
            },
        ),
        migrations.RunPython(fill, migrations.RunPython.noop),
    ]
