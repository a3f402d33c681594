"""Links between tags, and which tags of which shops are on one ski."""

import django.db.models.deletion
from django.apps.registry import Apps
from django.db import migrations, models
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.models import F, Q


def each_by_itself(apps: Apps, _schema_editor: BaseDatabaseSchemaEditor) -> None:
    """No link was ever written, so each ski is a cluster of its own."""
    apps.get_model("registry", "Ski").objects.update(cluster=F("key"))


class Migration(migrations.Migration):
    dependencies = [("registry", "0008_erasure")]

    operations = [
        migrations.AddField(
            model_name="ski",
            name="cluster",
            field=models.CharField(default="", max_length=161),
            preserve_default=False,
        ),
        migrations.AddField(
            model_name="ski", name="tag_count", field=models.IntegerField(default=1)
        ),
        migrations.AddField(
            model_name="ski",
            name="apart",
            field=models.CharField(blank=True, default="", max_length=10),
        ),
        migrations.RunPython(each_by_itself, migrations.RunPython.noop),
        migrations.AddIndex(
            model_name="ski",
            index=models.Index(fields=["cluster", "key"], name="ski_by_cluster"),
        ),
        migrations.AddConstraint(
            model_name="ski",
            constraint=models.CheckConstraint(
                condition=Q(("apart__in", ("", "contested", "too-many"))), name="ski_shown_apart"
            ),
        ),
        migrations.AddConstraint(
            model_name="ski",
            constraint=models.CheckConstraint(
                condition=Q(
                    ("tag_count", 1), Q(("apart", ""), ("tag_count__gt", 1)), _connector="OR"
                ),
                name="ski_apart_has_one_tag",
            ),
        ),
        migrations.CreateModel(
            name="Link",
            fields=[
                ("author", models.CharField(max_length=120)),
                ("stated_by", models.CharField(max_length=64)),
                ("performed_day", models.DateField()),
                (
                    "pk",
                    models.CompositePrimaryKey(
                        "record_id",
                        "number",
                        blank=True,
                        editable=False,
                        primary_key=True,
                        serialize=False,
                    ),
                ),
                ("number", models.SmallIntegerField()),
                ("says", models.CharField(max_length=40)),
                ("here", models.CharField(max_length=161)),
                ("there", models.CharField(max_length=161)),
                ("by_here", models.BooleanField()),
                ("by_there", models.BooleanField()),
                (
                    "record",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="registry.record",
                    ),
                ),
                (
                    "tag",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="registry.tag",
                    ),
                ),
            ],
            options={
                "indexes": [
                    models.Index(fields=["here", "there", "says", "by_there"], name="link_by_tags")
                ],
                "constraints": [
                    models.CheckConstraint(
                        condition=Q(("says__in", ("same", "distinct"))), name="link_word"
                    ),
                    models.CheckConstraint(
                        condition=Q(("here", F("there")), _negated=True), name="link_of_two"
                    ),
                    models.CheckConstraint(
                        condition=Q(("number__in", (0, 1))), name="link_two_ways"
                    ),
                    models.CheckConstraint(
                        condition=Q(("by_here", True), ("by_there", True), _connector="OR"),
                        name="link_by_a_shop_of_its_tags",
                    ),
                ],
            },
        ),
    ]
