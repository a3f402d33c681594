"""The bytes of a record can be erased, once, and nothing else of it can be changed."""

from importlib import import_module

from django.apps.registry import Apps
from django.db import migrations, models
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.models.functions import Length
from django.db.models.lookups import Exact, GreaterThan

append_only = import_module("apps.registry.migrations.0002_append_only")

TABLE = "registry_record"
REFUSAL = append_only.REFUSAL
KEPT_KINDS = "('key', 'key-end', 'erasure')"
KEPT_COLUMNS = (
    "id",
    "signature",
    "author",
    "key_id",
    "format",
    "rank",
    "tag_key",
    "kind",
    "performed_at",
    "performed_day",
    "performed_sort",
    "order_key",
    "target",
    "origin",
    "received_at",
    "log_index",
)
NOT_BACK = (
    "The log holds records whose bytes were erased, which the version before can't read. Stay "
    "with this version."
)


class CannotMigrate(Exception):
    """The records in the database and the tables that are asked for don't go together."""


# A row is erased by the erasure record that names it, which must be in the log already. What is
# erased is never erased again or filled, since its `erased_by` isn't empty any more.
ERASED_BY_A_RECORD = f"""EXISTS (SELECT 1 FROM {TABLE} AS reason
    WHERE reason.id = NEW.erased_by AND reason.kind = 'erasure' AND reason.target = OLD.id)"""  # noqa: S608 - no value from outside in it
SAME = " AND ".join(f"NEW.{column} IS OLD.{column}" for column in KEPT_COLUMNS)
SQLITE_MAKE = (
    f"""CREATE TRIGGER record_no_update BEFORE UPDATE ON {TABLE}
    WHEN NOT (OLD.erased_by = '' AND length(NEW.document) = 0
    AND OLD.kind NOT IN {KEPT_KINDS} AND {SAME} AND {ERASED_BY_A_RECORD})
    BEGIN SELECT RAISE(ABORT, '{REFUSAL}'); END""",
    *append_only.SQLITE_MAKE[1:],
)
POSTGRESQL_MAKE = (
    append_only.POSTGRESQL_MAKE[0],
    f"""CREATE FUNCTION registry_record_erase_only() RETURNS trigger LANGUAGE plpgsql AS
    $$ DECLARE erased {TABLE}%ROWTYPE;
    BEGIN
    erased := OLD;
    erased.document := ''::bytea;
    erased.erased_by := NEW.erased_by;
    IF OLD.erased_by = '' AND OLD.kind NOT IN {KEPT_KINDS}
    AND NEW IS NOT DISTINCT FROM erased AND {ERASED_BY_A_RECORD} THEN RETURN NEW; END IF;
    RAISE EXCEPTION '{REFUSAL}' USING ERRCODE = 'integrity_constraint_violation'; END $$""",
    f"""CREATE TRIGGER record_no_update BEFORE UPDATE ON {TABLE}
    FOR EACH ROW EXECUTE FUNCTION registry_record_erase_only()""",
    *append_only.POSTGRESQL_MAKE[2:],
)
POSTGRESQL_DROP = (
    *append_only.POSTGRESQL_DROP,
    "DROP FUNCTION registry_record_erase_only()",
)
MAKE = {"sqlite": SQLITE_MAKE, "postgresql": POSTGRESQL_MAKE}
DROP = {"sqlite": append_only.SQLITE_DROP, "postgresql": POSTGRESQL_DROP}


def make(_apps: Apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    for statement in MAKE[schema_editor.connection.vendor]:
        schema_editor.execute(statement, params=None)


def drop(_apps: Apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    for statement in DROP[schema_editor.connection.vendor]:
        schema_editor.execute(statement, params=None)


def nothing_is_erased(apps: Apps, _schema_editor: BaseDatabaseSchemaEditor) -> None:
    if apps.get_model("registry", "Record").objects.exclude(erased_by="").exists():
        raise CannotMigrate(NOT_BACK)


class Migration(migrations.Migration):
    dependencies = [("registry", "0007_tree")]

    operations = [
        migrations.RunPython(append_only.drop, append_only.make),
        migrations.AddField(
            model_name="record",
            name="erased_by",
            field=models.CharField(blank=True, default="", max_length=64),
        ),
        migrations.RemoveConstraint(model_name="record", name="record_has_bytes"),
        migrations.AddConstraint(
            model_name="record",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(GreaterThan(Length("document"), 0), ("erased_by", "")),
                    models.Q(Exact(Length("document"), 0), Exact(Length("erased_by"), 64)),
                    _connector="OR",
                ),
                name="record_has_bytes_or_was_erased",
            ),
        ),
        migrations.RunPython(make, drop),
        migrations.RunPython(migrations.RunPython.noop, nothing_is_erased),
    ]
