"""Records are append-only: the database itself refuses to change or drop one."""

from django.apps.registry import Apps
from django.db import migrations
from django.db.backends.base.schema import BaseDatabaseSchemaEditor

TABLE = "registry_record"
REFUSAL = "Records are append-only."

# INSERT OR REPLACE drops the old row without firing a delete trigger, so a second row of the same
# id or place is refused before it can replace anything.
SQLITE_MAKE = (
    f"""CREATE TRIGGER record_no_update BEFORE UPDATE ON {TABLE}
    BEGIN SELECT RAISE(ABORT, '{REFUSAL}'); END""",
    f"""CREATE TRIGGER record_no_delete BEFORE DELETE ON {TABLE}
    BEGIN SELECT RAISE(ABORT, '{REFUSAL}'); END""",
    f"""CREATE TRIGGER record_no_replace BEFORE INSERT ON {TABLE}
    WHEN EXISTS (SELECT 1 FROM {TABLE} WHERE id = NEW.id OR log_index = NEW.log_index)
    BEGIN SELECT RAISE(ABORT, '{REFUSAL}'); END""",  # noqa: S608 - no value from outside in it
)
SQLITE_DROP = (
    "DROP TRIGGER record_no_update",
    "DROP TRIGGER record_no_delete",
    "DROP TRIGGER record_no_replace",
)
POSTGRESQL_MAKE = (
    f"""CREATE FUNCTION registry_record_refuse() RETURNS trigger LANGUAGE plpgsql AS
    $$ BEGIN RAISE EXCEPTION '{REFUSAL}'
    USING ERRCODE = 'integrity_constraint_violation'; END $$""",
    f"""CREATE TRIGGER record_no_update BEFORE UPDATE ON {TABLE}
    FOR EACH ROW EXECUTE FUNCTION registry_record_refuse()""",
    f"""CREATE TRIGGER record_no_delete BEFORE DELETE ON {TABLE}
    FOR EACH ROW EXECUTE FUNCTION registry_record_refuse()""",
    f"""CREATE TRIGGER record_no_truncate BEFORE TRUNCATE ON {TABLE}
    FOR EACH STATEMENT EXECUTE FUNCTION registry_record_refuse()""",
)
POSTGRESQL_DROP = (
    f"DROP TRIGGER record_no_update ON {TABLE}",
    f"DROP TRIGGER record_no_delete ON {TABLE}",
    f"DROP TRIGGER record_no_truncate ON {TABLE}",
    "DROP FUNCTION registry_record_refuse()",
)
MAKE = {"sqlite": SQLITE_MAKE, "postgresql": POSTGRESQL_MAKE}
DROP = {"sqlite": SQLITE_DROP, "postgresql": POSTGRESQL_DROP}


def make(_apps: Apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    for statement in MAKE[schema_editor.connection.vendor]:
        schema_editor.execute(statement, params=None)


def drop(_apps: Apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    for statement in DROP[schema_editor.connection.vendor]:
        schema_editor.execute(statement, params=None)


class Migration(migrations.Migration):
    dependencies = [("registry", "0001_tables")]

    operations = [migrations.RunPython(make, drop)]
